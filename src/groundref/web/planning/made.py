"""A plan made for the page: the plan, or the one sentence on why there is none and the field it concerns."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Set
from dataclasses import dataclass
from typing import Final

from groundref.asking.both import set_aside
from groundref.asking.plan import planned
from groundref.errors import InputError, NoSolutionError, OutOfRangeError, UsageError
from groundref.planning import Plan
from groundref.planning.last_flown import parse_last
from groundref.reports import plan_page
from groundref.reports.reading import METRIC, US, reading
from groundref.web.planning import before
from groundref.web.planning.address import asked, in_labels, unreadable, wrong
from groundref.web.planning.before import Filled
from groundref.web.planning.fields import fields
from groundref.web.planning.fleet import NONE, Airplanes

_NOT_THE_LESSONS: Final = "The wind is that of the report, not that of the lesson before."


@dataclass(frozen=True, slots=True)
class Made:
    """What the page shows of a plan.

    Attributes
    ----------
    content
        HTML of the plan; empty where there is none.
    says
        What it comes to, in one or two sentences, or why there is none.
    field
        That is to be changed, where there is no plan and one field is why.
    filled
        Fields that the lesson before fills in, by name.
    notes
        What is to be said beside a field: what is typed in it and not used, and why.
    others
        What is wrong with further fields, by name.
    """

    content: str
    says: str
    field: str = ""
    filled: dict[str, Filled] = dataclasses.field(default_factory=dict)
    notes: dict[str, str] = dataclasses.field(default_factory=dict)
    others: dict[str, str] = dataclasses.field(default_factory=dict)

    @property
    def wrong(self) -> dict[str, str]:
        """What is wrong beside each field, the one that is named first."""
        return ({self.field: self.says} if self.field else {}) | self.others

    @property
    def named(self) -> str:
        """What the field is called that is to be changed; empty where there is none."""
        return fields()[self.field].own_name if self.field else ""


def plan_of(said: Mapping[str, str], airplanes: Airplanes = NONE, debrief: bytes | None = None) -> Plan:
    """Return the plan that the fields ask for.

    Parameters
    ----------
    said
        What the fields are filled in with.
    airplanes
        Data files of those that may be chosen beside the package's own, by name.
    debrief
        JSON of the lesson that it is the next exercise after.

    Raises
    ------
    GroundrefError
        As planning does.
    """
    wanted = asked(said, airplanes)
    last = None if debrief is None else parse_last(debrief, "--after", wanted.maneuver)
    return planned(wanted, last)


def made(
    said: Mapping[str, str],
    airplanes: Airplanes = NONE,
    debrief: bytes | None = None,
    size: str = "wide",
    units: str = US,
) -> Made:
    """Return what the page shows of it.

    Parameters
    ----------
    said, airplanes, debrief
        As of ``plan_of``.
    size
        Of the pictures' letters.
    units
        That it is read in.
    """
    filled: dict[str, Filled] = {}
    notes: dict[str, str] = {}
    metric = units == METRIC
    try:
        wanted = asked(said, airplanes)
        for each in set_aside(wanted):
            notes.setdefault(each.option[2:].replace("-", "_"), in_labels(each.says, metric=metric))
    except (InputError, UsageError):
        pass  # said below
    try:
        if debrief is not None:
            last = parse_last(debrief, "--after", said["maneuver"])
            filled = before.filled(said, airplanes, last)
            if {"metar", "winds_aloft"} & said.keys() and "wind" not in said:
                notes.setdefault("wind", _NOT_THE_LESSONS)
        plan = plan_of(said, airplanes, debrief)
    except (InputError, NoSolutionError, UsageError) as problem:
        field, sentence = wrong(problem, said, metric=metric)
        others = _further(said, {field}, airplanes, debrief, metric=metric)
        return Made("", sentence, field, filled, notes, others)
    with reading(units):
        return Made(plan_page.content(plan, size), plan_page.verdict(plan), "", filled, notes)


def _further(
    said: Mapping[str, str], told: Set[str], airplanes: Airplanes, debrief: bytes | None, *, metric: bool
) -> dict[str, str]:
    """Return what is wrong with further fields by themselves: what cannot be read, and what is out of range.

    Only planning knows its ranges, and it refuses the first. So it is asked again without each field that it
    refuses; what does not fit together, then, is not told, as it may have fitted that field.
    """
    found = {name: says for name, says in unreadable(said, metric=metric).items() if name not in told}
    rest = {name: text for name, text in said.items() if name not in found and name not in told}
    while "maneuver" in rest:
        try:
            plan_of(rest, airplanes, debrief if "after" in rest else None)
        except (InputError, NoSolutionError, UsageError) as problem:
            field, sentence = wrong(problem, rest, metric=metric)
            if field not in rest:
                break
            if isinstance(problem, OutOfRangeError | InputError) or repr(rest[field]) in problem.what:
                found[field] = sentence
            del rest[field]
        else:
            break
    return {name: found[name] for name in said if name in found}
