"""A plan as HTML to be set into a page: what gives way first, then pictures, then all that is known of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from markupsafe import Markup

from groundref.planning import Plan
from groundref.planning.cautions import STANDING, Weight
from groundref.reports import plan_words, words
from groundref.reports.brief.common import safety
from groundref.reports.brief.errors import errors, look_for
from groundref.reports.brief.instead import instead
from groundref.reports.cells import Cell, Fact
from groundref.reports.figures import on_paper, planned, planned_bank, planned_marks, planned_sight
from groundref.reports.html import environment
from groundref.reports.known import blocks
from groundref.reports.known.blocks import Note
from groundref.reports.plan_fit import fit
from groundref.reports.plan_glance import glance
from groundref.reports.sections.parts import Table
from groundref.units import degree

# Letters of a picture in its own units, it being 640 wide: for a column of a page, and for a telephone.
LETTERS: Final = {"wide": 21.0, "narrow": 26.0}
_WITHIN: Final = ".drawn"
NOWHERE: Final = "–"


@dataclass(frozen=True, slots=True)
class Drawn:
    """A picture with its title."""

    name: str
    title: str
    drawing: Markup
    says: str = ""


def content(plan: Plan, size: str = "wide") -> str:
    """Return the plan as HTML; the page that it is set into brings the style of a debrief and ``stylesheet``.

    Parameters
    ----------
    plan
        What was planned.
    size
        `wide` or `narrow`: how much paper a letter of a picture takes.
    """
    said, tables = plan.cautions, [_flown(plan), *_seen(plan)]
    return (
        environment()
        .get_template("plan.html.j2")
        .render(
            heading=plan_words.heading(plan),
            verdict=verdict(plan),
            size=size,
            serious=[
                (c.weight.name, plan_words.caution(c), c.source) for c in said if c.weight > Weight.NOTE
            ],
            good=[*(plan_words.caution(c) for c in said if c.weight == Weight.NOTE), *plan.notes],
            instead=instead(plan),
            ladder=plan.ladder,
            glance=_facts(glance(plan)),
            pictures=_pictures(plan, LETTERS[size]),
            tables=tables,
            fit=plan_words.fit(plan),
            corners=_facts(plan_words.corners(plan)),
            entry=_facts(plan_words.entry(plan)),
            look=look_for(plan),
            errors=errors(plan),
            safety=[Fact(name, f"{says[0].upper()}{says[1:]}") for name, says in safety(plan)],
            made_from=_facts(plan_words.inputs(plan)),
            assumptions=plan_words.assumptions(plan),
            standing=STANDING,
            known=_known(plan, tables),
        )
    )


def _known(plan: Plan, tables: list[Table]) -> dict[str, list[Note]]:
    """Return how the figures of each block are known."""
    document = plan.to_dict()
    names: dict[str, list[str]] = {
        "glance": [name for name, _ in glance(plan)],
        "fit": [name.strip() for name, _, _ in plan_words.fit(plan)],
        "corners": [name for name, _ in plan_words.corners(plan)],
        "entry": [name for name, _ in plan_words.entry(plan)],
        "safety": [name for name, _ in safety(plan)],
        "made-from": [name for name, _ in plan_words.inputs(plan)],
        **{table.name: table.figures for table in tables},
    }
    return {block: blocks.of_plan(document, block, each) for block, each in names.items()}


def stylesheet() -> str:
    """Return the look of the pictures, in the colors of the page."""
    return "".join(on_paper.sheet(letter, f"{_WITHIN}.{size}") for size, letter in LETTERS.items())


def verdict(plan: Plan) -> str:
    """Return whether it can be flown so and with what bank and ground speed, in one or two sentences."""
    found = plan.extremes
    stop = "Not to be flown so. " if any(c.weight == Weight.STOP for c in plan.cautions) else ""
    banks = words.degrees(found.bank_max)
    if words.degrees(found.bank_min) != banks:
        banks = f"{words.degrees(found.bank_min)} to {banks}"
    speeds = words.speed(found.ground_speed_max)
    if words.speed(found.ground_speed_min) != speeds:
        speeds = f"{words.speed(found.ground_speed_min)} to {speeds}"
    held = "" if plan.fit is None else f"{fit(plan)['verdict']} "
    return f"{stop}{held}Bank {banks}, ground speed {speeds}."


def _facts(said: list[plan_words.Fact]) -> list[Fact]:
    """Return facts, a line without a name joined to the one before it."""
    facts: list[Fact] = []
    for name, says in said:
        if name:
            facts.append(Fact(name, says))
        else:
            facts[-1] = Fact(facts[-1].name, f"{facts[-1].value} {says}")
    return facts


def _pictures(plan: Plan, letter: float) -> list[Drawn]:
    sight = planned_sight.draw(plan, "planned-sight", letter=letter, tall=round(15 * letter), alone=False)
    above = planned.draw(plan, "planned-above", letter=letter, alone=False)
    bank = planned_bank.draw(plan, "planned-bank", letter=letter, tall=round(12 * letter), alone=False)
    drawn = [
        Drawn("above", "From above", above, "The numbers are those of the table."),
        Drawn("bank", "Bank along the way", bank),
    ]
    if sight is not None:
        drawn.append(Drawn("sight", "Where the point stands from the wing", sight))
    return drawn


def _flown(plan: Plan) -> Table:
    """Return what to fly at the positions with a name."""
    rows, of = plan.schedule, _of(plan)
    # What is set and looked at first stands first: a telephone shows four columns.
    heads = ["", "bank", "ground speed", "crab", "height", f"heading, {of}", f"track, {of}", "after"]
    by_rule = plan.handbook_height
    if by_rule is not None:
        heads.append("by GS²/11.3")
    lines = []
    for number, i in enumerate(planned_marks.marked(plan), 1):
        cells = [
            Cell("level" if abs(rows.bank[i]) < 0.5 * degree else plan_words.sided(rows.bank[i])),
            Cell(words.speed(rows.ground_speed[i]), words.speed_beside(rows.ground_speed[i])),
            Cell(plan_words.sided(rows.crab[i])),
            _length(rows.height[i]),
            Cell(plan_words.direction(plan, rows.heading[i])),
            Cell(plan_words.direction(plan, rows.track[i])),
            Cell(f"{rows.time[i]:.0f} s"),
        ]
        if by_rule is not None:
            cells.append(_length(by_rule[i]))
        lines.append((f"{number} {rows.name[i]}", cells))
    says = "Heights are above the ground; L and R are left and right."
    return Table("to-fly", "What to fly", "What to fly at each position", tuple(heads), lines, says)


def _seen(plan: Plan) -> list[Table]:
    """Return where the place flown about is seen, or where each position lies; of steep turns nothing."""
    if plan.layout.reference == "none":
        return []
    rows, of, places = plan.schedule, _of(plan), _places(plan)
    end = [] if plan.places is None else ["latitude, longitude"]
    marked = list(enumerate(planned_marks.marked(plan), 1))
    if not np.isfinite(rows.distance).any():
        heads = ["", f"bearing, {of}", "distance", *end]
        lines = [
            (
                f"{number} {rows.name[i]}",
                [
                    Cell(plan_words.direction(plan, rows.origin_bearing[i])),
                    _length(rows.origin_distance[i]),
                    *places[i],
                ],
            )
            for number, i in marked
        ]
        return [
            Table("landmarks", "Where it is, from the middle", "Where each place lies", tuple(heads), lines)
        ]
    heads = ["", "the point is", "below horizon", "from the wing line", "by the wing", f"you, from it, {of}"]
    heads += ["distance", *end]
    lines = [(f"{number} {rows.name[i]}", [*_sight(plan, i), *places[i]]) for number, i in marked]
    return [Table("sights", "Sight of the point", "Where the point is seen", tuple(heads), lines)]


def _sight(plan: Plan, i: int) -> list[Cell]:
    rows = plan.schedule
    if not np.isfinite(rows.distance[i]):
        return [Cell(NOWHERE)] * 6
    side = "right" if rows.side[i] > 0 else "left"
    return [
        Cell(f"{side}, {plan_words.ahead(rows.ahead[i])}"),
        Cell(words.degrees(rows.depression[i])),
        Cell(plan_words.above(rows.above_wing[i])),
        Cell("hidden" if plan.hidden[i] else "in sight"),
        Cell(plan_words.direction(plan, rows.bearing[i])),
        _length(rows.distance[i]),
    ]


def _places(plan: Plan) -> list[list[Cell]]:
    """Return the coordinates of each position, as the cells that a row ends with."""
    if plan.places is None:
        return [[] for _ in plan.schedule.time]
    latitude, longitude = (angle / degree for angle in plan.places)
    return [[Cell(f"{lat:.5f}, {lon:.5f}")] for lat, lon in zip(latitude, longitude, strict=True)]


def _length(length: float) -> Cell:
    return Cell(words.length(length), words.length_beside(length))


def _of(plan: Plan) -> str:
    return "true" if plan.inputs.variation is None else "true/magnetic"
