"""What the brief says: every figure from the plan, in the order of the page, for the template to set."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from groundref.detection import named
from groundref.planning import Plan
from groundref.planning.cautions import STANDING, Caution, Weight
from groundref.reports import plan_words, words
from groundref.reports.brief.common import safety
from groundref.reports.brief.errors import errors, look_for
from groundref.reports.brief.instead import instead
from groundref.reports.brief.letters import legible
from groundref.reports.brief.lines import together
from groundref.reports.brief.schedule import schedule
from groundref.reports.figures import planned, planned_bank, planned_sight
from groundref.reports.figures.planned_stop import WORDS, stopped
from groundref.reports.plan_fit import fit
from groundref.standards.loading import load_standard
from groundref.standards.standard import Element

PAPERS: Final = {"a4": "a4", "letter": "us-letter", "a5": "a5"}
# Letters of a picture in its own units, so that they come out alike on paper: `svg.WIDTH` units are as wide
# as the column, and A5 has the smaller one.
_LETTERS: Final = {"a4": (15.5, 24.0), "letter": (15.5, 24.0), "a5": (22.0, 28.0)}
_LOW: Final = 460.0  # height of the picture at most where a small page has much else to say


_EMERGENCY: Final = frozenset({"Leave", "Engine out", "Stall"})
_TO_FLY: Final = frozenset({"How", "Heading", "Abeam", "It sits", "Roll to", "Begin to roll"})


@dataclass(frozen=True, slots=True)
class People:
    """Names on the page, where they are wanted."""

    student: str | None = None
    instructor: str | None = None


def content(plan: Plan, paper: str, people: People) -> dict[str, object]:
    """Return all that the template sets, as plain data.

    Parameters
    ----------
    plan
        What was planned.
    paper
        One of :data:`PAPERS`.
    people
        Whose lesson it is.

    Raises
    ------
    UsageError
        When a name has a letter that the page cannot be set in.
    """
    large, small = _LETTERS[paper]
    sight = planned_sight.draw(plan, letter=small, tall=round(11.5 * small))
    pictures = {
        "picture": str(planned.draw(plan, letter=large)),
        "low": str(planned.draw(plan, letter=large, tallest=_LOW)) if paper == "a5" else None,
        "bank": str(planned_bank.draw(plan, letter=large, tall=round(11 * large))),
        "sight": None if sight is None else str(sight),
    }
    said = {name: together(each) for name, each in _texts(plan, people).items()}
    return {"paper": PAPERS[paper], "half": paper == "a5", **pictures, **said}


def _texts(plan: Plan, people: People) -> dict[str, object]:
    """Return all that is read, by its place on the page."""
    given = plan.inputs
    return {
        "title": named.title(given.kind),
        "subtitle": _subtitle(plan),
        "day": "" if given.day is None else _day(plan),
        "student": legible(words.plain(people.student or ""), "student"),
        "instructor": legible(words.plain(people.instructor or ""), "instructor"),
        "picture_says": planned.describe(plan),
        "bank_says": planned_bank.describe(plan),
        "sight_says": planned_sight.describe(plan),
        "hidden": bool(plan.hidden[plan.schedule.marked].any()),
        "stopped": WORDS if stopped(plan) else "",
        "instead": instead(plan),
        "entry": plan_words.entry(plan),
        "to_fly": _to_fly(plan),
        "fit": fit(plan),
        "next": [f"{step.change} ({step.saw}): {step.why}." for step in plan.ladder],
        "schedule": schedule(plan),
        "look": look_for(plan),
        "errors": errors(plan),
        "safety": safety(plan),
        "emergency": [each for each in safety(plan) if each[0] in _EMERGENCY],
        "standard": _standard(plan),
        "inputs": plan_words.inputs(plan),
        "assumptions": plan_words.assumptions(plan),
        "notes": list(plan.notes),
        "warnings": [_caution(c) for c in plan.cautions if c.weight > Weight.NOTE],
        "remarks": [plan_words.caution(c) for c in plan.cautions if c.weight == Weight.NOTE],
        "standing": STANDING,
    }


def _subtitle(plan: Plan) -> str:
    given = plan.inputs
    way = "right" if given.side > 0 else "left"
    wind = (
        "calm"
        if plan_words.calm(plan)
        else f"wind {words.bearing(given.wind_from)} true at {words.speed(given.wind_speed)}"
    )
    return f"First turn {way} · {legible(given.aircraft.title, 'aircraft')} · {wind}"


def _day(plan: Plan) -> str:
    given = plan.inputs
    if given.day is None:
        return ""
    from datetime import datetime, time

    day = words.day(datetime.combine(given.day, time()))
    return day if given.when is None else f"{day}, {given.when:%H:%M} UTC"


def _caution(one: Caution) -> dict[str, str]:
    return {"weight": one.weight.name, "says": plan_words.caution(one)}


def _to_fly(plan: Plan) -> list[tuple[str, str]]:
    """Return of the way in what is needed in the airplane; tracks and speeds stand in the schedule."""
    air = [("Airspeed", f"{words.speed(plan.inputs.calibrated_airspeed)} indicated")]
    far = plan.layout.entry.distance
    said = {"Abeam": words.both_lengths(far)} if far is not None else {}
    return air + [(name, said.get(name, says)) for name, says in plan_words.entry(plan) if name in _TO_FLY]


def _standard(plan: Plan) -> dict[str, object]:
    """Return the limits by code, those of the standard and of the handbook; our own defaults are left out."""
    standard = load_standard(plan.inputs.standard)
    task = standard.task(plan.inputs.kind)
    own = _own_limit(plan)
    elements = () if task is None else tuple(e for e in task.elements if e.basis != "practice")
    limits = [(_code(e), e.what) for e in elements if e.quantity != "observed"]
    return {
        "title": f"{standard.publication}; {standard.edition}",
        "limits": limits if own[1] in {what for _, what in limits} else [own, *limits],
        "observed": [(_code(e), e.what) for e in elements if e.quantity == "observed"],
    }


def _own_limit(plan: Plan) -> tuple[str, str]:
    """Return the bank planned with, which is the plan's own limit whatever a standard says."""
    limit = words.degrees(plan.inputs.bank_limit)
    held = plan.fit is None and plan.inputs.kind == "steep-turns"
    return "plan", f"{limit} of bank held" if held else f"bank not above {limit}"


def _code(element: Element) -> str:
    return element.code if element.basis == "standard" else "handbook"
