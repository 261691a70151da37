"""Bank flown less bank needed over a third of the circle, shared by the faults that live in one.

A pilot who banks too much sees the circle close and takes bank off again, often within the same third, so
its mean says little. The size is the largest error held for some seconds: the greatest running mean of the
excess whose middle lies within the inner three quarters of the third. An excess that only takes back one
of like size the other way, just before, is not counted.

What was needed hangs on which circle was meant. Its radius is taken as the mean distance flown, which itself
is off by about half of how much the distance varied; that goes into the standard deviation (`meant_sd`).
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
from groundref.errors import NoSolutionError
from groundref.mechanics.circle_fit import fit_circle
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
_OTHER_WAY: Final = {"steeper": "shallow", "shallower": "steep"}  # what an error takes back
# Where the turn changes sides the inner part is spent rolling: there the whole third counts.
inner_of_half: Final = 1.0


@dataclass(frozen=True, slots=True)
class Arc:
    """What a third of the circle shows.

    Attributes
    ----------
    laps
        Laps that show the fault.
    left_out
        Laps of which it cannot be told, as an error of like size the other way came just before.
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
    left_out: tuple[int, ...]
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
    thirds = {lap: inside & (flown.profile.lap == lap) for lap in flown.all_laps}
    thirds = {lap: third for lap, third in thirds.items() if _enough(flown, third)}
    # The largest only took back another error: what would have been done without it cannot be told.
    left_out = tuple(
        lap
        for lap, third in thirds.items()
        if taken_back[third].any() and _largest(excess, third) < THRESHOLD
    )
    meant = meant_sd(flown)
    sizes = [
        (lap, _largest(excess, third), _sd(flown, third, meant))
        for lap, third in thirds.items()
        if lap not in left_out
    ]
    laps, size, sd = laps_that_show(sizes, threshold)
    if not laps:
        return None
    shown = inside & np.isin(flown.profile.lap, laps)
    needed = flown.bank_needed_at(middle, laps)
    if not np.isfinite(needed):
        needed = float(np.nanmean(flown.bank_needed[shown]))
    moved = _moved(flown, middle, sign, shown)
    return Arc(laps, left_out, size, sd, shown, needed, moved, None if moved is None else change_sd(flown))


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


def _enough(flown: Flown, inside: Bools) -> bool:
    """Return whether enough was flown of a third of a lap."""
    turned = np.abs(flown.states.track_rate[flown.samples][inside]).sum() * flown.interval
    # A half circle has no more than half of a third: the other half lies in the half circle beside it.
    # So is it where the loops of an eight leave out what lies about downwind.
    offered = 0.5 if flown.maneuver.kind in {"s-turns", "eights-around-pylons"} else 1.0
    return bool(turned >= enough_of_arc * offered * 2.0 * places.third)


def _largest(excess: Floats, inside: Bools) -> float:
    """Return the largest excess that counts in a third of a lap [rad]."""
    counted = excess[inside]
    return float(counted[np.isfinite(counted)].max(initial=0.0))


def _sd(flown: Flown, inside: Bools, meant: float) -> float:
    """Return the sd of the largest excess in a third [rad].

    It holds noise, the bank's own error and which radius was meant. With tan φ = G² / (g R cos δ), an error
    of the radius by a share of it changes φ by sin φ cos φ times that share.
    """
    sd = np.hypot(flown.states.bank_sd[flown.samples], flown.profile.bank_required_sd)[inside]
    independent = max(1.0, _width(flown) / alike(flown.interval))
    noise = float(np.sqrt(np.nanmean(sd**2) / independent))
    needed = float(np.nanmean(flown.bank_needed[inside]))
    return float(np.sqrt(noise**2 + flown.bank_bias**2 + (np.sin(needed) * np.cos(needed) * meant) ** 2))


def meant_sd(flown: Flown) -> float:
    """Return the sd of the radius that was meant, as a share of it.

    The radius is the mean of the distances dᵢ = R + eᵢ over the circle. Errors of flying last for about a
    quarter of it and come back at the same place of every lap, so that only four of them count as
    independent: the mean is off by half of the rms of eᵢ.

    A circle flown about a place that lies off the point by s adds s·uᵢ to the distance, with uᵢ the direction
    from the point. Its mean over the circle is nothing, so it tells nothing of the radius, however large it
    is about a given point; a fitted point has taken it up, and what that leaves open is in the sd of its
    place and mean distance. Counted are therefore the deviations about the middle that was flown, the same
    whether the point was given or not. Half circles of S-turns and loops along a line are laid over one
    another, as the line is what moves; pylons have a middle each. The mean over all of them is the radius, so
    loops of unequal size do count.
    """
    flying = flown.profile.lap > 0
    middles = [_about_middle(flown, flying & part) for part in _by_place(flown)]
    distance = np.concatenate(middles)
    return 0.5 * float(distance.std()) / float(distance.mean())


def _by_place(flown: Flown) -> list[Bools]:
    """Return the samples that belong to each place that could lie elsewhere on its own."""
    if flown.maneuver.reference.type == "line":
        return [flown.profile.lap > 0]
    abouts = [(lap.about_east, lap.about_north) for lap in flown.maneuver.laps]
    numbers = np.array([0, *(abouts.index(about) + 1 for about in abouts)])
    own = numbers[flown.profile.lap]
    return [own == number for number in np.unique(own) if number > 0]


def _about_middle(flown: Flown, part: Bools) -> Floats:
    """Return the distance of some samples from the middle of the circle through them [m].

    The distance from the place itself where they lie on no circle.
    """
    distance, azimuth = flown.profile.distance[part], flown.profile.azimuth[part]
    east, north = distance * np.sin(azimuth), distance * np.cos(azimuth)
    try:
        circle = fit_circle(east, north)
    except NoSolutionError:
        return distance
    return np.hypot(east - circle.x, north - circle.y)


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
        f"(± {degrees(arc.sd)}) {was} than the {degrees(arc.needed)} needed there{effect(flown, arc, did)}."
        f"{_left_out(flown, arc, was)}",
        cure=cure,
    )


def _left_out(flown: Flown, arc: Arc, was: str) -> str:
    """Say which laps do not count and why, as a further sentence; empty when all do."""
    if not arc.left_out:
        return ""
    one = len(arc.left_out) == 1
    return (
        f" {laps_said(arc.left_out, flown.words.lap)} {'is' if one else 'are'} left out: there the {was} "
        f"bank may only have taken back one too {_OTHER_WAY[was]} just before."
    )
