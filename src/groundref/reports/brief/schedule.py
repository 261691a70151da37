"""The schedule as a table of the brief: one row for each marked position."""

from __future__ import annotations

import numpy as np

from groundref.planning import Plan
from groundref.reports import plan_words, words
from groundref.reports.figures import planned_marks
from groundref.units import degree

_FROM = {"point": "point", "none": "begin"}


def schedule(plan: Plan) -> dict[str, object]:
    """Return headings and rows; the last columns, `extra` of them, are those that a small page leaves out.

    Parameters
    ----------
    plan
        What was planned.
    """
    of = "true/mag" if plan.inputs.variation is not None else "true"
    origin = _FROM.get(plan.layout.reference, "middle")
    long, fast = words.length_units()[0][1], words.speed_units()[0][1]
    headings = [
        ("", ""), ("position", ""), ("after", "s"), ("track", of), ("heading", of), ("crab", ""),
        ("ground speed", fast), ("bank", ""), ("height", f"{long} AGL"),
        (f"you, from the {origin}", f"{of}, {long}"),
    ]  # fmt: skip
    sees = bool(np.isfinite(plan.schedule.distance).any())
    if sees:
        headings += [(_about(plan), "below horizon"), ("", "from the wing line")]
    if plan.handbook_height is not None:
        headings.append(("GS²/11.3", long))
    return {
        "headings": headings,
        "rows": [_row(plan, n, i, sees=sees) for n, i in enumerate(planned_marks.marked(plan), 1)],
        "extra": 1 + 2 * int(sees) + int(plan.handbook_height is not None),
    }


def _about(plan: Plan) -> str:
    return "pylon" if plan.layout.reference == "pylons" else "point"


def _row(plan: Plan, number: int, i: int, *, sees: bool) -> list[str]:
    rows = plan.schedule
    far = rows.origin_distance[i]
    place = (
        "here"
        if far < 1.0
        else f"{plan_words.direction(plan, rows.origin_bearing[i])}, {words.length(far).partition(' ')[0]}"
    )
    bank = plan_words.sided(rows.bank[i])
    cells = [
        f"{number}",
        rows.name[i],
        f"{rows.time[i]:.0f}",
        plan_words.direction(plan, rows.track[i]),
        plan_words.direction(plan, rows.heading[i]),
        "–" if plan_words.sided(rows.crab[i]) == "0°" else plan_words.sided(rows.crab[i]),
        words.speed(rows.ground_speed[i]).partition(" ")[0],
        "level" if abs(rows.bank[i]) < 0.5 * degree else bank,
        words.length(rows.height[i]).partition(" ")[0],
        place,
    ]
    if sees:
        known = bool(np.isfinite(rows.distance[i]))
        cells.append(words.degrees(rows.depression[i]) if known else "–")
        cells.append(plan_words.above(rows.above_wing[i]) if known else "–")
    if plan.handbook_height is not None:
        cells.append(words.length(plan.handbook_height[i]).partition(" ")[0])
    return cells
