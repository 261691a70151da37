"""The next exercise out of the last debrief: a small change where something was weak, else a step up.

The rules are common practice, no source: one thing made easier at a time, as little as serves, and one thing
made harder when all was well. Each says what it saw, what it changes, and why; one whose change is overridden
by what is asked for says that, and where none fits, that is said too. They propose; the instructor decides.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from groundref.planning.asked import Blowing, Day, Wanted, Where
from groundref.planning.carried import carry
from groundref.planning.fit import TEACHING
from groundref.planning.ladder_case import Case
from groundref.planning.ladder_rules import RULES
from groundref.planning.last_flown import Last
from groundref.planning.step import Step
from groundref.planning.wider import wide_enough
from groundref.standards.usual import usual
from groundref.units import degree, foot, knot


@dataclass(frozen=True, slots=True)
class Next:
    """The exercise proposed.

    Attributes
    ----------
    wanted, wind, day, where
        To plan with: what was given, else what is known from the debrief.
    steps
        What is changed, and why, most important first; never empty.
    flown
        What was wanted before any step.
    """

    wanted: Wanted
    wind: Blowing | None
    day: Day
    where: Where
    steps: tuple[Step, ...]
    flown: Wanted


def propose(
    last: Last,
    asked: Wanted,
    *,
    wind: Blowing | None = None,
    day: Day | None = None,
    where: Where | None = None,
    direction_given: bool = False,
) -> Next:
    """Return the next exercise after the last of some maneuvers of one kind.

    Parameters
    ----------
    last
        As `read_last` returns it.
    asked
        What is asked for anyway: that stands, and no rule changes it.
    wind, day, where
        As given; what was not said is taken from the debrief.
    direction_given
        Whether the direction asked for stands, too; else the one flown counts.
    """
    carried = carry(last, asked, wind, day or Day(), where or Where())
    begun = carried.wanted
    if direction_given:
        begun = replace(begun, direction=asked.direction)
    case = Case(
        flown=last,
        asked=asked,
        direction_given=direction_given,
        wind_given=wind is not None,
        wind=carried.wind,
        day=carried.day,
        now=begun,
    )
    for rule in RULES:
        wanted, step = rule(case)
        case = replace(case, now=wanted, steps=case.steps + (() if step is None else (step,)))
    case = _with_room(case)
    return Next(
        _as_typed(case.now, asked),
        _wind_as_typed(carried.wind, wind),
        case.day,
        _place_as_typed(carried.where, where),
        case.steps,
        _as_typed(begun, asked),
    )


def _as_typed(wanted: Wanted, asked: Wanted) -> Wanted:
    """Return what is taken over as it would be typed, so that what a form shows is what is used."""
    return replace(
        wanted,
        true_airspeed=_stepped(wanted.true_airspeed, asked.true_airspeed, 0.1 * knot),
        radius=_stepped(wanted.radius, asked.radius, foot),
        bank_limit=_stepped(wanted.bank_limit, asked.bank_limit, 0.1 * degree),
        course=_stepped(wanted.course, asked.course, 0.1 * degree),
        spacing=_stepped(wanted.spacing, asked.spacing, foot),
    )


def _wind_as_typed(wind: Blowing | None, asked: Blowing | None) -> Blowing | None:
    if wind is None or asked is not None:
        return wind
    whence = degree * (round(wind.direction_from / degree, 1) % 360.0)
    return replace(wind, speed=0.1 * knot * round(wind.speed / (0.1 * knot)), direction_from=whence)


def _place_as_typed(where: Where, asked: Where | None) -> Where:
    if where.latitude is None or (asked is not None and asked.latitude is not None):
        return where
    step = degree * 1e-6
    return replace(
        where,
        latitude=_stepped(where.latitude, None, step),
        longitude=_stepped(where.longitude, None, step),
    )


def _stepped(value: float | None, asked: float | None, step: float) -> float | None:
    return value if value is None or asked is not None else step * round(value / step)


def _with_room(case: Case) -> Case:
    """Leave the pylons flown about where loops of the least bank that is told of have no room there."""
    inputs, spacing = case.inputs, case.now.spacing
    if case.last.kind != "eights-around-pylons" or spacing is None or case.asked.spacing is not None:
        return case
    if inputs is not None and 2.0 * wide_enough(inputs, TEACHING, usual(case.last.kind).radius) <= spacing:
        return case
    words = "The pylons of the debrief are too near to each other for this plan, so others are planned."
    day = replace(case.day, assumptions=(*case.day.assumptions, words))
    return replace(case, now=replace(case.now, spacing=None), day=day)
