"""One small picture: an element over the lessons, against its limit, with its trend and the wind.

Ink is what was flown, plum what is asked. Verdicts differ by the shape of the mark, left turns stand left of
right ones of the same lesson, and everything reads in gray.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from groundref.progress.evidence import day
from groundref.progress.told import ElementProgress, Figure
from groundref.reports import svg, verdict_words, words
from groundref.reports.progress import words as said
from groundref.reports.scales import Scale, ticks

Floats = NDArray[np.float64]

_RIGHT: Final = 626.0
_TALL: Final = 176.0  # of the figures
_WIND: Final = 40.0  # of the wind's bars
_SDS: Final = 2.0
_FOOT: Final = 1.95  # letters from the axis to the wind's bars, the lessons' numbers between
_ADVANCE: Final = 0.62  # of a letter, at most, on the left edge; on paper letters grow by a sixth
_GROWN: Final = 29.0 / 25.0
_LESSON: Final = "lesson"
_STRONG: Final = 15.0  # [kt] that the wind's bars reach to at least
_SIDE: Final = {"left": -1.0, "right": 1.0, "both": 0.0}


@dataclass(frozen=True, slots=True)
class _Paper:
    """Where things lie in a panel with letters of some height."""

    letter: float
    x: Scale
    y: Scale

    @property
    def wind_top(self) -> float:
        return self.y.start + _FOOT * self.letter

    @property
    def step(self) -> float:
        """Return the paper between two lessons."""
        return self.x.at(1.0) - self.x.at(0.0)


def height(letter: float) -> int:
    """Return the height of a panel with letters of some height, :data:`svg.WIDTH` being its width."""
    return round(1.8 * letter + _TALL + _FOOT * letter + _WIND + 4.0)


def draw(one: ElementProgress, letter: float = 25.0) -> Markup:
    """Return what stands in a panel, :data:`svg.WIDTH` wide.

    Parameters
    ----------
    one
        The element, with at least one figure.
    letter
        Height of letters.
    """
    paper = _paper(one, letter)
    return svg.group(
        svg.text(0.0, letter, said.compared(one), class_="strong"),
        _axis(one, paper),
        _trend(one, paper),
        *[_figure(figure, paper, one.basis) for figure in one.figures if figure.off is not None],
        _lessons(one, paper),
        _wind(one.figures, paper),
    )


def describe(one: ElementProgress) -> str:
    """Return a panel in words, with its numbers."""
    known = [figure for figure in one.figures if figure.off is not None]
    first, last = known[0], known[-1]
    limit = "no limit" if one.limit is None else f"asked {said.asked(one)}"
    through = (
        f"{words.size(first.off, first.element.worst_sd, one.unit)} on {day(first.date)}, "
        f"{words.size(last.off, last.element.worst_sd, one.unit)} on {day(last.date)}"
    )
    going = (
        "" if one.trend is None else f"; now {said.now(one)}, {said.trend(one)}, {said.change(one)} a lesson"
    )
    last_three = said.last_three(one)
    return f"{words.count(len(known), 'figure')}, {limit}: {through}{going}. Last: {last_three}."


def _paper(one: ElementProgress, letter: float) -> _Paper:
    top, last = 1.8 * letter, one.figures[-1].at
    highest = [
        figure.off + _SDS * (figure.element.worst_sd or 0.0)
        for figure in one.figures
        if figure.off is not None
    ]
    # The trend's band is cut where it would press the figures flat.
    most = 1.06 * max(*highest, 1.2 * (one.asked or 0.0), 1e-9)
    edge = [said for _, said in _ticks(most, one.unit)] + [_LESSON, _strongest(_winds(one.figures))]
    left = 8.0 + _GROWN * _ADVANCE * letter * max(map(len, edge))
    x = Scale(0.4, max(last, 2) + 0.6, left, _RIGHT)
    return _Paper(letter, x, Scale(0.0, most, top + _TALL, top))


def _axis(one: ElementProgress, paper: _Paper) -> Markup:
    x, y, low = paper.x, paper.y, paper.y.start
    parts = []
    if one.asked is not None:
        parts.append(svg.rectangle(x.start, y.at(one.asked), x.end, low, class_="within"))
    for value, read in _ticks(y.high, one.unit):
        at = y.at(value)
        parts.append(svg.line(x.start, at, x.end, at, class_="grid"))
        parts.append(svg.text(x.start - 8, at + 0.33 * paper.letter, read, "end", class_="quiet"))
    if one.asked is not None:
        parts.append(svg.line(x.start, y.at(one.asked), x.end, y.at(one.asked), class_="asked"))
    return svg.group(*parts)


def _ticks(high: float, unit: str) -> list[tuple[float, str]]:
    """Return the ticks up to a value in a contract unit: where they lie in it, and as they are read."""
    times, after = words.read_in(unit)
    return [(value / times, f"{round(value, 6):,.6g}{after}") for value in ticks(0.0, high * times, 3)]


def _trend(one: ElementProgress, paper: _Paper) -> Markup:
    if one.trend is None:
        return Markup("")
    x = paper.x(np.asarray(one.trend.at, dtype=np.float64))
    line, sd = np.asarray(one.trend.line), np.asarray(one.trend.line_sd)
    low, high = (
        np.clip(paper.y(line + side * _SDS * sd), paper.y.end, paper.y.start) for side in (-1.0, 1.0)
    )
    middle = np.clip(paper.y(line), paper.y.end, paper.y.start)
    return svg.group(
        svg.band(x, low, high, class_="trend-band"),
        svg.polyline(x, middle, class_="trend"),
    )


def _figure(figure: Figure, paper: _Paper, basis: str) -> Markup:
    """Return one figure with a bar of two standard deviations."""
    off, sd, apart = figure.off or 0.0, figure.element.worst_sd or 0.0, min(0.14 * paper.step, 7.0)
    x = paper.x.at(float(figure.at)) + apart * _SIDE.get(figure.maneuver.direction, 0.0)
    low, high = (
        min(max(paper.y.at(off + side * _SDS * sd), paper.y.end), paper.y.start) for side in (-1.0, 1.0)
    )
    return svg.group(
        svg.line(x, low, x, high, class_="bar"),
        mark(x, paper.y.at(off), looks(figure, basis), min(max(0.16 * paper.step, 4.0), 0.32 * paper.letter)),
        own(x, paper.y.at(off), 12.0) if figure.element.own is not None else Markup(""),
    )


def looks(figure: Figure, basis: str) -> str:
    """Return how a figure is marked: its verdict, `unprinted` where no limit is printed to judge it by."""
    return verdict_words.mark(figure.element.decided, basis)


def mark(x: float, y: float, verdict: str, size: float) -> Markup:
    """Return the mark of a verdict: dot, open square, open diamond; a ring where nothing is judged."""
    s = size
    match verdict:
        case "met":
            return svg.circle(x, y, s, class_="met")
        case "not-met":
            return svg.rectangle(x - s, y - s, x + s, y + s, class_="open-mark")
        case "undetermined":
            around = f"M{x:.1f} {y - 1.3 * s:.1f}l{1.3 * s:.1f} {1.3 * s:.1f}l{-1.3 * s:.1f} {1.3 * s:.1f}"
            return svg.tag("path", d=f"{around}l{-1.3 * s:.1f} {-1.3 * s:.1f}Z", class_="open-mark")
        case _:
            return svg.circle(x, y, s, class_="open-mark")


def own(x: float, y: float, size: float) -> Markup:
    """Return the mark of the instructor's own verdict: a stroke under it."""
    return svg.line(x - size, y + size, x + size, y + size, class_="own")


def _lessons(one: ElementProgress, paper: _Paper) -> Markup:
    """Return the lessons' numbers in the record, as many as have room."""
    numbers = {figure.at: str(figure.lesson) for figure in one.figures}
    room = (0.6 * max(map(len, numbers.values())) + 0.6) * paper.letter
    y = paper.y.start + 1.55 * paper.letter
    shown: list[Markup] = []
    free = 0.0
    for at, number in sorted(numbers.items()):
        x = paper.x.at(float(at))
        if x >= free:
            shown.append(svg.text(x, y, number, "middle", class_="quiet"))
            free = x + room
    return svg.group(*shown, svg.text(paper.x.start - 8, y, _LESSON, "end", class_="quiet"))


def _winds(figures: Sequence[Figure]) -> dict[int, float]:
    """Return the strongest wind of each lesson in which it is known [kt]."""
    winds: dict[int, float] = {}
    for figure in figures:
        if (wind := figure.maneuver.wind_kt) is not None:
            winds[figure.at] = max(wind, winds.get(figure.at, wind))
    return winds


def _strongest(winds: dict[int, float]) -> str:
    """Return the strongest wind as it is read; empty where none is known."""
    return words.size(max(winds.values()), None, "kt", whole=True) if winds else ""


def _wind(figures: Sequence[Figure], paper: _Paper) -> Markup:
    """Return the wind of each lesson as bars at the foot."""
    winds = _winds(figures)
    if not winds:
        return Markup("")
    foot = paper.wind_top + _WIND
    scale = Scale(0.0, max(_STRONG, *winds.values()), foot, paper.wind_top)
    half = min(0.18 * paper.step, 9.0)
    bars = [
        svg.rectangle(
            paper.x.at(float(at)) - half,
            scale.at(each),
            paper.x.at(float(at)) + half,
            foot,
            class_="wind-bar",
        )
        for at, each in winds.items()
    ]
    return svg.group(
        svg.line(paper.x.start, foot, paper.x.end, foot, class_="foot"),
        *bars,
        svg.text(
            paper.x.start - 8,
            foot - 0.2 * paper.letter,
            _strongest(winds),
            "end",
            class_="quiet",
        ),
    )
