"""The marked positions of a plan on paper: airplanes with their crab, numbers, and what to fly there."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import cos, degrees, hypot, pi, sin
from typing import Final

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from groundref.planning import Plan
from groundref.reports import plan_words, svg, words
from groundref.reports.figures import on_paper
from groundref.reports.figures.labels import Box, freest, hidden, inside
from groundref.reports.figures.plan import Plan as Map
from groundref.units import degree

Floats = NDArray[np.float64]

FEW: Final = 6  # places up to which each is told in full
_TOGETHER: Final = 6.0  # paper within which positions share one place
_AROUND: Final = 24
_GAP: Final = 5.0  # paper between a label and what it must not be taken for a part of
_REACHES: Final = (1.0, 1.5, 2.1, 2.8)
_WORDS: Final = 4  # times as bad is it to hide a word as to lie on a line
_FREE: Final = 60.0  # overlap that a label which is not needed may have [paper² over that of labels.freest]
# Span 1 from wing tip to wing tip, nose up.
_AIRPLANE: Final = (
    "M0-.46C.05-.46.06-.36.06-.27L.06-.17L.5-.1V.02L.06.06L.045.32L.2.38V.46L0 .44L-.2.46V.38L-.045.32"
    "L-.06.06L-.5.02V-.1L-.06-.17L-.06-.27C-.06-.36-.05-.46 0-.46Z"
)


@dataclass(frozen=True, slots=True)
class Spot:
    """Marked positions that lie at one place on paper.

    Attributes
    ----------
    x, y
        On paper.
    rows
        Of the schedule.
    numbers
        Of the positions, from 1.
    """

    x: float
    y: float
    rows: tuple[int, ...]
    numbers: tuple[int, ...]

    @property
    def number(self) -> str:
        """What stands in the ring."""
        return "·".join(f"{n}" for n in self.numbers)


def marked(plan: Plan) -> list[int]:
    """Return the rows of the schedule with a name of their own."""
    return [int(i) for i in plan.schedule.marked.nonzero()[0]]


def spots(plan: Plan, paper: Map) -> list[Spot]:
    """Return the marked positions, those at one place together, in the order of the first of each."""
    x, y = paper.x(plan.schedule.east), paper.y(plan.schedule.north)
    found: list[Spot] = []
    for number, row in enumerate(marked(plan), 1):
        here = float(x[row]), float(y[row])
        for at, spot in enumerate(found):
            if hypot(spot.x - here[0], spot.y - here[1]) < _TOGETHER:
                found[at] = Spot(spot.x, spot.y, (*spot.rows, row), (*spot.numbers, number))
                break
        else:
            found.append(Spot(*here, (row,), (number,)))
    return found


def airplanes(plan: Plan, found: Sequence[Spot], span: float) -> tuple[Markup, list[Box]]:
    """Return an airplane at each place where there is room, pointing along its heading, with its track ahead.

    Parameters
    ----------
    plan, found
        What was planned; its places on paper.
    span
        Of an airplane on paper.
    """
    shown = _roomy(plan, found, 1.6 * span)
    drawn, boxes = [Markup("")], []
    for spot in found:
        if spot not in shown:
            drawn.append(svg.circle(spot.x, spot.y, 4.5, class_="dot"))
            boxes.append((spot.x - 6, spot.y - 6, spot.x + 6, spot.y + 6))
            continue
        row = spot.rows[0]
        track, heading = float(plan.schedule.track[row]), float(plan.schedule.heading[row])
        ahead = 0.95 * span
        end = spot.x + ahead * sin(track), spot.y - ahead * cos(track)
        turn = f"translate({spot.x:.1f} {spot.y:.1f}) rotate({degrees(heading):.1f}) scale({span:g})"
        drawn += [
            svg.line(spot.x, spot.y, *end, class_="track"),
            svg.tag("path", d=_AIRPLANE, class_="airplane", transform=turn, stroke_width=1.2 / span),
        ]
        half = 0.46 * span
        boxes.append((spot.x - half, spot.y - half, spot.x + half, spot.y + half))
    return Markup("").join(drawn), boxes


def _roomy(plan: Plan, found: Sequence[Spot], apart: float) -> list[Spot]:
    """Return the places that are well apart: within a leg or turn rather than where one ends."""
    piece = plan.schedule.piece
    inside = [
        s
        for s in found
        if 0 < s.rows[0] < piece.size - 1 and np.ptp(piece[s.rows[0] - 1 : s.rows[0] + 2]) == 0
    ]
    shown: list[Spot] = []
    for spot in [*inside, *found]:
        if all(hypot(spot.x - other.x, spot.y - other.y) >= apart for other in shown):
            shown.append(spot)
    return shown


def said(plan: Plan, spot: Spot, *, full: bool) -> list[str]:
    """Return what to fly at a place: bank, ground speed and seconds, crab where there is room."""
    schedule, rows = plan.schedule, list(spot.rows)
    bank = _each(_bank(schedule.bank[i]) for i in rows)
    unit, name = words.speed_units()[0]
    speed = _each(words.number(schedule.ground_speed[i] / unit) for i in rows)
    after = _each(f"{schedule.time[i]:.0f}" for i in rows)
    lines = [bank, f"{speed} {name}, {after} s"]
    if full:
        crab = plan_words.sided(schedule.crab[rows[0]])
        lines.append("no crab" if crab == "0°" else f"crab {crab}")
    return lines


def _bank(angle: float) -> str:
    return "level" if abs(angle) < 0.5 * degree else plan_words.sided(angle)


def _each(values: Iterable[str]) -> str:
    return "/".join(dict.fromkeys(values))


@dataclass(frozen=True, slots=True)
class Label:
    """Where a label stands.

    Attributes
    ----------
    box
        Paper that it takes.
    lines
        Below the number or beside it; none where there is no room.
    """

    box: Box
    lines: tuple[str, ...]


def labels(
    plan: Plan,
    found: Sequence[Spot],
    taken: list[Box],
    path: tuple[Floats, Floats],
    letter: float,
    tall: float,
) -> Markup:
    """Return number and words beside each place, where they hide least.

    Parameters
    ----------
    plan, found
        What was planned; its places on paper.
    taken
        Paper that is taken; what the labels take is added.
    path
        Points of the path on paper, close together.
    letter
        Height of the letters on paper.
    tall
        Of the paper.
    """
    full = len(found) <= FEW
    roomy = found if full else _roomy(plan, found, 4.5 * letter)
    drawn = []
    for spot in sorted(found, key=lambda spot: spot not in roomy):
        lines = said(plan, spot, full=full) if spot in roomy else []
        box, cost = _placed(spot, _size(spot, lines, letter), taken, path, tall)
        if lines and not full and cost > _FREE:
            lines = []
            box, _ = _placed(spot, _size(spot, lines, letter), taken, path, tall)
        taken.append(box)
        drawn.append(_draw(spot, box, lines, letter))
    return Markup("").join(drawn)


def _size(spot: Spot, lines: Sequence[str], letter: float) -> tuple[float, float]:
    """Return how wide and tall a label is."""
    ring = _ring(spot, letter)
    words = max((on_paper.wide(line, letter, strong=not n) for n, line in enumerate(lines)), default=0.0)
    return ring + (0.35 * letter + words if lines else 0.0), max(1.45 * letter, 1.08 * letter * len(lines))


def _ring(spot: Spot, letter: float) -> float:
    """Return how wide the ring about the number is."""
    return max(1.45 * letter, on_paper.wide(spot.number, letter, strong=True) + 0.75 * letter)


def _placed(
    spot: Spot, size: tuple[float, float], taken: Sequence[Box], path: tuple[Floats, Floats], tall: float
) -> tuple[Box, float]:
    """Return the freest place for a label near its position, and how much it hides."""
    wide, high = size
    out = _outward(spot, path)
    boxes = []
    order = sorted(range(_AROUND), key=lambda k: min(k, _AROUND - k))
    for reach in _REACHES:
        for k in order:
            angle = out + 2 * pi * k / _AROUND
            across, down = sin(angle), -cos(angle)
            away = 26.0 * reach
            x, y = spot.x + across * (away + wide / 2), spot.y + down * (away + high / 2)
            boxes.append((x - wide / 2, y - high / 2, x + wide / 2, y + high / 2))
    apart = [(a - _GAP, b - _GAP, c + _GAP, d + _GAP) for a, b, c, d in taken]
    best = boxes[freest(boxes, apart * _WORDS, *path, tall)]
    return best, _hidden(best, taken, path)


def _outward(spot: Spot, path: tuple[Floats, Floats]) -> float:
    """Return the direction away from the middle of the path near by."""
    near = np.hypot(path[0] - spot.x, path[1] - spot.y) < 260.0
    x, y = float(path[0][near].mean()), float(path[1][near].mean())
    return float(np.arctan2(spot.x - x, y - spot.y))


def _hidden(box: Box, taken: Sequence[Box], path: tuple[Floats, Floats]) -> float:
    one = np.array([box])
    return float((hidden(one, taken) + 20.0 * inside(one, *path))[0])


def _draw(spot: Spot, box: Box, lines: Sequence[str], letter: float) -> Markup:
    """Return ring, number and lines, with a leader where they stand far off."""
    ring = _ring(spot, letter)
    middle = (box[1] + box[3]) / 2
    at = box[0] + ring / 2
    parts = [_leader(spot, box)]
    high = 1.45 * letter
    parts.append(
        svg.tag(
            "rect",
            x=float(box[0]),
            y=float(middle - high / 2),
            width=float(ring),
            height=float(high),
            rx=float(high / 2),
            class_="badge",
        )
    )
    parts.append(svg.text(at, middle + 0.33 * letter, spot.number, "middle", class_="badge-number"))
    top = middle - 1.08 * letter * len(lines) / 2
    for n, line in enumerate(lines):
        look = "strong" if n == 0 else None
        parts.append(
            svg.text(box[0] + ring + 0.35 * letter, top + 1.08 * letter * (n + 0.78), line, class_=look)
        )
    return svg.group(*parts)


def _leader(spot: Spot, box: Box) -> Markup:
    x, y = min(max(spot.x, box[0]), box[2]), min(max(spot.y, box[1]), box[3])
    if hypot(x - spot.x, y - spot.y) < 34.0:
        return Markup("")
    return svg.line(spot.x, spot.y, x, y, class_="leader")
