"""The map under the pictures from above, and where on it the airplane was outside or inside."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.assessment.assessed import Assessed
from groundref.estimation.states import States
from groundref.reports import like_paper, svg

Floats = NDArray[np.float64]

HEIGHT: Final = 612
_TOP, _BOTTOM = 54.0, 590.0  # wind and north stand above the map of a circle, whose corners are free
_RIM: Final = 34.0  # paper kept free round the outermost line
_LEAST, _MOST = 360.0, 740.0  # paper that any map has from top to bottom
_HEAD, _FOOT = 78.0, 84.0  # paper of the wind above and of the scale below any other map
_ROOM: Final = 1.6  # the map grows no more than so for the sake of a plan
SDS: Final = 2.0  # inside or outside is said only beyond this many standard deviations
CLOSE: Final = (
    0.03  # and beyond this share of the radius, below which nobody flies on purpose; common practice
)


@dataclass(frozen=True, slots=True)
class Plan:
    """A north-up map of the neighbourhood: metres of the track's frame to paper."""

    east: float
    north: float
    scale: float
    top: float = _TOP
    bottom: float = _BOTTOM
    height: int = HEIGHT

    def x(self, east: Floats) -> Floats:
        """Return the places across the paper."""
        return svg.WIDTH / 2 + (east - self.east) * self.scale

    def y(self, north: Floats) -> Floats:
        """Return the places down the paper."""
        return (self.top + self.bottom) / 2 - (north - self.north) * self.scale

    def xy(self, east: float, north: float) -> tuple[float, float]:
        """Return one place."""
        return float(self.x(np.asarray(east))), float(self.y(np.asarray(north)))


def plan_of(states: States, assessed: Assessed) -> Plan:
    """Return a map that holds every sample of the maneuver and what it was flown about.

    One circle leaves the corners of the paper free; of anything else the map is as tall as what was flown
    needs, with the wind above it and the scale below.
    """
    east, north = extent(states, assessed)
    wide, tall = max(float(np.ptp(east)), 1e-3), max(float(np.ptp(north)), 1e-3)
    like = like_paper.shared()
    if like is not None:
        wide, tall = max(wide, like.wide), max(tall, like.tall)
    if assessed.maneuver.reference.type != "point":
        return _fitting(*_middle(east, north), wide, tall)
    scale = 1.0 / max(wide / (svg.WIDTH - 2 * _RIM), tall / (_BOTTOM - _TOP - 2 * _RIM))
    return Plan(*_middle(east, north), scale)


def fitted(east: Floats, north: Floats) -> Plan:
    """Return a map that holds some places, with the wind above it and the scale below [m]."""
    wide, tall = max(float(np.ptp(east)), 1e-3), max(float(np.ptp(north)), 1e-3)
    return _fitting(*_middle(east, north), wide, tall)


def _fitting(east: float, north: float, wide: float, tall: float) -> Plan:
    """Return a map about a middle that holds so much ground [m]."""
    across = svg.WIDTH - 2 * _RIM
    least, most = _LEAST - _HEAD - _FOOT, _MOST - _HEAD - _FOOT
    needed = tall * across / wide + 2 * _RIM
    paper = min(max(needed, least), most)
    scale = 1.0 / max(wide / across, tall / (paper - 2 * _RIM))
    return Plan(east, north, scale, _HEAD, _HEAD + paper, round(_HEAD + paper + _FOOT))


def _middle(east: Floats, north: Floats) -> tuple[float, float]:
    return float(east.min() + east.max()) / 2, float(north.min() + north.max()) / 2


def extent(states: States, assessed: Assessed) -> tuple[Floats, Floats]:
    """Return places that the map must hold: samples, the circles to be flown, what lies on the ground."""
    m = assessed.maneuver
    inside = slice(m.first, m.last + 1)
    rim = np.array([-m.radius, m.radius])
    places = np.array(m.reference.places).reshape(-1, 2)
    east, north = [states.east[inside]], [states.north[inside]]
    if m.reference.type == "point":
        east, north = [*east, m.reference.east + rim], [*north, m.reference.north + rim]
    elif m.reference.type in {"rectangle", "pylons"}:
        east, north = [*east, places[:, 0]], [*north, places[:, 1]]
    return _with_plan(assessed, *_known(np.concatenate(east), np.concatenate(north)))


def _known(east: Floats, north: Floats) -> tuple[Floats, Floats]:
    known = np.isfinite(east) & np.isfinite(north)
    return east[known], north[known]


def _with_plan(assessed: Assessed, east: Floats, north: Floats) -> tuple[Floats, Floats]:
    """Return the places and those of the planned path, unless that would make all else small."""
    if assessed.as_planned is None:
        return east, north
    planned = _known(assessed.as_planned.east, assessed.as_planned.north)
    both = np.concatenate((east, planned[0])), np.concatenate((north, planned[1]))
    wide, tall = float(np.ptp(both[0])), float(np.ptp(both[1]))
    return (
        both if max(wide, tall) <= _ROOM * max(float(np.ptp(east)), float(np.ptp(north))) else (east, north)
    )


def runs(mask: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Return the half-open stretches in which the mask holds."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], mask.astype(np.int8), [0]))))
    return [(int(a), int(b)) for a, b in edges.reshape(-1, 2)]


def lap_samples(assessed: Assessed) -> list[tuple[int, NDArray[np.int64]]]:
    """Return the samples of each lap, with the first of the next so that no line has a hole."""
    m = assessed.maneuver
    return [
        (number, np.arange(lap.first, min(lap.last + 1, m.last) + 1)) for number, lap in enumerate(m.laps, 1)
    ]


def about(assessed: Assessed, number: int) -> tuple[float, float]:
    """Return the place that a lap was to be flown about, east and north [m]; NaN where there is none."""
    lap = assessed.maneuver.laps[number - 1]
    return lap.about_east, lap.about_north


def sides(
    states: States, assessed: Assessed, number: int, index: NDArray[np.int64]
) -> dict[str, NDArray[np.bool_]]:
    """Return where the airplane was surely outside, surely inside, and on the circle as far as is known.

    Where the whole circle drifted, or no distance was to be held, there is no circle to be outside of.

    Parameters
    ----------
    states, assessed
        What was flown.
    number
        Of the lap whose circle counts.
    index
        Samples of it, and the first of the next one.
    """
    m = assessed.maneuver
    east, north = about(assessed, number)
    radial = np.hypot(states.east[index] - east, states.north[index] - north) - m.radius
    radial = np.where(m.drifts, 0.0, radial)
    sd = np.sqrt(states.position_sd[index] ** 2 + m.reference.sd**2 + m.radius_sd**2)
    sd = np.where(np.isfinite(sd), sd, 0.0)
    far = np.maximum(SDS * sd, CLOSE * m.radius)
    outside, inside = radial > far, radial < -far
    return {"outside": outside, "inside": inside, "on": ~(outside | inside)}
