"""From quantities to places on paper: linear scales, round ticks, lines thinned to what can be seen."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor, isfinite, log10

import numpy as np
from numpy.typing import ArrayLike, NDArray

from groundref.reports import words

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Scale:
    """A straight map from values ``low … high`` to paper ``start … end``."""

    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: ArrayLike) -> Floats:
        """Return the places of the values."""
        share = (np.asarray(value, dtype=np.float64) - self.low) / (self.high - self.low)
        return self.start + share * (self.end - self.start)

    def at(self, value: float) -> float:
        """Return the place of one value."""
        return float(self(value))


def ticks(low: float, high: float, about: int) -> list[float]:
    """Return round values inside the range, about as many as asked: steps of 1, 2 or 5 times a power of ten.

    Parameters
    ----------
    low, high
        The range, ``low < high``.
    about
        How many would be welcome.
    """
    step = round_step((high - low) / max(about, 1))
    first, last = ceil(low / step - 1e-9), floor(high / step + 1e-9)
    return [n * step for n in range(first, last + 1)]


def round_step(step: float) -> float:
    """Return the smallest of 1, 2, 5 times a power of ten that is not below ``step``."""
    power = 10.0 ** floor(log10(step))
    return next(m * power for m in (1.0, 2.0, 5.0, 10.0) if m * power >= step * (1 - 1e-9))


def second_ticks(start: float, end: float, about: int) -> list[float]:
    """Return whole times inside the range, in steps a clock face knows [s]."""
    steps = (1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200)
    step = next((s for s in steps if (end - start) / s <= about), 14400)
    return [float(n * step) for n in range(ceil(start / step), floor(end / step) + 1)]


def span(*values: ArrayLike | None, least: float, margin: float = 0.08) -> tuple[float, float]:
    """Return a range that holds every finite value with a margin, never narrower than ``least``.

    Parameters
    ----------
    values
        Numbers or arrays; None and NaN are passed over.
    least
        Width below which noise would look like motion.
    margin
        Share of the width added at either end.
    """
    arrays = [np.atleast_1d(np.asarray(v, dtype=np.float64)) for v in values if v is not None]
    finite = np.concatenate([a[np.isfinite(a)] for a in arrays]) if arrays else np.empty(0)
    if finite.size == 0:
        return 0.0, least
    low, high = float(finite.min()), float(finite.max())
    wide = max(high - low, least) * (1 + 2 * margin)
    middle = (low + high) / 2
    return middle - wide / 2, middle + wide / 2


def thin(x: Floats, y: Floats, step: float = 1.0) -> NDArray[np.int64]:
    """Return indices of the points worth drawing: one for each ``step`` of paper the pen travels.

    Breaks (NaN), the first and the last point are kept.

    Parameters
    ----------
    x, y
        On paper.
    step
        Smallest motion of the pen that can be seen.
    """
    if x.size < 3:
        return np.arange(x.size)
    moved = np.hypot(np.diff(x), np.diff(y))
    broken = ~np.isfinite(moved)
    travelled = np.concatenate(([0.0], np.cumsum(np.where(broken, 0.0, moved))))
    bins = np.floor(travelled / step)
    keep = np.concatenate(([True], np.diff(bins) > 0))
    keep[1:] |= broken
    keep[:-1] |= broken
    keep[-1] = True
    return np.flatnonzero(keep)


def bar_words(length: float, unit: str) -> str:
    """Return the length of a bar in words: whole kilometers as such, `5 km` and not `5,000 m`.

    Parameters
    ----------
    length
        In the unit.
    unit
        `ft` or `m`.
    """
    if unit == "m" and length >= 1000.0:
        return f"{words.number(length / 1000.0)} km"
    return f"{words.number(length)} {unit}"


def bar_length(longest: float) -> float:
    """Return the longest round length (1, 2 or 5 times a power of ten) that fits."""
    if not isfinite(longest) or longest <= 0:
        return 0.0
    power = 10.0 ** floor(log10(longest))
    return max(m * power for m in (1.0, 2.0, 5.0) if m * power <= longest * (1 + 1e-9))
