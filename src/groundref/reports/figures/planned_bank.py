"""The bank that a plan asks for, along the time of one time through, against the limits."""

from __future__ import annotations

from typing import Final

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from groundref.detection import named
from groundref.planning import Plan
from groundref.planning.fit import CEILING, TEACHING
from groundref.reports import plan_words, svg, words
from groundref.reports.figures import on_paper, planned_marks
from groundref.reports.figures.labels import Box, freest
from groundref.reports.scales import Scale, second_ticks
from groundref.units import degree

Floats = NDArray[np.float64]

LETTER: Final = 15.0
TALL: Final = 200
_FINE: Final = 121  # points of a piece of the path
_APART: Final = 6.0 * degree  # between two limits whose words would hide each other
_CLOSE: Final = 2.0  # paper between the points of the curve that numbers keep off
_LINE: Final = 120  # points of a limit that they keep off, too
_ROOM: Final = 4.0 * degree  # above the highest of bank and limits


def draw(
    plan: Plan, name: str = "bank", *, letter: float = LETTER, tall: int = TALL, alone: bool = True
) -> Markup:
    """Return the picture.

    Parameters
    ----------
    plan
        What was planned.
    name
        Starts the ids inside.
    letter
        Height of its letters, the picture being `svg.WIDTH` wide.
    tall
        Its height.
    alone
        Whether it brings its own look, or is set into a page that does.
    """
    time, bank = _curve(plan)
    limits = _limits(plan)
    top = max(float(bank.max()), *(value for value, _, _ in limits)) + _ROOM
    across = Scale(0.0, float(time[-1]), 2.6 * letter, svg.WIDTH - 6.8 * letter)
    down = Scale(0.0, top, tall - 1.9 * letter, 0.9 * letter)
    x, y = across(time), down(bank)
    return svg.picture(
        name,
        f"{named.title(plan.inputs.kind)}: bank by place, as planned",
        describe(plan),
        tall,
        on_paper.style(letter) if alone else Markup(""),
        svg.band(x, np.full(x.size, down.at(0.0)), y, class_="under"),
        _axes(across, down, letter, tall),
        *[_limit(value, says, look, across, down, letter) for value, says, look in limits],
        svg.polyline(x, y, class_="asked"),
        _marks(plan, across, down, letter),
    )


def describe(plan: Plan) -> str:
    """Return the picture in words, with its numbers."""
    found = plan.extremes
    rows = "; ".join(
        f"{n}, after {plan.schedule.time[i]:.0f} s: {plan_words.sided(plan.schedule.bank[i])}"
        for n, i in enumerate(planned_marks.marked(plan), 1)
    )
    return (
        f"Bank from {words.degrees(found.bank_min)} to {words.degrees(found.bank_max)} in the turns, "
        f"limit {words.degrees(plan.inputs.bank_limit)}. {rows}."
    )


def _curve(plan: Plan) -> tuple[Floats, Floats]:
    """Return times and sizes of the bank, with a step where a piece of the path ends."""
    times, banks, begun = [], [], 0.0
    for piece in plan.layout.pieces:
        samples = piece.at(plan.inputs.air, np.linspace(0.0, 1.0, _FINE))
        times.append(begun + samples.time)
        banks.append(np.abs(samples.bank))
        begun += float(samples.time[-1])
    return np.concatenate(times), np.concatenate(banks)


def _limits(plan: Plan) -> list[tuple[float, str, str]]:
    """Return the planned limit and the ones that people talk of: value, words, look."""
    limit = plan.inputs.bank_limit
    held = plan.layout.radius is None and plan.inputs.kind == "steep-turns"
    found = [(limit, f"{words.degrees(limit)}, {'to hold' if held else 'limit'}", "limit")]
    if held:
        return found  # where the bank itself is the standard's, none is a ceiling
    others = ((TEACHING, "30°, taught"), (CEILING, "45°, ceiling"))
    return found + [(at, says, "limit fine") for at, says in others if abs(at - limit) > _APART]


def _axes(across: Scale, down: Scale, letter: float, tall: int) -> Markup:
    parts = [svg.line(across.start, down.start, across.end, down.start, class_="axis")]
    for value in range(0, int(down.high / degree) + 1, 10):
        at = down.at(value * degree)
        if value:
            parts.append(svg.line(across.start, at, across.end, at, class_="grid"))
        parts.append(
            svg.text(across.start - 0.4 * letter, at + 0.33 * letter, f"{value}°", "end", class_="quiet")
        )
    ticks = second_ticks(0.0, across.high, int((across.end - across.start) / (4.2 * letter)))
    for second in ticks:
        at = across.at(second)
        parts.append(svg.line(at, down.start, at, down.start + 0.3 * letter, class_="axis"))
        last = second == ticks[-1]
        parts.append(
            svg.text(
                at,
                tall - 0.45 * letter,
                f"{second:.0f} s" if last else f"{second:.0f}",
                "middle",
                class_="quiet",
            )
        )
    return svg.group(*parts)


def _limit(value: float, says: str, look: str, across: Scale, down: Scale, letter: float) -> Markup:
    at = down.at(value)
    return svg.group(
        svg.line(across.start, at, across.end, at, class_=look),
        svg.text(across.end + 0.4 * letter, at + 0.33 * letter, says, class_="place"),
    )


def _marks(plan: Plan, across: Scale, down: Scale, letter: float) -> Markup:
    """Return a dot and the number at each marked position, numbers where they hide least of the curve."""
    schedule = plan.schedule
    rows = list(enumerate(planned_marks.marked(plan), 1))
    dots = [
        (f"{n}", across.at(float(schedule.time[i])), down.at(abs(float(schedule.bank[i])))) for n, i in rows
    ]
    curve = _close(plan, across, down)
    lines = np.linspace(across.start, across.end, _LINE)
    for value, _, _ in _limits(plan):
        curve = np.append(curve[0], lines), np.append(curve[1], np.full(_LINE, down.at(value)))
    reach = 0.3 * letter
    rims = [(0.0, 0.0, across.start - 1.0, down.start), (across.end + 1.0, 0.0, float(svg.WIDTH), down.start)]
    taken: list[Box] = [(x - reach, y - reach, x + reach, y + reach) for _, x, y in dots] + rims
    parts = [svg.circle(x, y, reach, class_="dot") for _, x, y in dots]
    for said, x, y in dots:
        box = _number_box(said, x, y, taken, curve, down.start, letter)
        taken.append(box)
        middle = (box[0] + box[2]) / 2
        parts.append(svg.text(middle, box[3] - 0.12 * letter, said, "middle", class_="strong"))
    return svg.group(*parts)


def _number_box(
    said: str,
    x: float,
    y: float,
    taken: list[Box],
    curve: tuple[Floats, Floats],
    bottom: float,
    letter: float,
) -> Box:
    """Return the freest place for a number near its dot, below it first."""
    # With a gap on either side: two numbers side by side must not read as one.
    wide, tall = on_paper.wide(said, letter, strong=True) + 0.5 * letter, 0.85 * letter
    places = [
        (x + side * (0.6 * wide + 0.3 * letter), y + drop * letter)
        for drop in (0.9, -0.9, 1.75, -1.75, 0.0, 2.6, -2.6, 3.5)
        for side in (0.0, 1.0, -1.0, 1.6, -1.6, 2.3, -2.3)
    ]
    boxes = [(a - wide / 2, b - tall / 2, a + wide / 2, b + tall / 2) for a, b in places]
    return boxes[freest(boxes, taken, *curve, bottom)]


def _close(plan: Plan, across: Scale, down: Scale) -> tuple[Floats, Floats]:
    """Return points of the curve close together on paper, its steps among them."""
    time, bank = _curve(plan)
    x, y = across(time), down(bank)
    along = np.concatenate(([0.0], np.cumsum(np.hypot(np.diff(x), np.diff(y)))))
    at = np.arange(0.0, along[-1], _CLOSE)
    return np.interp(at, along, x), np.interp(at, along, y)
