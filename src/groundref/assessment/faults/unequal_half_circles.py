"""Half circles of one radius on one side of the line and of another on the other side.

Each half circle has a circle fitted to it alone, its rolls left out. The radii of the half circles upwind of
the line are compared with those downwind of it; where the wind has no direction, or blows along the line, the
ones that turn right with those that turn left.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from groundref.assessment.assessed import Finding
from groundref.assessment.details import LineFlown
from groundref.assessment.faults.mention import supported
from groundref.assessment.flown import Flown
from groundref.assessment.line_flown import out
from groundref.assessment.profile import turn_sign
from groundref.assessment.said import laps_said, plus_minus
from groundref.measures import apart, length
from groundref.units import foot

NAME: Final = "unequal-half-circles"
OF_RADIUS: Final = 0.15  # difference that shows on the ground; common practice, no source
NOTICED: Final = 150.0 * foot  # [m] which is noticed at any radius; common practice, no source
ACROSS: Final = 0.5  # share of the wind across the line from which one side is upwind of it


@dataclass(frozen=True, slots=True)
class Sides:
    """The half circles on the two sides of the line.

    Attributes
    ----------
    names
        What the sides are called.
    laps
        Numbers of the half circles on each.
    radii
        Their mean radius on each [m]
    sd
        Standard deviation of the difference [m]
    windward
        Whether the first side is the upwind one; else they are only told apart by the turn.
    """

    names: tuple[str, str]
    laps: tuple[tuple[int, ...], tuple[int, ...]]
    radii: tuple[float, float]
    sd: float
    windward: bool

    @property
    def more(self) -> float:
        """Radius on the first side less that on the second [m]."""
        return self.radii[0] - self.radii[1]


def find(flown: Flown) -> Finding | None:
    """Compare the half circles of the two sides."""
    if not isinstance(flown.details, LineFlown):
        return None
    both = sides(flown)
    threshold = min(OF_RADIUS * flown.maneuver.radius, NOTICED)
    if both is None or not supported(abs(both.more), both.sd, threshold):
        return None
    counted = [flown.maneuver.laps[lap - 1] for lap in (*both.laps[0], *both.laps[1])]
    return Finding(
        fault=NAME,
        laps=tuple(sorted((*both.laps[0], *both.laps[1]))),
        size=abs(both.more) / foot,
        size_sd=both.sd / foot,
        size_unit="ft",
        start=min(lap.start for lap in counted),
        end=max(lap.end for lap in counted),
        position="",
        consequence_ft=abs(both.more) / foot,
        consequence_sd_ft=both.sd / foot,
        strength=abs(both.more) / threshold,
        says=_says(flown, both),
        cure=_cure(flown, both),
    )


def sides(flown: Flown) -> Sides | None:
    """Return the radii on the two sides of the line; None where whole half circles lie on one side only."""
    maneuver, wind = flown.maneuver, flown.maneuver.wind
    laps = {number: maneuver.laps[number - 1] for number in flown.whole_laps}
    windward = False
    first = {number: turn_sign(lap) > 0.0 for number, lap in laps.items()}
    if wind is not None and flown.wind_felt:
        across = {
            number: float(np.cos(out(maneuver, lap) - wind.direction_to)) for number, lap in laps.items()
        }
        windward = all(abs(share) >= ACROSS for share in across.values())
        first = {number: share < 0.0 for number, share in across.items()} if windward else first
    one = tuple(number for number, is_first in first.items() if is_first)
    other = tuple(number for number, is_first in first.items() if not is_first)
    if not one or not other:
        return None
    radii = [float(np.mean([laps[number].radius for number in side])) for side in (one, other)]
    variances = [np.sum([laps[n].radius_sd ** 2 for n in side]) / len(side) ** 2 for side in (one, other)]
    names = ("upwind of the line", "downwind of it") if windward else ("turning right", "turning left")
    return Sides(names, (one, other), (radii[0], radii[1]), float(np.sqrt(sum(variances))), windward)


def _says(flown: Flown, both: Sides) -> str:
    """Return the sentence with both radii."""
    said = [
        f"{laps_said(laps, flown.words.lap)}, {name}, had a radius of {length(radius)}"
        for laps, name, radius in zip(both.laps, both.names, both.radii, strict=True)
    ]
    second = said[1][0].lower() + said[1][1:]
    return f"{said[0]}; {second}: a difference of {apart(*both.radii)} ({plus_minus(both.sd)})."


def _cure(flown: Flown, both: Sides) -> str:
    """Return what to do on the side where it went wrong most often."""
    reach = length(flown.maneuver.radius)
    if not both.windward:
        return f"Choose marks on the ground {reach} from the line on both sides, and turn over them."
    if both.more < 0.0:
        return (
            "After crossing into the wind roll in gently and steepen only as the wind comes behind; after "
            f"crossing downwind roll in briskly: on both sides the turn should reach out {reach}."
        )
    return (
        "After crossing into the wind let the bank grow steadily, so that the turn does not reach out too "
        f"far; after crossing downwind begin steep and shallow it in time: {reach} on both sides."
    )
