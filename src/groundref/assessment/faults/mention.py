"""When a size is worth mentioning: large enough for an instructor, and too large to be chance."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

import numpy as np

from groundref.assessment.flown import Flown, correlation_time
from groundref.assessment.said import plus_minus
from groundref.detection.circling import POSITION_WANDER
from groundref.measures import length
from groundref.units import foot

# Standard deviations below the size: the lower end of the one-sided 95 % interval ...
chance: Final = 1.645
surely: Final = 0.5  # ... which must still reach this share of the threshold
probable: Final = 0.6745  # standard deviations: the normal quantile of three in four
visible: Final = 30.0 * foot  # [m]  change of distance that the eye can tell; common practice, no source
one_lap: Final = 1.5  # factor on the threshold for a fault that not all laps show


def supported(size: float, sd: float, threshold: float) -> bool:
    """Return whether a size reaches the threshold of mention and surely half of it; never for NaN."""
    return bool(size >= threshold and size - chance * sd >= surely * threshold)


def probably(size: float, sd: float, threshold: float) -> bool:
    """Return whether a size is worth a word with a probability of three in four; never for NaN."""
    return bool(size - probable * sd >= threshold)


def change_sd(flown: Flown) -> float:
    """Return the sd of a change of distance: each of the two has its position's error and wander [m].

    That of a fitted point is none by chance: it has given way to the change, which `moved_said` says.
    """
    position = float(np.nanmedian(flown.states.position_sd[flown.samples]))
    return float(np.sqrt(2.0) * np.hypot(position, POSITION_WANDER))


def point_gives(flown: Flown) -> bool:
    """Return whether the point was fitted, so that it gave way to what the circle did."""
    return flown.maneuver.reference.source == "fitted"


def moved_said(flown: Flown, moved: float, sd: float) -> str:
    """Say a change of distance: at least so much where the fitted point took up a part of it."""
    if point_gives(flown):
        what = flown.maneuver.reference.type
        return f"at least {length(moved)} ({plus_minus(sd)}; give the {what} for the full figure)"
    return f"{length(moved)} ({plus_minus(sd)})"


def alike(interval: float) -> float:
    """Return how many neighboring samples share one error of a smoothed bank; sums vary so much more.

    Parameters
    ----------
    interval
        Time between samples [s]
    """
    return max(1.0, correlation_time / interval) if interval > 0.0 else 1.0


def laps_that_show(
    sizes: Iterable[tuple[int, float, float]], threshold: float
) -> tuple[tuple[int, ...], float, float]:
    """Return the laps that show a fault with its mean size there and its sd; no laps when unsupported.

    All laps together must reach the threshold; failing that, single laps must exceed it clearly.

    Parameters
    ----------
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
    return (tuple(dict.fromkeys(lap for lap, _, _ in shown)), *_together(shown))


def _together(rows: list[tuple[int, float, float]]) -> tuple[float, float]:
    """Return the mean size of some laps and its sd, taken as if the errors were common to all laps."""
    return float(np.mean([row[1] for row in rows])), float(np.mean([row[2] for row in rows]))
