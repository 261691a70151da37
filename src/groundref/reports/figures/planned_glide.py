"""Should the engine stop: the ground in gliding reach from every position, and the place to land on."""

from __future__ import annotations

from typing import Final

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from groundref.planning import Plan
from groundref.reports import svg
from groundref.reports.figures import on_paper
from groundref.reports.figures.labels import Box, freest, hidden
from groundref.reports.figures.plan import Plan as Map

Floats = NDArray[np.float64]

_CLOSE: Final = 8.0  # paper between two points of the outline
_LANDING: Final = "field to land on"
# The names of the line, the one that says more first: the other where that would hide words.
_REACHES: Final = (("in gliding reach", "from everywhere"), ("glide reach",))
_WORDS: Final = 4  # times as bad is it to hide a word as to lie on a line
_INSETS: Final = (0.8, 2.0, 3.5, 5.5, 8.0)  # letters from the outline to its name, the nearest first


def draw(plan: Plan, paper: Map, taken: list[Box], seen: tuple[Floats, Floats], letter: float) -> Markup:
    """Return the outline and the landing place as far as they lie on the map.

    Parameters
    ----------
    plan, paper
        What was planned; its map.
    taken
        Paper that is taken; what the words take is added.
    seen
        Points on paper that words should leave in sight.
    letter
        Height of the letters on paper.
    """
    return _outline(plan, paper, taken, seen, letter) + _landing(plan, paper, taken, seen, letter)


def line(plan: Plan, paper: Map) -> tuple[Floats, Floats]:
    """Return points of the outline on paper, close together; none where no ground is common.

    Parameters
    ----------
    plan, paper
        What was planned; its map.
    """
    edge = plan.safety.engine_out.common_outline()
    if edge is None:
        return np.zeros(0), np.zeros(0)
    x, y = (np.append(each, each[0]) for each in (paper.x(edge[0]), paper.y(edge[1])))
    along = np.concatenate(([0.0], np.cumsum(np.hypot(np.diff(x), np.diff(y)))))
    at = np.arange(0.0, along[-1], _CLOSE)
    return np.interp(at, along, x), np.interp(at, along, y)


def _outline(plan: Plan, paper: Map, taken: list[Box], seen: tuple[Floats, Floats], letter: float) -> Markup:
    """Return the line about the ground, named on its inner side."""
    found = plan.safety.engine_out
    if found.center is None or found.common is None:
        return Markup("")
    bearing, reach = np.append(found.bearing, found.bearing[0]), np.append(found.common, found.common[0])
    x = paper.x(found.center[0] + reach * np.sin(bearing))
    y = paper.y(found.center[1] + reach * np.cos(bearing))
    inside = np.flatnonzero((x > 0) & (x < svg.WIDTH) & (y > 0) & (y < paper.height))
    if not inside.size:
        return Markup("")
    line_too = np.append(seen[0], x), np.append(seen[1], y)
    for lines in _REACHES:
        half, tall = max(on_paper.wide(line, letter) for line in lines) / 2, 1.15 * len(lines) * letter
        spots = [
            (
                float(x[i]) - float(np.sin(bearing[i])) * (half + inset * letter),
                float(y[i]) + float(np.cos(bearing[i])) * (0.6 + inset) * letter,
            )
            for inset in _INSETS
            for i in inside.tolist()
        ]
        boxes = [(a - half, b - tall / 2, a + half, b + tall / 2) for a, b in spots]
        chosen = freest(boxes, taken * _WORDS, *line_too, paper.height)
        if not hidden(np.array([boxes[chosen]]), taken)[0]:
            break
    taken.append(boxes[chosen])
    at = spots[chosen]
    first = 0.35 - 0.55 * (len(lines) - 1)
    words = Markup("").join(
        svg.text(at[0], at[1] + (1.1 * n + first) * letter, line, "middle", class_="place quiet")
        for n, line in enumerate(lines)
    )
    return svg.polyline(x, y, class_="reach") + words


def _landing(plan: Plan, paper: Map, taken: list[Box], seen: tuple[Floats, Floats], letter: float) -> Markup:
    """Return a square with its name."""
    landing = plan.safety.engine_out.landing
    if landing is None:
        return Markup("")
    x, y = paper.xy(*landing.place)
    if not (letter < x < svg.WIDTH - letter and letter < y < paper.height - letter):
        return Markup("")
    half, wide = 0.45 * letter, on_paper.wide(_LANDING, letter)
    middle = min(max(x - wide / 2, 2.0), svg.WIDTH - wide - 2.0)
    spots = [
        (x + 0.8 * letter, y + 0.33 * letter),
        (x - 0.8 * letter - wide, y + 0.33 * letter),
        (middle, y - 0.9 * letter),
        (middle, y + 1.6 * letter),
    ]
    boxes = [(a, b - 0.8 * letter, a + wide, b + 0.3 * letter) for a, b in spots]
    chosen = freest(boxes, taken, *seen, paper.height)
    taken += [boxes[chosen], (x - half, y - half, x + half, y + half)]
    return svg.group(
        svg.rectangle(x - half, y - half, x + half, y + half, class_="landing"),
        svg.text(*spots[chosen], _LANDING, class_="place"),
    )
