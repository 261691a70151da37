"""The plan's lowest and highest height against the rules on the least height and the standard's band."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from groundref.errors import UsageError
from groundref.planning.inputs import Inputs
from groundref.planning.offered import both, figure, or_more
from groundref.planning.rules import Limit, Rules, load_rules
from groundref.planning.schedule import Extremes
from groundref.standards.loading import load_standard
from groundref.standards.standard import Element
from groundref.units import foot

FOLLOWING: Final = "eights-on-pylons"
"""The kind whose height follows from the speed."""
_ROUNDING: Final = 1e-6  # [m]


@dataclass(frozen=True, slots=True)
class Heights:
    """Heights above the ground [m].

    Attributes
    ----------
    lowest, highest
        Of the plan.
    rules
        Those it is held against.
    limit
        What they ask over the surroundings; None where those are not stated.
    least
        That as a height; None likewise, and where a distance from people and structures is asked for and none
        is stated.
    obstacle
        Height of the highest obstacle within the rule's distance; None where not stated.
    band
        Of the standard; None where it has none.
    """

    lowest: float
    highest: float
    rules: Rules
    limit: Limit | None
    least: float | None
    obstacle: float | None
    band: Element | None

    @property
    def band_low(self) -> float | None:
        """Lower end of the band [m]."""
        return None if self.band is None or self.band.minimum is None else self.band.minimum * foot

    @property
    def band_high(self) -> float | None:
        """Upper end of the band [m]."""
        return None if self.band is None or self.band.limit is None else self.band.limit * foot


def heights(inputs: Inputs, found: Extremes) -> Heights:
    """Return the heights of a plan against rules and standard."""
    around, limit = inputs.around, _limit(inputs)
    task = load_standard(inputs.standard).task(inputs.kind)
    elements = task.elements if task else ()
    band = next((each for each in elements if each.quantity == "height-band"), None)
    return Heights(
        lowest=found.height_min,
        highest=found.height_max,
        rules=load_rules(around.rules),
        limit=limit,
        least=_least(limit, around.obstacle),
        obstacle=around.obstacle,
        band=band,
    )


def refuse_too_low(inputs: Inputs) -> None:
    """Refuse a height below what the rules ask over the stated surroundings.

    Raises
    ------
    UsageError
        Naming the rule and the least height. A height that follows from the speed is not refused here.
    """
    limit = _limit(inputs)
    least = _least(limit, inputs.around.obstacle)
    if (
        limit is None
        or least is None
        or inputs.kind == FOLLOWING
        or keeps(limit, inputs.height, inputs.around.obstacle)
    ):
        return
    asked = asked_for(limit, inputs.around.obstacle)
    raise UsageError(
        f"{both(inputs.height)} above the ground is below the {asked} that "
        f"{limit.source} asks for here ({limit.what})",
        "height",
        f"plan {_or_more(limit, inputs.around.obstacle)}, or take another place",
    )


def keeps(limit: Limit, height: float, obstacle: float | None) -> bool:
    """Return whether a height above the ground [m] keeps a limit, by its feet or by its meters."""
    return height >= limit.kept_from(obstacle or 0.0) - _ROUNDING


def asked_for(limit: Limit, obstacle: float | None) -> str:
    """Return the least height that a limit asks for, in both units as it prints them."""
    over = obstacle or 0.0
    return f"{figure(limit.least_height(over) / foot)} ft ({figure(limit.least_metric(over))} m)"


def _or_more(limit: Limit, obstacle: float | None) -> str:
    over = obstacle or 0.0
    return or_more(limit.least_height(over), limit.least_metric(over))


def _limit(inputs: Inputs) -> Limit | None:
    around = inputs.around
    return None if around.surroundings is None else load_rules(around.rules).over(around.surroundings)


def _least(limit: Limit | None, obstacle: float | None) -> float | None:
    """Return the least height [m]; a distance from what may not be there at all is none."""
    if limit is None or (limit.above == "nearest" and obstacle is None):
        return None
    return limit.least_height(obstacle or 0.0)
