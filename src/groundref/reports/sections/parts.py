"""The parts of a section: pictures with their keys, tables, and what the moment slider says."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from groundref.assessment.assessed import Assessed
from groundref.debriefing import Debrief
from groundref.reports import svg
from groundref.reports.cells import Cell, Fact

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Key:
    """What one look of a picture means.

    Attributes
    ----------
    swatch
        What it looks like.
    says
        What it means.
    lap
        The lap it stands for; None for none.
    """

    swatch: Markup
    says: str
    lap: int | None = None


@dataclass(frozen=True, slots=True)
class Figure:
    """A picture with its title and what is written below it.

    Attributes
    ----------
    name
        Ends its id.
    title
        Its heading.
    drawing
        The picture.
    keys
        What its looks mean.
    says
        A paragraph; empty for none.
    look
        Class of the figure in the style sheet; empty for none.
    """

    name: str
    title: str
    drawing: Markup
    keys: Sequence[Key]
    says: str = ""
    look: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """A table by numbers.

    Attributes
    ----------
    name
        Ends its id and is its class.
    title
        Its heading.
    caption
        What it holds, for those who do not see the page.
    heads
        Over the columns; the first over the names of the rows, empty where they need none.
    rows
        Name and cells.
    says
        A sentence below it; empty for none.
    by_lap
        Whether each column is a lap, so that it can be cut into several tables.
    """

    name: str
    title: str
    caption: str
    heads: tuple[str, ...]
    rows: Sequence[tuple[str, Sequence[Cell]]]
    says: str = ""
    by_lap: bool = False

    @property
    def figures(self) -> list[str]:
        """The names of its figures: of the rows where each column is a lap, else of the columns."""
        return [name for name, _ in self.rows] if self.by_lap else [head for head in self.heads[1:] if head]


Track = tuple[Floats, Floats]  # places on paper of the samples of a maneuver


@dataclass(frozen=True, slots=True)
class Section:
    """What is particular to a kind of maneuver in reports.

    Attributes
    ----------
    figures
        The pictures at the top.
    along
        The picture along time beside the facts; None where it is at the top already.
    tables
        The tables at the foot.
    facts
        What is known about the maneuver as a whole; the first three lead.
    moving
        For each picture over the ground or by position, its name and where on it each sample lies.
    says
        What can be said of a sample, by its index from the maneuver's first.
    """

    figures: Callable[[Debrief, Assessed, str], list[Figure]]
    along: Callable[[Debrief, Assessed, str], Figure | None]
    tables: Callable[[Debrief, Assessed], list[Table]]
    facts: Callable[[Debrief, Assessed], list[Fact]]
    moving: Callable[[Debrief, Assessed], dict[str, Track]]
    says: Callable[[Debrief, Assessed, int], tuple[str, ...]]


def swatch(*looks: str, dash: str | None = None, style: str | None = None) -> Markup:
    """Return a small line of each look, one over the other."""
    lines = [svg.tag("path", d="M1 6h38", class_=look) for look in looks[:-1]]
    lines.append(svg.tag("path", d="M1 6h38", class_=looks[-1], stroke_dasharray=dash, style=style))
    return mark(*lines)


def mark(*parts: Markup) -> Markup:
    """Return small marks as they stand in a picture."""
    return svg.tag("svg", *parts, class_="swatch", viewBox="0 0 40 12", aria_hidden="true")
