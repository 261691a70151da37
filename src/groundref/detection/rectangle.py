"""The rectangle of a course: fitted to what was flown, or given by its corners."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import difference, full_turn, quarter_turn, wrap
from groundref.detection.candidate import Place
from groundref.detection.circling import POSITION_WANDER
from groundref.detection.straights import Straight
from groundref.errors import UsageError
from groundref.estimation.states import States
from groundref.mechanics import boundary
from groundref.units import degree

Floats = NDArray[np.float64]

SQUARE: Final = 15 * degree  # by which the corners of a given rectangle may be off 90°
EVEN: Final = 0.15  # of their length, by which its opposite sides may differ
LEAST_BEARING_SD: Final = 0.25 * degree  # legs are never quite straight
SHORTEST: Final = 60.0  # [m] side of a given rectangle
_REMEDY: Final = "give the four corners in order round it"


@dataclass(frozen=True, slots=True)
class Rectangle:
    """A rectangle, its sides in the order flown.

    Attributes
    ----------
    east, north
        Its middle [m]
    bearing
        Of the first side in the direction flown, [0, 2π) [rad]
    length, width
        Of the first side and of the next [m]
    side
        +1 right turns, −1 left.
    """

    east: float
    north: float
    bearing: float
    length: float
    width: float
    side: int

    def course(self, leg: int) -> float:
        """Return the course of a leg, counted from 0, [0, 2π) [rad]."""
        return float(wrap(self.bearing + self.side * leg * quarter_turn))

    def outside(self, leg: int, east: Floats, north: Floats) -> Floats:
        """Return how far outside of the line of a leg's side places lie, inside negative [m]."""
        half = 0.5 * (self.length if leg % 2 else self.width)
        across = boundary.outside_side(east, north, self.east, self.north, self.course(leg), self.side)
        return across - half

    @property
    def corners(self) -> tuple[Place, ...]:
        """Corners in the order passed, the first one ending the first side [m]."""
        east, north = boundary.corners(
            self.east, self.north, self.bearing, self.length, self.width, self.side
        )
        places = list(zip(east.tolist(), north.tolist(), strict=True))
        return (*places[1:], places[0])


@dataclass(frozen=True, slots=True)
class Fitted:
    """A rectangle fitted to legs.

    Attributes
    ----------
    rectangle
        As flown.
    sd
        Of each corner per axis [m]
    bearing_sd
        Of its bearing [rad]
    again
        How far outside of those flown before on its side each leg beyond the fourth lies [m]
    square
        How far turns between legs were off 90°, root mean square [rad]

    Notes
    -----
    The rectangle is the one that was flown, each side in the middle of its legs. Legs that run at an angle to
    their side, or to and fro about it, leave its place as uncertain as they spread about it: where along the
    leg the distance was right nobody can tell, so that spread is part of ``sd``.
    """

    rectangle: Rectangle
    sd: float
    bearing_sd: float
    again: tuple[float, ...]
    square: float


def made_good(states: States, leg: Straight) -> float:
    """Return the track made good on a leg [rad]."""
    east = states.east[leg.last] - states.east[leg.first]
    north = states.north[leg.last] - states.north[leg.first]
    return float(np.arctan2(east, north)) if leg.last > leg.first else leg.track


def fit_rectangle(states: States, legs: Sequence[Straight], side: int) -> Fitted:
    """Fit a rectangle to legs flown one after the other, four at least.

    Its bearing is the mean of the tracks made good, turned back to the first side, each side weighing alike:
    drift turns opposite legs opposite ways and cancels. A side then lies in the middle of its legs.

    Parameters
    ----------
    states
        The flight.
    legs
        In the order flown.
    side
        Of the turns, +1 right, −1 left.
    """
    number = np.arange(len(legs)) % 4
    flown = np.array([made_good(states, leg) for leg in legs]) - side * quarter_turn * np.arange(len(legs))
    off = np.asarray(difference(flown, legs[0].track))
    by_side = np.array([off[number == k].mean() for k in range(4)])
    bearing = float(legs[0].track + by_side.mean())
    outward = [_outward(states, leg, bearing + side * quarter_turn * k, side) for k, leg in enumerate(legs)]
    across = np.array([float(np.median(each)) for each in outward])
    half = np.array([across[number == k].mean() for k in range(4)])  # outward from the frame's origin
    rectangle = _from_halves(bearing, side, half)
    spread = np.array([across[k] - half[k % 4] for k in range(len(legs))])
    again = max(len(legs) - 4, 0)
    closing = float(np.sqrt(np.sum(spread**2) / again)) if again else 0.0
    diagonal = 0.5 * np.hypot(rectangle.length, rectangle.width)
    # Drift cancels within each pair of opposite sides; by what the pairs differ the bearing may be off.
    pairs = 0.5 * (by_side[:2] + by_side[2:])
    bearing_sd = float(np.hypot(0.5 * (pairs[1] - pairs[0]), LEAST_BEARING_SD))
    later = tuple(float(across[k] - across[k % 4 : k : 4].mean()) for k in range(4, len(legs)))
    about = np.mean([np.var(each) for each in outward])
    wander = np.sqrt(POSITION_WANDER**2 + 0.25 * closing**2 + about)
    return Fitted(
        rectangle,
        float(np.hypot(wander, bearing_sd * diagonal)),
        bearing_sd,
        later,
        float(np.sqrt(np.mean(np.diff(off) ** 2))),
    )


def _outward(states: States, leg: Straight, course: float, side: int) -> Floats:
    """Return how far outward of the frame's origin the samples of a leg lie [m]."""
    part = slice(leg.first, leg.last + 1)
    return boundary.outside_side(states.east[part], states.north[part], 0.0, 0.0, course, side)


def _from_halves(bearing: float, side: int, half: Floats) -> Rectangle:
    """Return the rectangle from how far outward of the origin its sides lie [m]."""
    s, c = np.sin(bearing), np.cos(bearing)
    # The second side lies ahead along the first, the fourth behind; the third to the turns' side of it.
    along, right = 0.5 * (half[1] - half[3]), 0.5 * side * (half[2] - half[0])
    return Rectangle(
        east=float(along * s + right * c),
        north=float(along * c - right * s),
        bearing=float(wrap(bearing)),
        length=float(half[1] + half[3]),
        width=float(half[0] + half[2]),
        side=side,
    )


def rectangle_from_corners(corners: Sequence[Place]) -> Rectangle:
    """Return the rectangle with these corners, in order round it; its first side ends at the second corner.

    Parameters
    ----------
    corners
        Four of them: east, north [m]

    Raises
    ------
    UsageError
        When they are not four, when their order crosses itself, or when they are not about a rectangle.
    """
    if len(corners) != 4:
        raise UsageError(f"a rectangle has four corners, not {len(corners)}", "corners", _REMEDY)
    at = np.asarray(corners, dtype=np.float64)
    sides = np.roll(at, -1, axis=0) - at
    length = np.hypot(sides[:, 0], sides[:, 1])
    if not np.isfinite(at).all() or length.min() < SHORTEST:
        raise UsageError(
            f"a side of the rectangle is shorter than {SHORTEST:.0f} m", "corners", "give four corners apart"
        )
    bearing = np.arctan2(sides[:, 0], sides[:, 1])
    turns = np.asarray(difference(np.roll(bearing, -1), bearing))
    if abs(abs(float(turns.sum())) - full_turn) > 0.1:
        raise UsageError("the sides of the rectangle cross each other", "corners", _REMEDY)
    worst = float(np.max(np.abs(np.abs(turns) - quarter_turn)))
    if worst > SQUARE or np.any(np.abs(length[:2] - length[2:]) > EVEN * np.maximum(length[:2], length[2:])):
        raise UsageError(
            f"these corners are not those of a rectangle: one is {worst / degree:.0f}° off square, and "
            f"opposite sides differ by up to {float(np.max(np.abs(length[:2] - length[2:]))):.0f} m",
            "corners",
            _REMEDY,
        )
    side = 1 if turns.sum() > 0.0 else -1
    off = np.asarray(difference(bearing - side * quarter_turn * np.arange(4), bearing[0]))
    middle = at.mean(axis=0)
    return Rectangle(
        east=float(middle[0]),
        north=float(middle[1]),
        bearing=float(wrap(bearing[0] + off.mean())),
        length=float(0.5 * (length[0] + length[2])),
        width=float(0.5 * (length[1] + length[3])),
        side=side,
    )


def as_flown(given: Rectangle, flown: Rectangle) -> Rectangle:
    """Return a given rectangle with its sides in the order in which a flown one was flown.

    Parameters
    ----------
    given, flown
        The two; which way round the first is given does not matter.
    """
    quarters = round(float(difference(flown.bearing, given.bearing)) / quarter_turn)
    bearing = given.bearing + quarters * quarter_turn
    length, width = (given.width, given.length) if quarters % 2 else (given.length, given.width)
    return Rectangle(given.east, given.north, float(wrap(bearing)), length, width, flown.side)
