"""Straight legs with turns of about 90° one way between them: rectangular courses and traffic patterns.

In a stretch of turning one way let T(ψ) be the time at which the track reaches ψ. On a straight leg the track
stands still and T jumps; so the time spent within a window of track, T(ψ + a) − T(ψ − a), has a peak at each
leg and valleys in the corners, whatever the wind, the rate of turn and the interval of the samples. T needs a
track that never goes back: half the sum of the largest value so far and the least value to come is such a
track, and its value on a leg flown to and fro is the middle of it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.detection.segments import one_way
from groundref.estimation.states import States
from groundref.units import degree

Floats = NDArray[np.float64]

WINDOW: Final = 8 * degree  # either side
CORNERS: Final = (55 * degree, 130 * degree)  # turns between legs
CONTRAST: Final = 1.5  # time in the window on a leg over the least beside it
LEVEL: Final = 12 * degree  # either side of a leg's track, what counts for its middle
ROLLED: Final = 4 * degree  # the track turns so far until a roll is half done
REVERSAL: Final = 38 * degree  # a leg flown to and fro goes back less, an entry at 45° more
JOINING: Final = 120.0  # [s] before a stretch of turning one way, in which a turn the other way led to it
LEAST: Final = 240 * degree  # of turn in a stretch worth looking at


@dataclass(frozen=True, slots=True)
class Straight:
    """One straight leg.

    Attributes
    ----------
    first, last
        Its samples, ``last`` inclusive.
    start, end
        From the end of the turn before to the beginning of the next [s]
    track
        Its middle track, unwrapped as in the states [rad]
    """

    first: int
    last: int
    start: float
    end: float
    track: float


@dataclass(frozen=True, slots=True)
class Chain:
    """Straight legs one after the other with turns one way between them.

    Attributes
    ----------
    side
        Of the turns, +1 right, −1 left.
    legs
        In the order flown.
    """

    side: int
    legs: tuple[Straight, ...]


def chains(states: States, least: float = LEAST) -> list[Chain]:
    """Find chains of three legs and more.

    Parameters
    ----------
    states
        The flight.
    least
        Change of track in a stretch worth looking at [rad]
    """
    found: list[Chain] = []
    cuts = np.flatnonzero(np.diff(states.piece) != 0) + 1
    for piece in np.split(np.arange(len(states)), cuts):
        if piece.size >= 8:
            for first, last in one_way(states.track, int(piece[0]), int(piece[-1]), least, REVERSAL):
                found += _chains_in(states, first, last)
    return found


def _chains_in(states: States, first: int, last: int) -> list[Chain]:
    stretch = stretch_between(states, first, last)
    grid = stretch.grid(1.5 * WINDOW)  # to where the time spent is zero
    return [
        chain_through(states, stretch, [stretch.level(float(grid[peak])) for peak in run])
        for run in _runs(_peaks(stretch.spent(grid)))
    ]


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of turning one way, its track as if every turn were to the right.

    Attributes
    ----------
    side
        Of its turns, +1 right, −1 left.
    time, track
        Of its samples [s], [rad]
    so_far, to_come
        Largest track so far and least to come, strictly growing [rad]
    """

    side: int
    time: Floats
    track: Floats
    so_far: Floats
    to_come: Floats

    @property
    def onward(self) -> Floats:
        """A track that never goes back; on a leg flown to and fro it is the middle of it [rad]."""
        return 0.5 * (self.so_far + self.to_come)

    def grid(self, beyond: float) -> Floats:
        """Return tracks degree by degree, to so far beyond both ends [rad]."""
        onward = self.onward
        return np.arange(onward[0] - beyond, onward[-1] + beyond, degree)

    def spent(self, grid: Floats) -> Floats:
        """Return the time spent within a window about each track [s]."""
        onward = self.onward
        return np.asarray(
            np.interp(grid + WINDOW, onward, self.time) - np.interp(grid - WINDOW, onward, self.time)
        )

    def level(self, near: float, within: float = LEVEL) -> float:
        """Return the middle of the track on a leg of about that track [rad]."""
        inside = np.abs(self.onward - near) <= within
        return float(np.median(self.track[inside])) if inside.any() else near


def stretch_between(states: States, first: int, last: int) -> Stretch:
    """Return a stretch of turning one way, with all of the legs at both ends.

    Parameters
    ----------
    states
        The flight.
    first, last
        Samples of the stretch as cut at the extremes of the track, ``last`` inclusive.
    """
    side = 1 if states.track[last] > states.track[first] else -1
    first, last = _with_ends(states, first, last)
    track = side * states.track[first : last + 1]
    rise = 1e-9 * np.arange(track.size)  # strictly growing, so that it can be inverted
    so_far = np.maximum.accumulate(track) + rise
    to_come = np.minimum.accumulate(track[::-1])[::-1] + rise
    return Stretch(side, states.time[first : last + 1], track, so_far, to_come)


def chain_through(states: States, stretch: Stretch, tracks: Sequence[float]) -> Chain:
    """Return the legs of a stretch on given tracks.

    A leg begins where the track first comes near its own, and ends where it is near it for the last time.

    Parameters
    ----------
    states, stretch
        The flight, and the stretch of it.
    tracks
        Of each leg, growing, as in the stretch [rad]
    """
    levels = np.asarray(tracks, dtype=np.float64)
    middles = 0.5 * (levels[1:] + levels[:-1])
    low = np.maximum(levels - ROLLED, [stretch.so_far[0], *middles])
    high = np.minimum(levels + ROLLED, [*middles, stretch.to_come[-1]])
    starts = np.interp(low, stretch.so_far, stretch.time)
    ends = np.interp(high, stretch.to_come, stretch.time)
    if levels[0] - stretch.so_far[0] < LEVEL + 2.0 * ROLLED:
        starts[0] = _joined(states, float(starts[0]), stretch.side, float(levels[0]))
    return Chain(stretch.side, tuple(map(_leg(states, stretch.side), starts, ends, levels)))


def _with_ends(states: States, first: int, last: int) -> tuple[int, int]:
    """Take in all of the legs before and after; a stretch is cut at the extremes of the track on them."""
    inside = states.piece == states.piece[first]
    near_first = inside & (np.abs(states.track - states.track[first]) <= LEVEL)
    near_last = inside & (np.abs(states.track - states.track[last]) <= LEVEL)
    before = np.flatnonzero(~near_first[:first])
    after = np.flatnonzero(~near_last[last:])
    start = int(before[-1]) + 1 if before.size else 0
    return start, last + int(after[0]) - 1 if after.size else len(states) - 1


def _joined(states: States, start: float, side: int, level: float) -> float:
    """Return when a turn the other way onto the first leg was rolled out of, ``start`` without one [s]."""
    now = int(np.searchsorted(states.time, start))
    before = np.flatnonzero(
        (states.time > start - JOINING) & (states.time <= start) & (states.piece == states.piece[now])
    )
    off = side * states.track[before] - level
    turning = np.flatnonzero(off > 2.0 * ROLLED + LEVEL)
    if not turning.size:
        return start
    after = before[turning[-1] :]
    fallen = np.maximum.accumulate(-off[turning[-1] :])  # grows to where it first comes near the leg
    return float(np.interp(-ROLLED, fallen + 1e-9 * np.arange(fallen.size), states.time[after]))


def _peaks(spent: Floats) -> list[int]:
    """Return the middles of peaks of the time spent that stand out from the corners on both sides."""
    change = np.flatnonzero(np.diff(spent)) + 1
    begins, ends = np.concatenate([[0], change]), np.concatenate([change, [spent.size]])
    height = spent[begins]
    padded = np.concatenate([[-np.inf], height, [-np.inf]])
    tops = np.flatnonzero((height > padded[:-2]) & (height > padded[2:]))
    return [int(begins[k] + ends[k] - 1) // 2 for k in tops.tolist() if _stands_out(height, k)]


def _stands_out(height: Floats, top: int) -> bool:
    """Tell whether between a peak and any higher one to either side the time falls far enough."""
    for side in (height[top + 1 :], height[:top][::-1]):
        higher = np.flatnonzero(side > height[top])
        valley = side[: higher[0]] if higher.size else side
        if valley.size and height[top] <= CONTRAST * valley.min():
            return False
    return True


def _runs(peaks: list[int]) -> list[list[int]]:
    """Return runs of three peaks and more about 90° apart."""
    runs: list[list[int]] = [[]]
    for peak in peaks:
        if runs[-1] and not CORNERS[0] <= (peak - runs[-1][-1]) * degree <= CORNERS[1]:
            runs.append([])
        runs[-1].append(peak)
    return [run for run in runs if len(run) >= 3]


def _leg(states: States, side: int) -> Callable[[float, float, float], Straight]:
    """Return what makes a leg from its times and its level."""

    def leg(start: float, end: float, level: float) -> Straight:
        first = int(np.searchsorted(states.time, start))
        last = max(int(np.searchsorted(states.time, end, side="right")) - 1, first)
        return Straight(first, last, float(start), float(end), side * float(level))

    return leg
