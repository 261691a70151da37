"""What was planned against what was flown, number by number, and what the real wind asked for instead."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import hypot, isfinite
from typing import Final

import numpy as np

from groundref.assessment.assessed import Assessed
from groundref.assessment.held import lap_bank
from groundref.comparison.differing import in_short
from groundref.comparison.laid import laid
from groundref.comparison.row import Row
from groundref.comparison.sayings import cured, remarks
from groundref.debriefing import Debrief
from groundref.detection import named
from groundref.errors import GroundrefError
from groundref.estimation.wind_value import Wind
from groundref.measures import in_metric, in_us
from groundref.planning import Plan, make
from groundref.units import nautical_mile

_SAME_PLACE: Final = 2.0 * nautical_mile
"""A maneuver farther from the place planned for was flown elsewhere; own figure."""
_WHOLE: Final = ("turns-around-a-point", "rectangular-course")
"""Kinds of which a lap is all that the plan shows."""


@dataclass(frozen=True, slots=True)
class Comparison:
    """A plan and the maneuver that was flown by it.

    Attributes
    ----------
    plan
        As made before the flight.
    as_flown
        The same maneuver in the wind and at the airspeed of the flight, planned radius kept; None where that
        wind is not known or nothing can be flown so.
    number
        Of the maneuver in the debrief, from 1; None where none of its kind was flown there, so that nothing
        is compared, and `says` tells why.
    rows
        Number by number.
    says
        What is worth a word, most important first, one plain sentence each, in feet and knots.
    in_short
        The sentence where nothing is: flown as planned, but for the findings, or in which numbers not.
    says_metric
        As ``says``, in meters and kilometers per hour.
    in_short_metric
        As ``in_short``, likewise.
    """

    plan: Plan
    as_flown: Plan | None
    number: int | None
    rows: tuple[Row, ...]
    says: tuple[str, ...]
    in_short: str = ""
    says_metric: tuple[str, ...] = ()
    in_short_metric: str = ""


def compare(debrief: Debrief, plan: Plan) -> Comparison:
    """Set a debrief against the plan that was flown.

    Parameters
    ----------
    debrief
        What was concluded from the recording.
    plan
        The plan.
    """
    number = _flown_by(debrief, plan)
    if number is None:
        return Comparison(plan, None, None, (), (_not_compared(debrief, plan.inputs.kind),))
    assessed = debrief.maneuvers[number - 1]
    as_flown = _in_this_wind(plan, assessed)
    rows = _rows(debrief, plan, assessed)
    said, short = remarks(plan, as_flown, assessed, rows), in_short(rows, found=bool(assessed.findings))
    us, metric = (tuple(read(each) for each in said) for read in (in_us, in_metric))
    return Comparison(plan, as_flown, number, rows, us, in_us(short), metric, in_metric(short))


def _not_compared(debrief: Debrief, kind: str) -> str:
    """Return why nothing that was flown is compared with a plan of a kind."""
    wanted = named.in_sentence(kind)
    kinds = list(dict.fromkeys(one.maneuver.kind for one in debrief.maneuvers))
    if not kinds:
        return f"The plan is for {wanted}, and no maneuver was found that could be compared with it."
    if kind in kinds:
        return (
            f"The plan is for {wanted}, and those that were flown are more than "
            f"{_SAME_PLACE / nautical_mile:.0f} nautical miles from its place, so they are not compared."
        )
    flown = " and ".join(named.in_sentence(each) for each in kinds)
    return (
        f"The plan is for {wanted}, and what was flown is {flown}: "
        "plan and flight are of different kinds, so they are not compared."
    )


def _flown_by(debrief: Debrief, plan: Plan) -> int | None:
    """Return the number of the maneuver that the plan was for: of its kind, nearest to its place."""
    inputs, found = plan.inputs, []
    for number, assessed in enumerate(debrief.maneuvers, 1):
        if assessed.maneuver.kind != inputs.kind:
            continue
        far = 0.0
        if inputs.latitude is not None and inputs.longitude is not None:
            east, north = debrief.track.frame.to_local(inputs.latitude, inputs.longitude)
            part = slice(assessed.maneuver.first, assessed.maneuver.last + 1)
            middle = debrief.states.east[part].mean(), debrief.states.north[part].mean()
            far = hypot(float(middle[0] - east), float(middle[1] - north))
        found.append((far, number))
    if not found:
        return None
    nearest, number = min(found)
    return number if nearest <= _SAME_PLACE else None


def _in_this_wind(plan: Plan, assessed: Assessed) -> Plan | None:
    """Return the plan made anew for the wind and airspeed that were flown in."""
    wind = assessed.maneuver.wind
    if wind is None or not isfinite(wind.true_airspeed):
        return None
    inputs = replace(
        plan.inputs,
        wind_speed=wind.speed,
        wind_from=wind.direction_from,
        true_airspeed=wind.true_airspeed,
        side=_side(assessed, plan.inputs.side),
    )
    try:
        return make(inputs)
    except GroundrefError:  # steeper than anyone flies, or no way between the pylons
        return None


def _side(assessed: Assessed, otherwise: float) -> float:
    """Return the direction of the first turn flown: +1 right, −1 left."""
    laps = assessed.maneuver.laps
    return float(np.sign(laps[0].turn)) if laps else otherwise


def _rows(debrief: Debrief, plan: Plan, assessed: Assessed) -> tuple[Row, ...]:
    """Return the numbers side by side."""
    maneuver, found, wind = assessed.maneuver, plan.extremes, assessed.maneuver.wind
    part = slice(maneuver.first, maneuver.last + 1)
    speed = debrief.states.ground_speed[part]
    banks = [pair for lap in maneuver.laps if (pair := lap_bank(debrief.states, maneuver, lap)) is not None]
    bank_sd = None if assessed.bank is None else assessed.bank.sd
    return (
        *_of_wind(plan, wind),
        Row("radius", "length", plan.layout.radius, _or_none(maneuver.radius), _or_none(maneuver.radius_sd)),
        Row("steepest bank", "angle", found.bank_max, max((b[0] for b in banks), default=None), bank_sd),
        Row("shallowest bank", "angle", found.bank_min, min((b[1] for b in banks), default=None), bank_sd),
        Row("fastest ground speed", "speed", found.ground_speed_max, float(speed.max())),
        Row("slowest ground speed", "speed", found.ground_speed_min, float(speed.min())),
        Row("once through", "time", found.time, _once(plan, assessed)),
        Row(
            "height at the start",
            "length",
            float(plan.schedule.height[0]),
            assessed.height_reference,
            assessed.height_sd if assessed.height_reference is not None else None,
        ),
    )


def _of_wind(plan: Plan, wind: Wind | None) -> tuple[Row, ...]:
    """Return the wind and the airspeed side by side."""
    inputs = plan.inputs
    planned = (
        ("wind", "speed", inputs.wind_speed),
        ("wind from", "direction", inputs.wind_from if inputs.wind_speed > 0.0 else None),
        ("true airspeed", "speed", inputs.true_airspeed),
    )
    flown: tuple[tuple[float | None, float | None], ...] = ((None, None),) * len(planned)
    if wind is not None:
        flown = (
            (wind.speed, wind.speed_sd),
            (wind.direction_from, wind.direction_sd),
            (wind.true_airspeed, wind.true_airspeed_sd),
        )
    return tuple(Row(*one, *other) for one, other in zip(planned, flown, strict=True))


def _once(plan: Plan, assessed: Assessed) -> float | None:
    """Return how long it took to fly once what the plan shows once through [s].

    From the beginning of one time through to that of another; to the end of the last turn where the plan
    ends with a turn, too.
    """
    laps, pieces = assessed.maneuver.laps, plan.layout.pieces
    per = 1 if plan.inputs.kind in _WHOLE else sum(1 for piece in pieces if piece.side)
    if pieces[-1].side and len(laps) >= per:
        times = len(laps) // per
        return (laps[times * per - 1].end - laps[0].start) / times
    times = (len(laps) - 1) // per
    return (laps[times * per].start - laps[0].start) / times if times > 0 else None


def _or_none(value: float) -> float | None:
    return value if isfinite(value) else None


def with_plan(debrief: Debrief, comparison: Comparison) -> Debrief:
    """Return the debrief with the plan beside what was flown, and with the cures that it changes.

    Who planned too tight a turn must fly wider.

    Parameters
    ----------
    debrief
        What was concluded.
    comparison
        It and the plan.
    """
    if comparison.number is None:
        return debrief
    at = comparison.number - 1
    assessed = debrief.maneuvers[at]
    findings = tuple(cured(finding, comparison.plan, comparison.as_flown) for finding in assessed.findings)
    beside = replace(assessed, findings=findings, as_planned=laid(debrief, comparison.plan, assessed))
    maneuvers = (*debrief.maneuvers[:at], beside, *debrief.maneuvers[at + 1 :])
    return replace(debrief, maneuvers=maneuvers)
