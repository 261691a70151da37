"""Bank flown less bank needed over a third of the circle, shared by the faults that live in one.

The error is taken to be largest in the middle of the third and to fade out towards the crosswind places,
like the raised cosine w = ½ (1 + cos 3α) of the angle α from the middle. The size is the largest value:
Σ w² e / Σ w³, with the excess e of the bank, which is the value in the middle for that shape and a fifth more
than the mean for an even error over the whole third.

What was needed hangs on which circle was meant. Its radius is taken as the mean distance flown, which itself
is off by about half of how much the distance varied; that goes into the standard deviation.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import difference
from groundref.assessment import places
from groundref.assessment.faults.mention import alike, chance, laps_that_show
from groundref.assessment.flown import Flown

Floats = NDArray[np.float64]
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
        Largest excess in the direction asked for, mean of those laps [rad]
    samples
        Their samples in the third.
    needed
        Bank needed in the middle of it [rad]
    moved
        How far it closed or opened the circle; None when that cannot be told [m]
    """

    laps: tuple[int, ...]
    size: float
    sd: float
    samples: Bools
    needed: float
    moved: float | None


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
    sizes = [
        (lap, *_excess(flown, inside & (flown.profile.lap == lap), middle, sign)) for lap in flown.all_laps
    ]
    laps, size, sd = laps_that_show(sizes, threshold)
    if not laps:
        return None
    shown = inside & np.isin(flown.profile.lap, laps)
    needed = float(np.average(flown.bank_needed[shown], weights=_weight(flown, middle)[shown] ** 2))
    return Arc(laps, size, sd, shown, needed, _moved(flown, middle, sign, shown))


def _excess(flown: Flown, inside: Bools, middle: float, sign: float) -> tuple[float, float]:
    """Return the largest excess of bank in a third of a lap and its sd; NaN if too little was flown [rad]."""
    turned = np.abs(flown.states.track_rate[flown.samples][inside]).sum() * flown.interval
    if turned < enough_of_arc * 2.0 * places.third:
        return float("nan"), float("nan")
    excess = sign * (flown.bank_flown - flown.bank_needed)
    sd = np.hypot(flown.states.bank_sd[flown.samples], flown.profile.bank_required_sd)
    weight = _weight(flown, middle)[inside]
    scale = np.sum(weight**3)
    noise = np.sqrt(np.sum(weight**4 * sd[inside] ** 2) * alike(flown.interval)) / scale
    size = float(weight**2 @ excess[inside] / scale)
    return size, float(np.hypot(noise, _common_sd(flown, inside)))


def _weight(flown: Flown, middle: float) -> Floats:
    """Return the raised cosine that is 1 in the middle of a third and 0 at its ends."""
    off = np.abs(difference(np.nan_to_num(flown.profile.position), middle))
    return np.where(off < places.third, 0.5 * (1.0 + np.cos(np.pi * off / places.third)), 0.0)


def _common_sd(flown: Flown, inside: Bools) -> float:
    """Return the sd that the samples of a third share: of the bank, and of which radius was meant [rad]."""
    radial = flown.profile.radial[flown.profile.lap > 0]
    meant = 0.5 * float(np.sqrt(np.mean(radial**2))) / flown.maneuver.radius
    needed = float(np.nanmean(flown.bank_needed[inside]))
    return float(np.hypot(flown.bank_bias, np.sin(needed) * np.cos(needed) * meant))


def _moved(flown: Flown, middle: float, sign: float, shown: Bools) -> float | None:
    """Return how far the distance went in (for too much bank) or out, mean of the times round [m].

    It is followed from the beginning of the third to a sixth past its end, where bank shows in the distance
    at last. None when it did not move that way by more than the error of two positions.
    """
    after = flown.steady & places.within(
        flown.profile.position, middle + 0.5 * places.third, 1.5 * places.third
    )
    moved = [
        float(np.max(sign * (flown.profile.distance[run[0]] - flown.profile.distance[run])))
        for run in runs(after)
        if shown[run].any()
    ]
    mean = float(np.mean(moved)) if moved else 0.0
    error = chance * np.sqrt(2.0) * float(np.nanmedian(flown.states.position_sd[flown.samples]))
    return mean if mean > error else None


def runs(inside: Bools) -> list[Integers]:
    """Return the stretches of consecutive samples."""
    index = np.flatnonzero(inside)
    return np.split(index, np.flatnonzero(np.diff(index) > 1) + 1) if index.size else []
