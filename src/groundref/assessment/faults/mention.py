"""When a size is worth mentioning: large enough for an instructor, and too large to be chance."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.assessment.flown import Flown, correlation_time

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

chance: Final = (
    2.0  # standard deviations a size must exceed: a one-sided chance of 2.3 % where there is nothing
)
one_lap: Final = 1.5  # factor on the threshold for a fault that not all laps show


def supported(size: float, sd: float, threshold: float) -> bool:
    """Return whether a size reaches the threshold of mention and cannot be chance; never for NaN."""
    return bool(size >= threshold and size > chance * sd)


def mean_with_sd(values: Floats, sd: Floats, time: Floats, common: float) -> tuple[float, float]:
    """Return the mean of correlated estimates and its standard deviation; NaN for none.

    Parameters
    ----------
    values, sd
        Estimates with the standard deviation of each.
    time
        When, so that no more independent ones are counted than there were correlation times [s]
    common
        Standard deviation of the error all share, which no averaging removes.
    """
    known = np.isfinite(values) & np.isfinite(sd)
    if not known.any():
        return float("nan"), float("nan")
    step = float(np.median(np.diff(time))) if time.size > 1 else correlation_time
    independent = max(1.0, known.sum() * min(step / correlation_time, 1.0))
    noise = float(np.sqrt(np.mean(sd[known] ** 2) / independent))
    return float(values[known].mean()), float(np.hypot(noise, common))


def laps_that_show(
    flown: Flown, sizes: Iterable[tuple[int, float, float]], threshold: float
) -> tuple[tuple[int, ...], float, float]:
    """Return the laps that show a fault with its mean size there and its sd; no laps when unsupported.

    All laps together must reach the threshold; failing that, single laps must exceed it clearly.

    Parameters
    ----------
    flown
        The evidence.
    sizes
        Lap number, size and standard deviation of each lap.
    threshold
        Size worth mentioning.
    """
    known = [(lap, size, sd) for lap, size, sd in sizes if np.isfinite(size) and np.isfinite(sd)]
    if not known:
        return (), float("nan"), float("nan")
    if supported(*_together(known), threshold):
        shown = [row for row in known if row[1] >= 0.5 * threshold]
    else:
        shown = [row for row in known if supported(row[1], row[2], one_lap * threshold)]
    if not shown:
        return (), float("nan"), float("nan")
    return (tuple(lap for lap, _, _ in shown), *_together(shown))


def _together(rows: list[tuple[int, float, float]]) -> tuple[float, float]:
    """Return the mean size of some laps and its sd, taken as if the errors were common to all laps."""
    return float(np.mean([row[1] for row in rows])), float(np.mean([row[2] for row in rows]))
