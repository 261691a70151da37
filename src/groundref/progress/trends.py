"""The trend of each element over the lessons in which its maneuver was flown."""

from __future__ import annotations

from collections.abc import Sequence
from math import erf, sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.progress.fitting import Fits, Rows, fits
from groundref.progress.pooling import Effects, pooled
from groundref.progress.rows import Row, padded
from groundref.progress.told import Trend

Floats = NDArray[np.float64]

SDS: Final = 1.96  # of the 95 % interval
_SIZES: Final = np.linspace(0.02, 0.3, 8)
"""How much an element may change a lesson, in limits; own figures."""
_SURE: Final = 0.975  # probability from which a direction is told: the 95 % interval leaves out no change
_STEADY: Final = 0.02  # of the limit a lesson: a tenth of it in five lessons; own figure
NO_PRIOR: Final = np.zeros(2)


def trends(series: Sequence[Sequence[Row]], asked: Sequence[float]) -> tuple[list[Trend], float]:
    """Return the trend of each element, and how large such trends are in this student, in limits a lesson.

    Parameters
    ----------
    series
        One row a lesson of each element, at least two lessons each.
    asked
        What each element is measured by [its unit]
    """
    if not series:
        return [], float(_SIZES.mean())
    rows = padded(series, asked, [_lesson])
    found = fits(rows, NO_PRIOR)
    effects = pooled(found, _SIZES)
    lines = _lines(rows, found, effects)
    told = [_trend(n, row, asked[n], effects, found, lines) for n, row in enumerate(series)]
    return told, effects.size


def _lesson(row: Row) -> float:
    return float(row.at)


def _lines(rows: Rows, found: Fits, effects: Effects) -> tuple[Floats, Floats]:
    """Return mean and standard deviation of the line at each row, in limits.

    For each scatter the line is told about the lesson t_c at which its height and its slope are uncorrelated,
    t_c = −cov(a, b) / var(b), so that a slope that is held back turns it about what the lessons say.
    """
    t = rows.design[..., 1][:, None, :]
    a, b = (found.coefficients[..., n, None] for n in (0, 1))
    c = found.covariance[..., None]
    middle = -c[..., 0, 1, :] / c[..., 1, 1, :]
    height = a + b * middle
    height_variance = c[..., 0, 0, :] - c[..., 0, 1, :] ** 2 / c[..., 1, 1, :]
    mean = height + effects.given[..., None] * (t - middle)
    variance = height_variance + effects.given_variance[..., None] * (t - middle) ** 2
    share = effects.share[..., None]
    whole = (share * mean).sum(axis=1)
    return whole, np.sqrt((share * (variance + mean**2)).sum(axis=1) - whole**2)


def _trend(
    n: int, rows: Sequence[Row], asked: float, effects: Effects, found: Fits, lines: tuple[Floats, Floats]
) -> Trend:
    mean, sd = float(effects.mean[n]), float(effects.sd[n])
    smaller = 0.5 * (1.0 - erf(mean / sd / sqrt(2.0)))
    line, line_sd = (each[n, : len(rows)] * asked for each in lines)
    return Trend(
        lessons=len(rows),
        a_lesson=mean * asked,
        a_lesson_sd=sd * asked,
        low=(mean - SDS * sd) * asked,
        high=(mean + SDS * sd) * asked,
        smaller=smaller,
        says=_says(mean, sd, smaller),
        now=float(line[-1]),
        now_sd=float(line_sd[-1]),
        scatter=float(effects.share[n] @ found.scatter[n]) * asked,
        at=tuple(row.at for row in rows),
        line=tuple(line.tolist()),
        line_sd=tuple(line_sd.tolist()),
    )


def _says(mean: float, sd: float, smaller: float) -> str:
    """Return what can be said of a change, in limits a lesson."""
    if abs(mean) + SDS * sd <= _STEADY:
        return "steady"
    if smaller >= _SURE:
        return "smaller"
    return "larger" if smaller <= 1.0 - _SURE else "undetermined"
