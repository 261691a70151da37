"""Where the point stands from the wing: on a circle of one radius the wing does not stay on it."""

from __future__ import annotations

from typing import Final

import numpy as np
from markupsafe import Markup

from groundref.detection import named
from groundref.planning import Plan
from groundref.reports import plan_words, svg, words
from groundref.reports.figures import on_paper, planned_marks
from groundref.units import degree

LETTER: Final = 15.0
TALL: Final = 240
_LEVEL: Final = 1.0 * degree
_ON_IT: Final = 1.0 * degree
_LEAST: Final = 12.0  # degrees shown to either side of the wing, at least


def draw(
    plan: Plan, name: str = "sight", *, letter: float = LETTER, tall: int = TALL, alone: bool = True
) -> Markup | None:
    """Return the picture; None where nothing is flown about, and where it stays on the wing.

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

    Notes
    -----
    Drawn as the wing tip is seen from the seat, the wing held level: along it is the middle, ahead is to the
    right on a left turn and to the left on a right turn. Where both ways are turned, ahead is to the right.
    """
    rows = seen(plan)
    schedule = plan.schedule
    if all(max(abs(schedule.above_wing[i]), abs(schedule.ahead_of_wing[i])) < _ON_IT for _, i in rows):
        return None
    ahead_right = -1.0 if all(schedule.side[i] > 0 for _, i in rows) else 1.0
    most = max(max(abs(schedule.ahead_of_wing[i]), abs(schedule.above_wing[i])) for _, i in rows) / degree
    reach = max(most * 1.25, _LEAST)
    middle = svg.WIDTH / 2, tall / 2
    scale = min((tall / 2 - 1.3 * letter) / reach, (svg.WIDTH / 2 - 3 * letter) / (1.6 * reach))
    return svg.picture(
        name,
        f"{named.title(plan.inputs.kind)}: where the point stands from the wing",
        describe(plan),
        tall,
        on_paper.style(letter) if alone else Markup(""),
        frame(middle, scale, reach, ahead_right, letter, tall),
        _points(plan, rows, middle, scale, ahead_right, letter),
    )


def seen(plan: Plan) -> list[tuple[int, int]]:
    """Return number and row of the marked positions in a turn about something, which is then looked at."""
    schedule = plan.schedule
    return [
        (n, i)
        for n, i in enumerate(planned_marks.marked(plan), 1)
        if np.isfinite(schedule.distance[i]) and abs(schedule.bank[i]) > _LEVEL
    ]


def describe(plan: Plan) -> str:
    """Return the picture in words, with its numbers."""
    schedule = plan.schedule
    return " ".join(
        f"{n}: {words.degrees(schedule.depression[i])} below the horizon, from the wing line "
        f"{plan_words.above(schedule.above_wing[i])}, {plan_words.ahead(schedule.ahead_of_wing[i])}"
        f"{', hidden by the wing' if plan.hidden[i] else ''}."
        for n, i in seen(plan)
    )


def frame(
    middle: tuple[float, float], scale: float, reach: float, ahead_right: float, letter: float, tall: int
) -> Markup:
    """Return the wing tip as seen from the seat, the lines through it and their names.

    Parameters
    ----------
    middle
        Of the tip in the picture.
    scale
        Of the picture for each degree.
    reach
        Degrees that are shown to either side.
    ahead_right
        +1 where ahead is to the right, −1 to the left.
    letter, tall
        Height of its letters, and of the picture.
    """
    x, y = middle
    half = svg.WIDTH / 2 - 1.5 * letter
    nose, tail, thick = x + ahead_right * 4.5 * scale, x - ahead_right * 4.5 * scale, 1.3 * scale
    parts = [
        svg.line(x - half, y, x + half, y, class_="axis"),
        svg.line(x, letter, x, tall - letter, class_="grid"),
        svg.tag(
            "path",
            d=f"M{nose:.1f} {y:.1f}C{nose:.1f} {y - thick:.1f} {x:.1f} {y - thick:.1f} {tail:.1f} {y:.1f}"
            f"C{x:.1f} {y + 0.6 * thick:.1f} {nose:.1f} {y + 0.6 * thick:.1f} {nose:.1f} {y:.1f}Z",
            class_="wing",
        ),
    ]
    for value in range(-int(reach // 5) * 5, int(reach // 5) * 5 + 1, 5):
        if value:
            at = y - value * scale
            parts.append(svg.line(x - 4, at, x + 4, at, class_="axis"))
    ahead, behind = ("end", "start") if ahead_right > 0 else ("start", "end")
    parts += [
        svg.text(x + ahead_right * half, y - 0.4 * letter, "ahead", ahead, class_="place"),
        svg.text(x - ahead_right * half, y - 0.4 * letter, "behind", behind, class_="place"),
    ]
    return svg.group(*parts)


def _points(
    plan: Plan,
    rows: list[tuple[int, int]],
    middle: tuple[float, float],
    scale: float,
    ahead_right: float,
    letter: float,
) -> Markup:
    """Return the number of each position where the point is seen; those at one place together."""
    places: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for number, i in rows:
        across = ahead_right * plan.schedule.ahead_of_wing[i] / degree * scale
        down = -plan.schedule.above_wing[i] / degree * scale
        near = (round(float(across) / letter), round(float(down) / letter))
        places.setdefault(near, []).append((number, i))
    parts = []
    for together in places.values():
        first = together[0][1]
        x = middle[0] + ahead_right * float(plan.schedule.ahead_of_wing[first]) / degree * scale
        y = middle[1] - float(plan.schedule.above_wing[first]) / degree * scale
        said = "·".join(f"{n}" for n, _ in together)
        wide = max(1.45 * letter, on_paper.wide(said, letter, strong=True) + 0.75 * letter)
        look = "badge hidden" if all(plan.hidden[i] for _, i in together) else "badge"
        parts += [
            svg.tag(
                "rect",
                x=x - wide / 2,
                y=y - 0.725 * letter,
                width=wide,
                height=1.45 * letter,
                rx=0.725 * letter,
                class_=look,
            ),
            svg.text(x, y + 0.33 * letter, said, "middle", class_="badge-number"),
            _beside(plan, first, x, y, wide, letter),
        ]
    return svg.group(*parts)


def _beside(plan: Plan, row: int, x: float, y: float, wide: float, letter: float) -> Markup:
    """Return how far above or below the wing line, outside of the number."""
    left = x < svg.WIDTH / 2 - 1.0
    at = x - wide / 2 - 0.35 * letter if left else x + wide / 2 + 0.35 * letter
    said = plan_words.above(plan.schedule.above_wing[row])
    return svg.text(at, y + 0.33 * letter, said, "end" if left else "start")
