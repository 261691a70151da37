"""The line that half circles on alternating sides were flown along, fitted to what was flown.

A line shows nowhere in the flight itself. What shows it are the places where the wings were level, the
centers of the half circles, which lie a little beyond the line on either side, and the tracks on which the
airplane went from one side to the other, meant to be square to it. With a along and r to the right of a
first line,

    level places:  r = c + m a            centers:  r = c + m a + (s + d)·(+1 right of the line, −1 left)

where s is the way made during half of a roll and d, one for either side, is by how much the half circles of
that side lie farther out than that: who banks too much or too little in one part of every half circle shifts
the centers of one side alike, and what is shifted alike shows in no scatter. c, m, s and both d are found by
weighted least squares; how far wings come level from the line, how steady a half circle is, how square a
crossing and how even the sides, each as one standard deviation of common practice (no source), give the
weights. That of the sides grows with the difference of their radii, which shows that they were not flown
alike. Where what was flown disagrees by more than that, the standard deviations found are widened to it.

So the line is the one about which it was flown: wings level on it, half circles on both sides of it. Where a
pilot meant it to be shows as far as that pilot kept to it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from groundref.angles import half_turn, quarter_turn
from groundref.units import degree

Floats = NDArray[np.float64]
Place = tuple[float, float]

LEVEL_SD: Final = 0.7  # [s] of flight from the line to where the wings are level
END_SD: Final = 1.4  # [s] likewise where the first half circle begins and the last ends
CENTER_SD: Final = 0.06  # of the radius
SIDE_SD: Final = 0.05  # of the radius, by which all centers of one side lie out of place
UNEVEN: Final = 0.5  # of the difference of the radii of both sides, likewise
PLACE_SD: Final = 5.0  # [m] of any place
SQUARE_SD: Final = 5.0 * degree
ROLL: Final = (1.6, 0.6)  # [s] half of a roll, and its standard deviation


@dataclass(frozen=True, slots=True)
class Line:
    """A line on the ground with the sense in which it is worked along.

    Attributes
    ----------
    east, north
        A place on it [m]
    bearing
        Direction in which it is worked along [rad]
    sd
        Standard deviation across it at that place [m]
    bearing_sd
        Standard deviation of its direction [rad]
    beyond
        How far beyond it the centers of the half circles lie [m]
    """

    east: float
    north: float
    bearing: float
    sd: float = 0.0
    bearing_sd: float = 0.0
    beyond: float = 0.0

    def along(self, east: ArrayLike, north: ArrayLike) -> Floats:
        """Return how far along the line places lie from its own place [m]."""
        off_east, off_north = self._off(east, north)
        return np.asarray(off_east * np.sin(self.bearing) + off_north * np.cos(self.bearing))

    def right(self, east: ArrayLike, north: ArrayLike) -> Floats:
        """Return how far to the right of the line places lie [m]."""
        off_east, off_north = self._off(east, north)
        return np.asarray(off_east * np.cos(self.bearing) - off_north * np.sin(self.bearing))

    def _off(self, east: ArrayLike, north: ArrayLike) -> tuple[Floats, Floats]:
        return np.asarray(np.subtract(east, self.east)), np.asarray(np.subtract(north, self.north))

    def place(self, along: float, right: float = 0.0) -> Place:
        """Return a place in the track's frame: east, north [m]."""
        sine, cosine = float(np.sin(self.bearing)), float(np.cos(self.bearing))
        return self.east + along * sine + right * cosine, self.north + along * cosine - right * sine


def through(places: tuple[Place, Place], bearing: float) -> Line:
    """Return a line through two places, in the sense nearer to a bearing.

    Parameters
    ----------
    places
        East and north of each [m]
    bearing
        [rad]
    """
    (east, north), (to_east, to_north) = places
    direction = float(np.arctan2(to_east - east, to_north - north))
    if np.cos(direction - bearing) < 0.0:
        direction += half_turn
    return Line(east, north, direction)


def square_to(tracks: Floats, directions: Floats) -> float:
    """Return the bearing of the line that crossings are square to, in the sense of progress [rad].

    Parameters
    ----------
    tracks
        Tracks on which the line was crossed [rad]
    directions
        Of the half circle that begins there: +1 right, −1 left.
    """
    bearings = tracks + directions * quarter_turn
    return float(np.arctan2(np.sin(bearings).sum(), np.cos(bearings).sum()))


def fitted(
    bearing: float,
    centers: Sequence[Place],
    directions: Floats,
    radii: Floats,
    levels: Sequence[Place],
    ends: Sequence[Place],
    ground_speed: float,
) -> Line:
    """Fit the line.

    Parameters
    ----------
    bearing
        That the crossings are square to, see ``square_to`` [rad]
    centers, directions, radii
        Of the half circles: centers [m], +1 right or −1 left, radii [m]
    levels
        Where the wings were level between two half circles [m]
    ends
        Where they were before the first half circle and after the last [m]
    ground_speed
        Mean [m s⁻¹]
    """
    places = np.array([*centers, *levels, *ends], dtype=np.float64)
    middle = np.array(centers, dtype=np.float64).mean(axis=0)
    first = Line(float(middle[0]), float(middle[1]), bearing)
    along, right = first.along(places[:, 0], places[:, 1]), first.right(places[:, 0], places[:, 1])
    # A right turn lies to the left of the line.
    sides = np.zeros((len(places), 2))
    sides[: len(centers)] = np.column_stack([directions < 0, -1.0 * (directions > 0)])
    sd = np.hypot(
        PLACE_SD,
        np.concatenate(
            [
                np.full(len(centers), CENTER_SD * radii.mean()),
                np.full(len(levels), LEVEL_SD * ground_speed),
                np.full(len(ends), END_SD * ground_speed),
            ]
        ),
    )
    rows = np.column_stack([np.ones_like(along), along, sides.sum(axis=1), sides]) / sd[:, None]
    # Known beforehand: how square, how long a roll, how even the sides.
    usual = np.array([SQUARE_SD / np.sqrt(max(len(levels), 1)), ROLL[1] * ground_speed])
    side = np.full(2, np.hypot(SIDE_SD * radii.mean(), UNEVEN * _uneven(radii, directions)))
    matrix = np.vstack([rows, np.diag(1.0 / np.concatenate([[np.inf], usual, side]))[1:]])
    target = np.concatenate([right / sd, [0.0, ROLL[0] / ROLL[1], 0.0, 0.0]])
    found, *_ = np.linalg.lstsq(matrix, target, rcond=None)
    misfit = target - matrix @ found
    spare = target.size - found.size
    covariance = np.linalg.inv(matrix.T @ matrix) * max(1.0, float(misfit @ misfit) / spare)
    east, north = first.place(0.0, float(found[0]))
    return Line(
        east=east,
        north=north,
        bearing=bearing + float(np.arctan(found[1])),
        sd=float(np.sqrt(covariance[0, 0])),
        bearing_sd=float(np.sqrt(covariance[1, 1])),
        beyond=max(float(found[2]), 0.0),
    )


def _uneven(radii: Floats, directions: Floats) -> float:
    """Return by how much the mean radii of right and left half circles differ [m]."""
    if np.all(directions > 0) or np.all(directions < 0):
        return 0.0
    return abs(float(radii[directions > 0].mean() - radii[directions < 0].mean()))
