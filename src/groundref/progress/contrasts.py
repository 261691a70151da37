"""Left against right turns, light against strong wind: each beside the trend, so that practice is no side.

The line through an element has the lesson and the way flown together. Who flew all left turns in spring and
all right ones in summer cannot tell side from practice; then the interval is wide, as it must be.

A difference and its interval are those of the element alone, hardly held back. Among many some differ
by chance; so a difference is told only where it also stands when all elements are told together
(:mod:`groundref.progress.pooling`).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

import numpy as np

from groundref.progress.fitting import fits
from groundref.progress.pooling import pooled
from groundref.progress.rows import Row, grouped, padded
from groundref.progress.told import Contrast, Figure
from groundref.progress.trends import SDS

_SIZES: Final = np.linspace(0.05, 0.8, 8)
"""How large such differences may be in a student, in limits; own figures."""
_ALONE: Final = np.array([1.0])
"""How large one may be in an element alone: a limit, so that hardly anything is held back; own figure."""
_ALIKE: Final = 0.25  # of the limit: a difference within it is none worth a word; own figure
STRONGER: Final = 10.0  # [kt] for which the difference with wind is told
_SPAN: Final = 3.0  # [kt] between lightest and strongest wind from which there is anything to compare
_LEAST: Final = 3  # lessons from which there is anything to compare

Series = Sequence[Figure]
Side = Callable[[Row], float]


def _left(row: Row) -> float:
    return 0.5 if row.of[0].maneuver.direction == "left" else -0.5


def _wind(row: Row) -> float:
    known = [figure.maneuver.wind_kt for figure in row.of if figure.maneuver.wind_kt is not None]
    return sum(known) / len(known) / STRONGER


def turns(series: Sequence[Series], asked: Sequence[float | None], a_lesson: float) -> list[Contrast]:
    """Return left less right turns in each element.

    Parameters
    ----------
    series
        The figures of each element, in order.
    asked
        What each is measured by; None for nothing [its unit]
    a_lesson
        How large trends are in this student, in limits a lesson.
    """
    rows = [grouped([f for f in figures if f.maneuver.direction != "both"], _direction) for figures in series]
    return _contrasts("turns", rows, asked, a_lesson, _left, _why_no_side)


def wind(series: Sequence[Series], asked: Sequence[float | None], a_lesson: float) -> list[Contrast]:
    """Return what 10 kt more of wind are in each element; parameters as of :func:`turns`."""
    rows = [grouped([f for f in figures if f.maneuver.wind_kt is not None]) for figures in series]
    return _contrasts("wind", rows, asked, a_lesson, _wind, _why_no_wind)


def _direction(figure: Figure) -> str:
    return figure.maneuver.direction


def _why_no_side(rows: Sequence[Row]) -> str:
    sides = {row.of[0].maneuver.direction for row in rows}
    if not sides:
        return "No turns to one side alone were measured."
    return f"Only {sides.pop()} turns were measured." if len(sides) == 1 else ""


def _why_no_wind(rows: Sequence[Row]) -> str:
    winds = [STRONGER * _wind(row) for row in rows]
    if not winds:
        return "The wind of these lessons is not known."
    return "" if max(winds) - min(winds) >= _SPAN else "All lessons had about the same wind."


def _contrasts(
    of: str,
    series: Sequence[Sequence[Row]],
    asked: Sequence[float | None],
    a_lesson: float,
    side: Side,
    why: Callable[[Sequence[Row]], str],
) -> list[Contrast]:
    """Return the effects of the side, and why there is none where there is nothing to tell it from."""
    reasons = [_why(rows, limit, why) for rows, limit in zip(series, asked, strict=True)]
    some = [n for n, reason in enumerate(reasons) if not reason]
    limits = [limit for n in some if (limit := asked[n]) is not None]
    told = [Contrast(of, None, None, None, None, "undetermined", reason) for reason in reasons]
    if not some:
        return told
    rows = padded([series[n] for n in some], limits, [lambda row: float(row.at), side])
    found = fits(rows, np.array([0.0, a_lesson**-2, 0.0]))
    alone, together = pooled(found, _ALONE), pooled(found, _SIZES)
    stands = np.abs(together.mean) > SDS * together.sd
    for row, n in enumerate(some):
        mean, sd = float(alone.mean[row]), float(alone.sd[row])
        told[n] = _contrast(of, limits[row], mean, sd, stands=bool(stands[row]))
    return told


def _why(rows: Sequence[Row], limit: float | None, why: Callable[[Sequence[Row]], str]) -> str:
    if limit is None:
        return "No limit is printed to measure it by."
    few = "Too few lessons to compare." if len({row.at for row in rows}) < _LEAST else ""
    return why(rows) or few


def _contrast(of: str, limit: float, mean: float, sd: float, *, stands: bool) -> Contrast:
    """Return a difference in words, in the element's unit."""
    low, high = mean - SDS * sd, mean + SDS * sd
    says = "undetermined"
    if stands and not low <= 0.0 <= high:
        says = "larger" if low > 0.0 else "smaller"
    if low >= -_ALIKE and high <= _ALIKE:
        says = "alike"
    return Contrast(of, mean * limit, sd * limit, low * limit, high * limit, says, "")
