"""A plan made for the page: the plan, or the one sentence on why there is none and the field it concerns."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from groundref.asking.plan import planned
from groundref.errors import InputError, NoSolutionError, UsageError
from groundref.planning import Plan
from groundref.planning.last_flown import parse_last
from groundref.reports import plan_page
from groundref.web.planning.address import asked, wrong
from groundref.web.planning.fleet import NONE, Airplanes


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
    """

    content: str
    says: str
    field: str = ""


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
) -> Made:
    """Return what the page shows of it.

    Parameters
    ----------
    said, airplanes, debrief
        As of ``plan_of``.
    size
        Of the pictures' letters.
    """
    try:
        plan = plan_of(said, airplanes, debrief)
    except (InputError, NoSolutionError, UsageError) as problem:
        field, sentence = wrong(problem)
        return Made("", sentence, field)
    return Made(plan_page.content(plan, size), plan_page.verdict(plan))
