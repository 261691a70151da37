"""A plan on the terminal: at most 100 columns, plain text where there is no terminal."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np
from rich.console import Group, RenderableType
from rich.constrain import Constrain
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from groundref.planning import Plan
from groundref.planning.cautions import STANDING, Weight
from groundref.reports import plan_words
from groundref.reports.plan_glance import first_cautions, glance
from groundref.units import degree, foot, kilometre_per_hour, knot

COLUMNS: Final = 100
NOWHERE: Final = "–"
_FEW: Final = 6  # positions that a first screen has room for
_MORE: Final = "--full: every position, landmarks, sight of the point, limits, what was taken for granted."
_ROOMY: Final = 96  # columns from which the metric ones beside knots and feet have room


def summary(plan: Plan, *, console_width: int = COLUMNS, full: bool = False) -> RenderableType:
    """Return the plan, for `rich` to print; without colors and frames it reads the same.

    Parameters
    ----------
    plan
        What was planned.
    console_width
        Columns of the console; never more than :data:`COLUMNS` are used.
    full
        Whether all is shown below what fits on one screen.
    """
    parts = _first(plan, metric=console_width >= _ROOMY, full=full)
    parts += _rest(plan, metric=console_width >= _ROOMY) if full else [Text(), Text(_MORE, style="dim")]
    parts += [Text(), Text(STANDING, style="dim")]
    return Constrain(Group(*parts), min(console_width, COLUMNS))


def _first(plan: Plan, *, metric: bool, full: bool) -> list[RenderableType]:
    """Return what an instructor wants at once."""
    parts: list[RenderableType] = [Text(plan_words.heading(plan), style="bold underline")]
    first = first_cautions(plan)
    serious = [c for c in first if c.weight > Weight.NOTE]
    parts += _bullets([f"{c.weight.name}: {plan_words.caution(c)}" for c in serious], style="bold")
    if plan.ladder:
        steps = [f"{step.change} ({step.saw}): {step.why}." for step in plan.ladder]
        parts += [*_titled("The next exercise, and why", *_bullets(steps)), Text()]
    parts.append(_facts(glance(plan)))
    if not full:
        parts += _bullets([plan_words.caution(c) for c in first if c.weight == Weight.NOTE])
        if len(_marked(plan)) <= _FEW:
            parts += _titled("What to fly", _flown(plan, metric=metric))
    return parts


def _rest(plan: Plan, *, metric: bool) -> list[RenderableType]:
    """Return all that is known of it, part by part."""
    parts: list[RenderableType] = [*_titled("Made from", _facts(plan_words.inputs(plan)))]
    parts += _titled("Entry", _facts(plan_words.entry(plan)))
    parts += _titled("What to fly", _flown(plan, metric=metric))
    seen = _seen(plan)
    if seen is not None:
        parts += _titled(*seen)
    if plan.fit is not None:
        parts += _titled("Do airspeed, radius and bank fit together?", _fit(plan))
    corners = plan_words.corners(plan)
    if corners:
        parts += _titled("Do airspeed, field and bank fit together?", _facts(corners))
    good = [*plan.notes, *(plan_words.caution(c) for c in plan.cautions if c.weight == Weight.NOTE)]
    if good:
        parts += _titled("Good to know", *_bullets(good))
    assumed = plan_words.assumptions(plan)
    if assumed:
        parts += _titled("Taken for granted", *_bullets(assumed, style="dim"))
    return parts


def _titled(title: str, *parts: RenderableType) -> Iterator[RenderableType]:
    yield Text()
    yield Text(title, style="bold")
    yield from (Padding(part, (0, 0, 0, 2)) for part in parts)


def _bullets(said: tuple[str, ...] | list[str], style: str = "") -> Iterator[RenderableType]:
    for one in said:
        grid = Table.grid(padding=(0, 1))
        grid.add_row(Text("-", style=style), Text(one, style=style))
        yield grid


def _facts(facts: list[tuple[str, str]]) -> Table:
    grid = Table.grid(padding=(0, 2))
    for name, value in facts:
        grid.add_row(Text(name), Text(value))
    return grid


def _table(*headings: str) -> Table:
    table = Table(box=None, padding=(0, 1, 0, 0), header_style="")
    for number, heading in enumerate(headings):
        table.add_column(heading, justify="left" if number == 1 else "right", vertical="bottom")
    return table


def _flown(plan: Plan, *, metric: bool) -> Table:
    """Return the schedule at the positions with a name; of the metric columns only where there is room."""
    schedule, by_rule = plan.schedule, plan.handbook_height
    what = "T/M" if plan.inputs.variation is not None else "true"
    marked = _marked(plan)
    columns: dict[str, list[str]] = {
        "": [f"{number}" for number, _ in enumerate(marked, 1)],
        "position": [schedule.name[i] for i in marked],
        "after\ns": [f"{schedule.time[i]:.0f}" for i in marked],
        f"track\n{what}": [plan_words.direction(plan, schedule.track[i]) for i in marked],
        f"heading\n{what}": [plan_words.direction(plan, schedule.heading[i]) for i in marked],
        "crab": [plan_words.sided(schedule.crab[i]) for i in marked],
        "ground\nkt": [f"{schedule.ground_speed[i] / knot:.0f}" for i in marked],
        "speed\nkm/h": [f"{schedule.ground_speed[i] / kilometre_per_hour:.0f}" for i in marked],
        "bank": [plan_words.sided(schedule.bank[i]) for i in marked],
        "height\nft": [f"{schedule.height[i] / foot:,.0f}" for i in marked],
        "AGL\nm": [f"{schedule.height[i]:,.0f}" for i in marked],
    }
    if by_rule is not None:
        columns["by rule\nft"] = [f"{by_rule[i] / foot:,.0f}" for i in marked]
    if not metric:
        del columns["speed\nkm/h"], columns["AGL\nm"]
    table = _table(*columns)
    for row in zip(*columns.values(), strict=True):
        table.add_row(*row)
    return table


def _seen(plan: Plan) -> tuple[str, Table] | None:
    """Return title and table of the sight of the point and of landmarks; None of a maneuver about nothing."""
    if plan.layout.reference == "none":
        return None
    schedule = plan.schedule
    if not np.isfinite(schedule.distance).any():
        return "Where it is, from the middle", _landmarks(plan)
    of = "T/M" if plan.inputs.variation is not None else "true"
    headings = ["", "the point is", "below\nhorizon", "from the\nwing line", "hidden\nby wing"]
    table = _table(*headings, f"you, from it\n{of}", "\nft", "\nm", *_coordinates(plan))
    places = _places(plan)
    for number, i in enumerate(_marked(plan), 1):
        place = places[i]
        if not np.isfinite(schedule.distance[i]):
            table.add_row(f"{number}", *[NOWHERE] * 7, *place)
            continue
        table.add_row(
            f"{number}",
            f"{'right' if schedule.side[i] > 0 else 'left'}, {plan_words.ahead(schedule.ahead[i])}",
            f"{schedule.depression[i] / degree:.0f}°",
            plan_words.above(schedule.above_wing[i]),
            "hidden" if plan.hidden[i] else "in sight",
            plan_words.direction(plan, schedule.bearing[i]),
            f"{schedule.distance[i] / foot:,.0f}",
            f"{schedule.distance[i]:,.0f}",
            *place,
        )
    return "Where the point is, and where you are from it", table


def _landmarks(plan: Plan) -> Table:
    """Return where each position lies from the plan's origin."""
    schedule = plan.schedule
    of = "T/M" if plan.inputs.variation is not None else "true"
    table = _table("", "position", f"bearing\n{of}", "distance\nft", "\nm", *_coordinates(plan))
    places = _places(plan)
    for number, i in enumerate(_marked(plan), 1):
        table.add_row(
            f"{number}",
            schedule.name[i],
            plan_words.direction(plan, schedule.origin_bearing[i]),
            f"{schedule.origin_distance[i] / foot:,.0f}",
            f"{schedule.origin_distance[i]:,.0f}",
            *places[i],
        )
    return table


def _coordinates(plan: Plan) -> tuple[str, ...]:
    return () if plan.inputs.latitude is None else ("latitude,\nlongitude",)


def _places(plan: Plan) -> list[tuple[str, ...]]:
    """Return the coordinates of each position, as the cells that a row ends with."""
    places = plan.places
    if places is None:
        return [()] * plan.schedule.time.size
    latitude, longitude = (angle / degree for angle in places)
    return [(f"{here[0]:.5f}, {here[1]:.5f}",) for here in zip(latitude, longitude, strict=True)]


def _fit(plan: Plan) -> Table:
    """Return what gives way, in this wind and in still air."""
    table = Table.grid(padding=(0, 2))
    table.add_row(Text(""), Text("in this wind"), Text("in still air"))
    for name, wind, still in plan_words.fit(plan):
        table.add_row(Text(name), Text(wind), Text(still))
    return table


def _marked(plan: Plan) -> list[int]:
    return [int(i) for i in plan.schedule.marked.nonzero()[0]]
