"""Small multiples of a student's progress as one picture that stands alone, one panel an element."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from markupsafe import Markup

from groundref.detection import named
from groundref.progress.told import ElementProgress, ManeuverProgress, Progress
from groundref.reports import metric, svg, words
from groundref.reports.figures.on_paper import FAMILY
from groundref.reports.progress import panel
from groundref.reports.progress import words as said
from groundref.reports.reading import METRIC, US, reading

_INK, _QUIET, _RULE, _WASH, _PLUM = "#1d2126", "#55595f", "#c9c5ba", "#f1eee6", "#7a2f63"
_LOOK: Final = f"""
text {{ fill: {_INK}; font-family: {FAMILY} }}
text.quiet {{ fill: {_QUIET} }}
text.strong {{ font-weight: 700 }}
path, line, circle, rect {{ fill: none; stroke: none }}
.grid {{ stroke: {_RULE}; stroke-width: 1.5 }}
.within {{ fill: {_WASH} }}
.asked {{ stroke: {_PLUM}; stroke-width: 3.5; stroke-dasharray: 12 6 }}
.trend-band {{ fill: {_INK}; fill-opacity: 0.13 }}
.trend {{ stroke: {_INK}; stroke-width: 2.5 }}
.bar {{ stroke: {_INK}; stroke-width: 2 }}
.met {{ fill: {_INK}; stroke: #ffffff; stroke-width: 1.5 }}
.open-mark {{ fill: #ffffff; stroke: {_INK}; stroke-width: 2.5 }}
.own {{ stroke: {_PLUM}; stroke-width: 3.5 }}
.wind-bar {{ fill: {_QUIET} }}
.foot {{ stroke: {_QUIET}; stroke-width: 1.5 }}
"""
COLUMNS: Final = 3
_LETTER: Final = 27.0  # in a panel of three side by side
_APART: Final = 26.0
_HEAD: Final = 62.0


def maneuver(one: ManeuverProgress) -> list[str]:
    """Return the panels of one kind of maneuver as SVG files, one a row; none where nothing was measured.

    Three stand side by side, or four where that saves a row; letters are as large on paper either way. A page
    may end between two rows.

    Parameters
    ----------
    one
        The kind of maneuver.
    """
    shown = [element for element in one.elements if said.measured(element)]
    columns = COLUMNS + (-(-len(shown) // (COLUMNS + 1)) < -(-len(shown) // COLUMNS))
    letter = _LETTER * columns / COLUMNS
    found = []
    for first in range(0, len(shown), columns):
        drawn, tall = _panels(shown[first : first + columns], letter, columns)
        found.append(_file(_wide(columns), tall, drawn, _about(one), letter))
    return found


def svg_file(progress: Progress, units: str = US) -> str:
    """Return all panels as an SVG file, those of a kind of maneuver under its name.

    Parameters
    ----------
    progress
        The student's.
    units
        That they are read in.
    """
    with reading(units):
        drawn = _all_panels(progress)
    return metric.page(drawn) if units == METRIC else drawn


def _all_panels(progress: Progress) -> str:
    parts, top, letter = [], 0.0, _LETTER
    for one in progress.maneuvers:
        drawn, tall = _panels([each for each in one.elements if said.measured(each)], letter, COLUMNS)
        if not drawn:
            continue
        head = svg.text(0.0, 40.0, named.title(one.kind), class_="strong", style="font-size: 36px")
        parts.append(
            svg.group(
                head, svg.group(drawn, transform=f"translate(0 {_HEAD:g})"), transform=f"translate(0 {top:g})"
            )
        )
        top += _HEAD + tall + _APART
    if not parts:
        parts, top = [svg.text(0.0, 40.0, "Nothing was measured yet.")], 60.0
    about = f"{words.plain(progress.name)}: {said.span(progress)}"
    return _file(_wide(COLUMNS), top, Markup("").join(parts), about, letter)


def _panels(shown: Sequence[ElementProgress], letter: float, columns: int) -> tuple[Markup, float]:
    """Return the panels of elements in rows, and how tall they are together."""
    tall = panel.height(letter) + _APART
    placed = [
        svg.group(
            panel.draw(element, letter),
            transform=f"translate({(n % columns) * (svg.WIDTH + _APART):g} {n // columns * tall:g})",
        )
        for n, element in enumerate(shown)
    ]
    return Markup("").join(placed), -(-len(shown) // columns) * tall


def _wide(columns: int) -> float:
    return columns * (svg.WIDTH + _APART) - _APART


def _about(one: ManeuverProgress) -> str:
    return f"{named.title(one.kind)}: {said.flown(one)}"


def _file(wide: float, tall: float, drawn: Markup, about: str, letter: float) -> str:
    look = Markup(f"{_LOOK}text {{ font-size: {letter:g}px }}\n")
    return str(
        svg.tag(
            "svg",
            svg.tag("title", about),
            svg.tag("style", look),
            drawn,
            xmlns="http://www.w3.org/2000/svg",
            viewBox=f"0 0 {wide:g} {tall:g}",
        )
    )
