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


@dataclass(frozen=True, slots=True)
class Next:
    """The exercise proposed.

    Attributes
    ----------
    wanted, wind, day, where
        To plan with: what was given, else what is known from the debrief.
    steps
        What is changed, and why, most important first; never empty.
    """

    wanted: Wanted
    wind: Blowing | None
    day: Day
    where: Where
    steps: tuple[Step, ...]


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
    return Next(case.now, carried.wind, case.day, carried.where, case.steps)


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
