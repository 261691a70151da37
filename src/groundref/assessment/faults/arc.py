"""Bank flown less bank needed over a third of the circle, shared by the faults that live in one.

A pilot who banks too much sees the circle close and takes bank off again, often within the same third, so
its mean says little. The size is the largest error held for some seconds: the greatest running mean of the
excess whose middle lies within the inner three quarters of the third. An excess that only takes back one
of like size the other way, just before, is not counted.

What was needed hangs on which circle was meant. Its radius is taken as the mean distance flown, which itself
is off by about half of how much the distance varied; that goes into the standard deviation.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from groundref.assessment import places
from groundref.assessment.assessed import Finding
from groundref.assessment.faults.mention import (
    alike,
    change_sd,
    laps_that_show,
    moved_said,
    point_gives,
    visible,
)
from groundref.assessment.flown import Flown
from groundref.assessment.said import degrees, laps_said
from groundref.units import degree, foot

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Integers = NDArray[np.int64]

THRESHOLD: Final = 3.0 * degree  # common practice, no source: what shows against the horizon
enough_of_arc: Final = 0.5  # share of the third that must have been flown steadily for a lap to count
held_for: Final = 5.0  # [s]  shorter errors are unsteadiness, not technique; common practice, no source
alike_size: Final = 0.7  # share of an error from which the one before it may have caused it
correction: Final = 12.0  # [s]  within which an error of bank seen in the distance is taken back
inner: Final = 0.75  # share of the third where the middle of those seconds must lie
# Where the turn changes sides the inner part is spent rolling: there the whole third counts.
inner_of_half: Final = 1.0


@dataclass(frozen=True, slots=True)
class Arc:
    """What a third of the circle shows.

    Attributes
    ----------
    laps
        Laps that show the fault.
    size, sd
        Largest excess held in the direction asked for, mean of those laps [rad]
    samples
        Their samples in the third.
    needed
        Bank needed in the middle of the third, mean of those laps; of all that was flown of the third where
        no lap came by its middle [rad]
    moved, moved_sd
        How far it closed or opened the circle and its standard deviation; None when that cannot be told [m]
    """

    laps: tuple[int, ...]
    size: float
    sd: float
    samples: Bools
    needed: float
    moved: float | None
    moved_sd: float | None


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
    inside = flown.steady & places.within(flown.arc_position, middle, places.third)
    every = sign * (flown.bank_flown - flown.bank_needed)
    excess = _running_mean(flown, np.where(flown.steady, every, np.nan))
    halves = flown.maneuver.kind == "s-turns"
    part = inner_of_half if halves else inner
    near = places.within(flown.arc_position, middle, part * places.third)
    # Where each turn begins with a roll through level, that roll is no error that the next seconds take back.
    before = excess if halves else _running_mean(flown, every)
    corrects = _corrects(flown, excess, before)
    taken_back = near & corrects & (excess >= threshold)
    excess = np.where(near & ~corrects, excess, np.nan)
    sizes = [
        (lap, *_largest(flown, excess, taken_back, inside & (flown.profile.lap == lap)))
        for lap in flown.all_laps
    ]
    laps, size, sd = laps_that_show(sizes, threshold)
    if not laps:
        return None
    shown = inside & np.isin(flown.profile.lap, laps)
    needed = flown.bank_needed_at(middle, laps)
    if not np.isfinite(needed):
        needed = float(np.nanmean(flown.bank_needed[shown]))
    moved = _moved(flown, middle, sign, shown)
    return Arc(laps, size, sd, shown, needed, moved, None if moved is None else change_sd(flown))


def effect(flown: Flown, arc: Arc, did: str) -> str:
    """Say what the bank did over the ground, such as ``closed``; empty when that cannot be told."""
    if arc.moved is None or arc.moved_sd is None:
        return ""
    return f", which {did} the {flown.words.shape} by {moved_said(flown, arc.moved, arc.moved_sd)}"


def _running_mean(flown: Flown, values: Floats) -> Floats:
    """Return the mean over some seconds about each sample; NaN where not all of them are known."""
    width = _width(flown)
    if values.size < width:
        return np.full(values.size, np.nan)
    out = np.full(values.size, np.nan)
    half = width // 2
    out[half : half + values.size - width + 1] = sliding_window_view(values, width).mean(axis=1)
    return out


def _corrects(flown: Flown, excess: Floats, every: Floats) -> Bools:
    """Return where an excess only takes back one of like size the other way, a few seconds before.

    What went before counts even while rolling in, ``every``.
    """
    span = max(1, round(correction / flown.interval)) if flown.interval > 0.0 else 1
    padded = np.concatenate([np.zeros(span), np.where(np.isfinite(every), -every, 0.0)])
    before = sliding_window_view(padded, span)[: excess.size].max(axis=1)
    return np.asarray(before > alike_size * np.maximum(excess, 0.0), dtype=np.bool_)


def _width(flown: Flown) -> int:
    """Return how many samples the error must be held for."""
    return max(1, round(held_for / flown.interval)) if flown.interval > 0.0 else 1


def _largest(flown: Flown, excess: Floats, taken_back: Bools, inside: Bools) -> tuple[float, float]:
    """Return the largest excess in a third of a lap and its sd [rad].

    NaN if too little was flown, or where the largest only took back another error: what the pilot would have
    done there without it cannot be told.
    """
    turned = np.abs(flown.states.track_rate[flown.samples][inside]).sum() * flown.interval
    # A half circle has no more than half of a third: the other half lies in the half circle beside it.
    # So is it where the loops of an eight leave out what lies about downwind.
    offered = 0.5 if flown.maneuver.kind in {"s-turns", "eights-around-pylons"} else 1.0
    if turned < enough_of_arc * offered * 2.0 * places.third:
        return float("nan"), float("nan")
    sd = np.hypot(flown.states.bank_sd[flown.samples], flown.profile.bank_required_sd)[inside]
    independent = max(1.0, _width(flown) / alike(flown.interval))
    noise = float(np.sqrt(np.nanmean(sd**2) / independent))
    counted = excess[inside][np.isfinite(excess[inside])]
    if taken_back[inside].any() and counted.max(initial=0.0) < THRESHOLD:
        return float("nan"), float("nan")
    return float(counted.max(initial=0.0)), float(np.hypot(noise, _common_sd(flown, inside)))


def _common_sd(flown: Flown, inside: Bools) -> float:
    """Return the sd that the samples of a third share: of the bank, and of which radius was meant [rad]."""
    radial = flown.profile.radial[flown.profile.lap > 0]
    meant = 0.5 * float(np.sqrt(np.mean(radial**2))) / flown.maneuver.radius
    needed = float(np.nanmean(flown.bank_needed[inside]))
    return float(np.hypot(flown.bank_bias, np.sin(needed) * np.cos(needed) * meant))


def _moved(flown: Flown, middle: float, sign: float, shown: Bools) -> float | None:
    """Return how far the distance went in (for too much bank) or out, mean of the times round [m].

    It is followed from the beginning of the third to a sixth past its end, where bank shows in the distance
    at last. None when it did not move that way by more than the eye can tell.
    """
    after = flown.steady & places.within(flown.arc_position, middle + 0.5 * places.third, 1.5 * places.third)
    moved = [
        float(np.max(sign * (flown.profile.distance[run[0]] - flown.profile.distance[run])))
        for run in runs(after)
        if shown[run].any()
    ]
    mean = float(np.mean(moved)) if moved else 0.0
    return mean if mean > visible else None


def runs(inside: Bools) -> list[Integers]:
    """Return the stretches of consecutive samples."""
    index = np.flatnonzero(inside)
    return np.split(index, np.flatnonzero(np.diff(index) > 1) + 1) if index.size else []


def finding(
    flown: Flown, arc: Arc, fault: str, position: float, words: tuple[str, str], cure: str
) -> Finding:
    """Return the finding of a bank that was wrong over a third of the circle.

    Parameters
    ----------
    flown
        What was flown.
    arc
        What the third shows.
    fault
        Name of the fault.
    position
        Middle of the third, from downwind [rad]
    words
        How the bank was, and what that did to the circle: `steeper`, `closed`.
    cure
        One plain sentence.
    """
    was, did = words
    return Finding(
        fault=fault,
        laps=arc.laps,
        size=arc.size / degree,
        size_sd=arc.sd / degree,
        size_unit="deg",
        start=float(flown.time[arc.samples][0]),
        end=float(flown.time[arc.samples][-1]),
        position=places.name(position),
        consequence_ft=arc.moved / foot if arc.moved is not None else None,
        consequence_sd_ft=arc.moved_sd / foot if arc.moved_sd is not None else None,
        consequence_at_least=arc.moved is not None and point_gives(flown),
        strength=arc.size / THRESHOLD,
        says=f"{laps_said(arc.laps, flown.words.lap)}, {places.name(position)}: bank {degrees(arc.size)} "
        f"(± {degrees(arc.sd)}) {was} than the {degrees(arc.needed)} needed there{effect(flown, arc, did)}.",
        cure=cure,
    )
