"""The map under the circle from above, and where on it the airplane was outside or inside."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.assessment.assessed import Assessed
from groundref.estimation.states import States
from groundref.reports import svg

Floats = NDArray[np.float64]

HEIGHT: Final = 612
_TOP, _BOTTOM = 54.0, 590.0  # wind and north stand above the map
_RIM: Final = 34.0  # paper kept free round the outermost line
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

    def x(self, east: Floats) -> Floats:
        """Return the places across the paper."""
        return svg.WIDTH / 2 + (east - self.east) * self.scale

    def y(self, north: Floats) -> Floats:
        """Return the places down the paper."""
        return (_TOP + _BOTTOM) / 2 - (north - self.north) * self.scale

    def xy(self, east: float, north: float) -> tuple[float, float]:
        """Return one place."""
        return float(self.x(np.asarray(east))), float(self.y(np.asarray(north)))


def plan_of(states: States, assessed: Assessed) -> Plan:
    """Return a map that holds every sample of the maneuver and the whole circle."""
    m = assessed.maneuver
    inside = slice(m.first, m.last + 1)
    rim = np.array([-m.radius, m.radius])
    east = np.concatenate((states.east[inside], m.reference.east + rim))
    north = np.concatenate((states.north[inside], m.reference.north + rim))
    middle_east, middle_north = (east.min() + east.max()) / 2, (north.min() + north.max()) / 2
    wide = max(
        float(np.ptp(east)) / (svg.WIDTH - 2 * _RIM), float(np.ptp(north)) / (_BOTTOM - _TOP - 2 * _RIM)
    )
    return Plan(float(middle_east), float(middle_north), 1.0 / max(wide, 1e-6))


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


def sides(states: States, assessed: Assessed, index: NDArray[np.int64]) -> dict[str, NDArray[np.bool_]]:
    """Return where the airplane was surely outside, surely inside, and on the circle as far as is known.

    Where the whole circle drifted, there is no circle to be outside of.
    """
    m = assessed.maneuver
    radial = np.where(m.drifts, 0.0, assessed.profile.radial[index - m.first])
    sd = np.sqrt(states.position_sd[index] ** 2 + m.reference.sd**2 + m.radius_sd**2)
    sd = np.where(np.isfinite(sd), sd, 0.0)
    far = np.maximum(SDS * sd, CLOSE * m.radius)
    outside, inside = radial > far, radial < -far
    return {"outside": outside, "inside": inside, "on": ~(outside | inside)}
