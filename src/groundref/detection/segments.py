"""The first cut: stretches of a flight in which the airplane kept turning one way.

The unwrapped track is cut at its turning points: a stretch ends where the track has gone back by more than
`REVERSAL`, so chop and corrections do not end it. Within a stretch, straight legs (holding patterns, traffic
patterns, the way to the practice area) are cut off: a place is straight where the track turns at less than
`STRAIGHT_SHARE` of what is usual in the stretch. On a circle the rate of turn varies by (V + W)/(V − W) only,
with constant distance or with constant bank, which is 3 for a wind of half the airspeed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import full_turn
from groundref.estimation.states import States
from groundref.units import degree

Floats = NDArray[np.float64]

REVERSAL: Final = 25 * degree
STRAIGHT_SHARE: Final = 0.22  # of the usual rate of turn
STRAIGHT_TIME: Final = 7.0  # [s] and for so long
STRAIGHT_LAP: Final = 0.18  # and for so much of the time that a full turn takes at the usual rate
RATE_SPAN: Final = 8.0  # [s] over which the rate of turn is taken
# Share of its time in which a half circle or a loop may be flown straight on in its middle: in wind little
# bank is needed where the nose is upwind, and who banked too much before has to wait there.
PAUSE: Final = 0.35
LEAST_BEND: Final = 15 * degree  # less than that is a correction of the heading
# Share of the time of what is seen as one turn from turning point to turning point: a leg as long as the half
# circle is wide, 2 of 2 + π, makes a U of it.
ALL_PAUSES: Final = 0.4


@dataclass(frozen=True, slots=True)
class Turning:
    """A stretch of turning one way.

    Attributes
    ----------
    first, last
        Sample indices, ``last`` inclusive.
    turn
        Change of track, right positive [rad]
    """

    first: int
    last: int
    turn: float

    @property
    def direction(self) -> int:
        """1 to the right, −1 to the left."""
        return 1 if self.turn > 0 else -1


def turning_stretches(states: States, least: float) -> list[Turning]:
    """Find stretches of turning one way by at least ``least`` in all [rad], straight legs cut off."""
    rate = _rate_of_turn(states.time, states.track)
    found: list[Turning] = []
    for first, last in between_turning_points(states, least):
        found += _without_straights(states, rate, first, last, least)
    return found


def between_turning_points(states: States, least: float) -> list[tuple[int, int]]:
    """Return the stretches from turning point to turning point of the track, straight legs and all.

    Parameters
    ----------
    states, least
        The flight, and how far the track turns at least [rad]
    """
    bounds = np.flatnonzero(np.diff(states.piece) != 0) + 1
    pieces = [piece for piece in np.split(np.arange(len(states)), bounds) if piece.size >= 5]
    return [pair for piece in pieces for pair in one_way(states.track, int(piece[0]), int(piece[-1]), least)]


def bends_as_one(states: States, stretches: Sequence[tuple[int, int]]) -> list[Turning | None]:
    """See each stretch as one turn from its first bend to its last; None where it is mostly straight.

    A bend may be far less than what stands as a turn by itself: of a half circle that was turned too early
    the rest is flown slowly, piece by piece.

    Parameters
    ----------
    states, stretches
        The flight, and samples from turning point to turning point of its track.
    """
    rate = np.zeros(len(states))
    for first, last in stretches:  # what was turned the other way before and after is none of its bends
        part = slice(first, last + 1)
        rate[part] = _rate_of_turn(states.time[part], states.track[part])
    return [_as_one(states, _without_straights(states, rate, *each, LEAST_BEND)) for each in stretches]


def _as_one(states: States, bends: Sequence[Turning]) -> Turning | None:
    if not bends:
        return None
    first, last = bends[0].first, bends[-1].last
    pauses = sum(float(states.time[b.first] - states.time[a.last]) for a, b in pairwise(bends))
    if pauses > ALL_PAUSES * float(states.time[last] - states.time[first]):
        return None
    return Turning(first, last, float(states.track[last] - states.track[first]))


def across_pauses(states: States, turnings: Sequence[Turning], within: tuple[float, float]) -> list[Turning]:
    """Return the turnings, two or more one way as one where there is but a pause between them.

    Parameters
    ----------
    states, turnings
        The flight and its stretches of turning one way, in the order flown.
    within
        How far what is joined turns, at least and at most [rad]
    """
    whole: list[Turning] = []
    for turning in turnings:
        joined = _joined(states, whole[-1], turning, within) if whole else None
        if joined is None:
            whole.append(turning)
        else:
            whole[-1] = joined
    return whole


def _joined(states: States, one: Turning, other: Turning, within: tuple[float, float]) -> Turning | None:
    """Return two turnings as one; None when each stands by itself."""
    both = Turning(one.first, other.last, float(states.track[other.last] - states.track[one.first]))
    apart = one.direction != other.direction or states.piece[one.first] != states.piece[other.last]
    if apart or not within[0] <= abs(both.turn) <= within[1]:
        return None
    pause = states.time[other.first] - states.time[one.last]
    return both if pause <= PAUSE * (states.time[both.last] - states.time[both.first]) else None


def _rate_of_turn(time: Floats, track: Floats) -> Floats:
    """Return the rate of turn over a few seconds about each sample [rad s⁻¹]."""
    half = 0.5 * RATE_SPAN
    ahead = np.minimum(time + half, time[-1])
    behind = np.maximum(time - half, time[0])
    span = np.maximum(ahead - behind, 1e-6)
    return np.asarray(
        (np.interp(ahead, time, track) - np.interp(behind, time, track)) / span, dtype=np.float64
    )


def one_way(
    track: Floats, first: int, last: int, least: float, reversal: float = REVERSAL
) -> list[tuple[int, int]]:
    """Return stretches between turning points of the track that turn by at least ``least``.

    Parameters
    ----------
    track
        Of the whole flight, unwrapped [rad]
    first, last
        Samples of one gapless piece, ``last`` inclusive.
    least
        Change of track [rad]
    reversal
        How far the track goes back to end a stretch [rad]
    """
    part = track[first : last + 1]
    slope = np.sign(np.diff(part))
    extreme = np.concatenate([[0], np.flatnonzero(slope[1:] * slope[:-1] <= 0) + 1, [part.size - 1]])
    turning_points, trend, high, low = [0], 0, 0, 0
    for i in extreme.tolist():
        value = part[i]
        high = i if value > part[high] else high
        low = i if value < part[low] else low
        if trend >= 0 and part[high] - value > reversal:
            turning_points.append(high)
            trend, low = -1, i
        elif trend <= 0 and value - part[low] > reversal:
            turning_points.append(low)
            trend, high = 1, i
    turning_points += [high if trend > 0 else low, part.size - 1]
    return [(first + a, first + b) for a, b in pairwise(turning_points) if abs(part[b] - part[a]) >= least]


def _without_straights(states: States, rate: Floats, first: int, last: int, least: float) -> list[Turning]:
    """Cut straight legs out of a stretch, again and again while what is left changes what is usual."""
    part = slice(first, last + 1)
    turn = float(states.track[last] - states.track[first])
    if abs(turn) < least:
        return []
    along = np.sign(turn) * rate[part]
    weight = np.gradient(states.time[part])
    usual = _weighted_quantile(along, weight * np.maximum(along, 0.0), 0.5)
    bent = along > STRAIGHT_SHARE * usual
    longest = max(STRAIGHT_TIME, STRAIGHT_LAP * full_turn / max(usual, 1e-6))
    edges = np.flatnonzero(np.diff(bent)) + 1
    runs = np.split(np.arange(first, last + 1), edges)
    keep: list[list[int]] = []
    for run in runs:
        straight = not bent[run[0] - first]
        lasts = states.time[min(run[-1] + 1, last)] - states.time[run[0]]
        if straight and (lasts > longest or run[0] == first or run[-1] == last):
            keep.append([])
        elif keep and keep[-1]:
            keep[-1][1] = int(run[-1])
        elif keep:
            keep[-1] = [int(run[0]), int(run[-1])]
        else:
            keep.append([int(run[0]), int(run[-1])])
    parts = [(a, b) for a, b in (pair for pair in keep if pair)]
    if parts == [(first, last)]:
        return [Turning(first, last, turn)]
    return [t for a, b in parts for t in _without_straights(states, rate, a, b, least)]


def _weighted_quantile(values: Floats, weights: Floats, share: float) -> float:
    order = np.argsort(values)
    total = np.cumsum(weights[order])
    return float(values[order][np.searchsorted(total, share * total[-1])])
