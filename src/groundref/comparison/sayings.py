"""Plan and flight in words: one plain sentence for each difference that is worth one."""

from __future__ import annotations

from dataclasses import replace
from math import hypot, isfinite
from typing import Final

from groundref.assessment.assessed import Assessed, Finding
from groundref.assessment.by_side import LEFT, RIGHT, mean_radius
from groundref.comparison.differing import SDS, bank_worth, radius_worth
from groundref.comparison.row import Row
from groundref.measures import apart, in_metric, in_us, length, length_sd, speed, speeds_apart
from groundref.planning import Plan
from groundref.planning.wider import told
from groundref.units import degree, knot

_WIND_WORTH: Final = 3.0 * knot  # so large that a student should hear of it; common practice, no source
_SPEED_WORTH: Final = 5.0 * knot
_BANK_WORTH: Final = 2.0 * degree
_TWO_SIDED: Final = {
    "s-turns": "half circles",
    "eights-along-a-road": "loops",
    "eights-across-a-road": "loops",
    "eights-around-pylons": "loops",
}
"""What is flown in turn to the one side and to the other, and should be of one radius."""
_OF_BANK: Final = ("bank-over-limit", "underbanked-downwind", "bank-held-constant")


def remarks(plan: Plan, as_flown: Plan | None, assessed: Assessed, rows: tuple[Row, ...]) -> tuple[str, ...]:
    """Return what is worth a word, most important first."""
    said = (
        _of_limit(plan, as_flown),
        _of_wind(plan, as_flown, assessed),
        _of_radius(plan, assessed),
        _of_sizes(plan, assessed),
        _of_bank(plan, as_flown, rows),
        _of_speed(plan, assessed),
        _of_direction(plan, assessed),
    )
    return tuple(words for words in said if words)


def cured(finding: Finding, plan: Plan, as_flown: Plan | None) -> Finding:
    """Return a finding with its cure: where the plan asked for the error, the plan is what to cure."""
    made = as_flown or plan
    if finding.fault not in _OF_BANK or made.fit is None or made.fit.works:
        return finding
    where = "this wind" if as_flown is not None else "the wind planned for"
    cure = (
        f"Fly wider: at {speed(made.inputs.true_airspeed)} in {where}, "
        f"{length(told(made.fit.radius_needed))} need no more than {_bank(made.fit.bank_limit)}; "
        f"the planned {_feet(plan)} needed {_bank(made.fit.bank_needed)}."
    )
    return replace(finding, cure=in_us(cure), cure_metric=in_metric(cure))


def _of_limit(plan: Plan, as_flown: Plan | None) -> str:
    """Say that the planned radius could not be flown within its bank limit."""
    made = as_flown or plan
    if made.fit is None or made.fit.works:
        return ""
    already = plan.fit is not None and not plan.fit.works
    begun = "Already as planned" if already else "In the wind that blew"
    return (
        f"{begun}, {_feet(plan)} needed {_bank(made.fit.bank_needed)} of bank at its steepest, over the "
        f"limit of {_bank(made.fit.bank_limit)} that the plan was made for: next time fly wider, "
        f"{length(told(made.fit.radius_needed))}, rather than bank less."
    )


def _of_wind(plan: Plan, as_flown: Plan | None, assessed: Assessed) -> str:
    """Say how the wind differed from the one briefed, and what that asked for."""
    wind, inputs = assessed.maneuver.wind, plan.inputs
    if wind is None:
        return ""
    east, north = wind.east - inputs.air.east, wind.north - inputs.air.north
    if hypot(east, north) < max(_WIND_WORTH, SDS * hypot(wind.east_sd, wind.north_sd)):
        return ""
    more = wind.speed - inputs.wind_speed
    way = "stronger" if more > 0 else "lighter"
    how = f"{speeds_apart(wind.speed, inputs.wind_speed)} {way}" if abs(more) >= knot else "other"
    said = (
        f"The wind was {how} than briefed: {_wind(wind.direction_from, wind.speed)} in place of "
        f"{_wind(inputs.wind_from, inputs.wind_speed)}"
    )
    if as_flown is None or plan.layout.radius is None:
        return f"{said}."
    now, then = as_flown.extremes.bank_max, plan.extremes.bank_max
    if abs(now - then) < _BANK_WORTH:
        return f"{said}; the steepest bank needed stayed near {_bank(then)}."
    return f"{said}, so the planned radius needed {_bank(now)} at its steepest, not {_bank(then)}."


def _of_radius(plan: Plan, assessed: Assessed) -> str:
    """Say how the radius flown differed from the one planned."""
    planned, maneuver = plan.layout.radius, assessed.maneuver
    if planned is None or not maneuver.radius > 0.0:
        return ""
    more = maneuver.radius - planned
    if abs(more) < radius_worth(planned, maneuver.radius_sd):
        return ""
    way = "wider" if more > 0 else "tighter"
    return (
        f"Flown {apart(maneuver.radius, planned)} {way} than planned: {length(maneuver.radius)} "
        f"(± {length_sd(maneuver.radius_sd)}) in place of {length(planned)}."
    )


def _of_sizes(plan: Plan, assessed: Assessed) -> str:
    """Say that the half circles or loops of the two sides were not of one radius."""
    word = _TWO_SIDED.get(plan.inputs.kind)
    (right, right_sd), (left, left_sd) = (mean_radius(assessed.maneuver.laps, s) for s in (RIGHT, LEFT))
    if word is None or plan.layout.radius is None or not isfinite(right + left):
        return ""
    if abs(right - left) < radius_worth(plan.layout.radius, hypot(right_sd, left_sd)):
        return ""
    return (
        f"Planned with one radius, flown with two: {word} to the left {length(left)}, to the right "
        f"{length(right)}, where {_feet(plan)} were planned for both."
    )


def _of_bank(plan: Plan, as_flown: Plan | None, rows: tuple[Row, ...]) -> str:
    """Say that the steepest bank was another one than the plan asks for in the wind that blew."""
    flown, sd = next((row.flown, row.sd) for row in rows if row.name == "steepest bank")
    needed = (as_flown or plan).extremes.bank_max
    if flown is None or abs(flown - needed) < bank_worth(sd or 0.0):
        return ""
    planned = plan.extremes.bank_max
    way = "steeper" if flown > needed else "shallower"
    beside = f"the {_bank(planned)} planned"
    if abs(needed - planned) >= 0.5 * degree:
        beside = f"the {_bank(needed)} that the plan needed in this wind"
    return (
        f"At its steepest the bank was {_bank(flown)} (± {max((sd or 0.0) / degree, 1.0):.0f}°), "
        f"{abs(round(flown / degree) - round(needed / degree))}° {way} than {beside}."
    )


def _of_speed(plan: Plan, assessed: Assessed) -> str:
    """Say how the airspeed differed from the one planned."""
    wind = assessed.maneuver.wind
    if wind is None:
        return ""
    more = wind.true_airspeed - plan.inputs.true_airspeed
    if abs(more) < max(_SPEED_WORTH, SDS * wind.true_airspeed_sd):
        return ""
    return (
        f"Flown {speeds_apart(wind.true_airspeed, plan.inputs.true_airspeed)} "
        f"{'faster' if more > 0 else 'slower'} than planned: "
        f"{speed(wind.true_airspeed)} true in place of {speed(plan.inputs.true_airspeed)}."
    )


def _of_direction(plan: Plan, assessed: Assessed) -> str:
    """Say that the turns went the other way."""
    planned = "right" if plan.inputs.side > 0 else "left"
    flown = assessed.maneuver.direction
    if flown not in ("left", "right") or flown == planned:
        return ""
    return f"Planned to the {planned}, flown to the {flown}."


def _feet(plan: Plan) -> str:
    return "the plan" if plan.layout.radius is None else length(plan.layout.radius)


def _bank(angle: float) -> str:
    return f"{angle / degree:.0f}°"


def _wind(direction: float, blows: float) -> str:
    return f"{direction / degree:03.0f}°, {speed(blows)}"
