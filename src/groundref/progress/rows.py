"""The figures of elements as rows of numbers: in limits, one a lesson, or one a lesson and side."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.progress.fitting import Rows
from groundref.progress.told import Figure

Floats = NDArray[np.float64]

WINDOW: Final = 12
"""Lessons that a trend is told from: who learns does so faster at first, and where it leads now is asked for;
own figure."""


@dataclass(frozen=True, slots=True)
class Row:
    """Figures that share a lesson and whatever else they are grouped by.

    Attributes
    ----------
    at
        Number of the lesson among those of the kind.
    off, sd
        Their mean, and its standard deviation [unit]
    of
        The figures.

    Notes
    -----
    The errors of measurement in one lesson are taken as one and the same (recorder, wind, altimeter): the
    standard deviation of the mean is the root mean square of theirs, not smaller by their number. What is not
    stated is taken as 0 and shows as scatter of the lessons.
    """

    at: int
    off: float
    sd: float
    of: tuple[Figure, ...]


def recent(figures: Sequence[Figure]) -> list[Figure]:
    """Return the figures of the last lessons in which the kind was flown, that a straight line can tell."""
    return [figure for figure in figures if figure.at > figures[-1].at - WINDOW]


def grouped(figures: Sequence[Figure], by: Callable[[Figure], Hashable] | None = None) -> list[Row]:
    """Return the means of the figures that were measured, by lesson and whatever ``by`` says."""
    groups: dict[Hashable, list[Figure]] = defaultdict(list)
    for figure in figures:
        if figure.off is not None:
            groups[figure.at if by is None else (figure.at, by(figure))].append(figure)
    return [_row(group) for group in groups.values()]


def _row(group: list[Figure]) -> Row:
    count, off, square = len(group), 0.0, 0.0
    for figure in group:
        off += figure.off or 0.0
        square += (figure.element.worst_sd or 0.0) ** 2
    return Row(group[0].at, off / count, (square / count) ** 0.5, tuple(group))


def padded(
    series: Sequence[Sequence[Row]],
    asked: Sequence[float],
    columns: Sequence[Callable[[Row], float]],
) -> Rows:
    """Return some elements' rows side by side, those with fewer filled up.

    Parameters
    ----------
    series
        The rows of each element.
    asked
        What each is measured by [its unit]
    columns
        What the columns of the line are, the first being 1 for all; the effect is the last.
    """
    shape = len(series), max(len(rows) for rows in series)
    y, sd, counts = np.zeros(shape), np.ones(shape), np.zeros(shape, dtype=np.bool_)
    design = np.zeros((*shape, 1 + len(columns)))
    for n, rows in enumerate(series):
        to = len(rows)
        y[n, :to] = [row.off / asked[n] for row in rows]
        sd[n, :to] = [row.sd / asked[n] for row in rows]
        counts[n, :to] = True
        design[n, :to, 0] = 1.0
        for c, column in enumerate(columns, start=1):
            design[n, :to, c] = [column(row) for row in rows]
    return Rows(y, sd, design, counts)
