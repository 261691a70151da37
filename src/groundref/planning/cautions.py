"""What the reader of a plan should be warned of: specific to it, most serious first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import IntEnum

from groundref.measures import in_metric, in_us, length, speed_in_both
from groundref.planning.fit import CEILING, TOLERANCE, Fit
from groundref.planning.inputs import Inputs
from groundref.planning.layout import Layout
from groundref.planning.schedule import Extremes
from groundref.units import degree

STANDING = (
    "Training aid, not for use in flight: the pilot's operating handbook, local rules and a licensed "
    "instructor decide."
)
"""The line under every plan."""


class Weight(IntEnum):
    """How serious a caution is."""

    STOP = 3
    """Do not fly it so."""
    CARE = 2
    """Fly it with care, or change the plan."""
    NOTE = 1
    """Good to know."""


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution.

    Attributes
    ----------
    weight
        How serious.
    name
        Short and stable, for programs, such as `bank-above-limit`.
    says
        One plain sentence, with the numbers in feet and knots; where it is made, with measures that are still
        open (see `measures`).
    source
        Publication and paragraph; empty where it follows from the numbers alone.
    says_metric
        The sentence in meters and kilometers per hour.
    """

    weight: Weight
    name: str
    says: str
    source: str = ""
    says_metric: str = ""


def cautions(
    inputs: Inputs, layout: Layout, found: Extremes, fit: Fit | None, of_others: Sequence[Caution] = ()
) -> tuple[Caution, ...]:
    """Return what to be warned of, the others among them, most serious first."""
    said = [*_of_fit(inputs, layout, fit), *_of_bank(inputs, found), *of_others]
    told = [replace(each, says=in_us(each.says), says_metric=in_metric(each.says)) for each in said]
    return tuple(sorted(told, key=lambda caution: -caution.weight))


def _of_fit(inputs: Inputs, layout: Layout, fit: Fit | None) -> list[Caution]:
    """Return what does not fit together, and what gives way: the radius."""
    if fit is None or fit.works or layout.radius is None:
        return []
    in_wind, wider = " in still air", ""
    if inputs.wind_speed > 0.0:
        in_wind = f" in this wind and {_bank(fit.bank_needed_still)} in still air"
        wider = f" ({length(fit.radius_needed_still)} in still air)"
    says = (
        f"{speed_in_both(inputs.true_airspeed)} true, {length(layout.radius)} and {_bank(fit.bank_limit)} do "
        f"not fit together: this radius needs {_bank(fit.bank_needed)}{in_wind}; fly wider, "
        f"{length(fit.radius_needed)}{wider}."
    )
    return [Caution(Weight.CARE, "bank-above-limit", says)]


def _of_bank(inputs: Inputs, found: Extremes) -> list[Caution]:
    """Return a word on a bank above the handbook's ceiling, which is one of maneuvers about the ground."""
    if inputs.kind == "steep-turns" or found.bank_max <= CEILING + TOLERANCE:
        return []
    says = f"The steepest bank is {_bank(found.bank_max)}: above 45° the handbook says to leave and widen."
    return [Caution(Weight.STOP, "bank-above-ceiling", says, "FAA-H-8083-3C, p. 7-5")]


def _bank(angle: float) -> str:
    return f"{angle / degree:.0f}°"
