"""Bank flown less bank needed over a third of the circle, shared by the faults that live in one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.assessment import places
from groundref.assessment.faults.mention import laps_that_show, mean_with_sd
from groundref.assessment.flown import Flown

Bools = NDArray[np.bool_]
Integers = NDArray[np.int64]

enough_of_arc: Final = 0.5  # share of the third that must have been flown steadily for a lap to count


@dataclass(frozen=True, slots=True)
class Arc:
    """What a third of the circle shows.

    Attributes
    ----------
    laps
        Laps that show the fault.
    size, sd
        Mean excess in the direction asked for, in those laps [rad]
    samples
        Their samples in the third.
    needed
        Mean bank needed there [rad]
    moved
        Mean change of distance from the point from entering the third to leaving it, outside positive [m]
    """

    laps: tuple[int, ...]
    size: float
    sd: float
    samples: Bools
    needed: float
    moved: float


def look_at(flown: Flown, middle: float, sign: float, threshold: float) -> Arc | None:
    """Return what the third about ``middle`` shows, None when no lap shows the fault.

    Parameters
    ----------
    flown
        The evidence.
    middle
        Position in the middle of the third [rad]
    sign
        +1 to look for too much bank, −1 for too little.
    threshold
        Size worth mentioning [rad]
    """
    if not flown.wind_felt:
        return None
    inside = flown.steady & places.within(flown.profile.position, middle, places.third)
    sizes = [(lap, *_excess(flown, inside & (flown.profile.lap == lap), sign)) for lap in flown.all_laps]
    laps, size, sd = laps_that_show(flown, sizes, threshold)
    if not laps:
        return None
    shown = inside & np.isin(flown.profile.lap, laps)
    moved = float(np.mean([_moved(flown, shown & (flown.profile.lap == lap)) for lap in laps]))
    return Arc(laps, size, sd, shown, float(np.nanmean(flown.bank_needed[shown])), moved)


def _excess(flown: Flown, inside: Bools, sign: float) -> tuple[float, float]:
    """Return the mean excess of bank and its sd over some samples; NaN when too little was flown [rad]."""
    turned = np.abs(flown.states.track_rate[flown.samples][inside]).sum() * flown.interval
    if turned < enough_of_arc * 2.0 * places.third:
        return float("nan"), float("nan")
    excess = sign * (flown.bank_flown - flown.bank_needed)
    sd = np.hypot(flown.states.bank_sd[flown.samples], flown.profile.bank_required_sd)
    return mean_with_sd(excess[inside], sd[inside], flown.time, flown.bank_bias)


def _moved(flown: Flown, inside: Bools) -> float:
    """Return how far the distance changed over the runs of samples in one lap [m]."""
    return float(
        sum(flown.profile.distance[run[-1]] - flown.profile.distance[run[0]] for run in runs(inside))
    )


def runs(inside: Bools) -> list[Integers]:
    """Return the stretches of consecutive samples."""
    index = np.flatnonzero(inside)
    return np.split(index, np.flatnonzero(np.diff(index) > 1) + 1) if index.size else []
