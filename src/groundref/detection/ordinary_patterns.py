"""Flying that is no maneuver but has a pattern of its own: named, so that it competes with what it is like.

* **lazy eights**: half circles one way and the other, like S-turns, but up by hundreds of feet to the middle
  of each and down again, with the airspeed falling and growing as it goes;
* **an expanding square**: quarter turns one way, like a rectangular course, but with legs that grow.

What wins here is not reported.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.detection.candidate import Candidate, Cut, Ground
from groundref.detection.segments import Turning
from groundref.estimation.states import States
from groundref.units import degree, foot, knot

Floats = NDArray[np.float64]

LAZY_EIGHTS: Final = "lazy eights"
EXPANDING_SQUARE: Final = "expanding square"

HALF_TURN: Final = (130 * degree, 230 * degree)
DIRECTLY: Final = 12.0  # [s] from one half circle to the next
RISE: Final = 170 * foot  # within a half circle, above both of its ends
SLOWER: Final = 8 * knot  # through the air there than at the faster end
SLOWER_BETWEEN: Final = 6 * knot  # over the ground than at the slower end, where airspeed cannot be told
EACH_HALF: Final = 5.0  # log-odds for each such half circle

QUARTER: Final = (65 * degree, 120 * degree)
LONGEST_LEG: Final = 600.0  # [s] between two quarter turns that belong together
GROWS: Final = 1.15  # ratio of a leg to the one four before it, in the same direction
GROWS_MOST: Final = 5.0  # more is the way home after a rectangle: 1, 1, 2, 2, 3 units grow to three times
LEAST_LEGS: Final = 6
EACH_LEG: Final = 4.0  # log-odds for each leg that has grown so


def propose(states: States, cut: Cut, ground: Ground) -> list[Candidate]:
    """Propose patterns that are no maneuver.

    Parameters
    ----------
    states, cut
        The flight and its first cut.
    ground
        What is known about places on the ground; nothing of it belongs to them.
    """
    return [*_lazy_eights(states, cut), *_expanding_squares(states, cut)]


def _lazy_eights(states: States, cut: Cut) -> list[Candidate]:
    """Return runs of half circles, each up to its middle and down again."""
    if states.altitude is None:
        return []
    halves = [
        turning
        for turning in cut.turnings
        if HALF_TURN[0] <= abs(turning.turn) <= HALF_TURN[1] and _rises(states, turning)
    ]
    runs = _runs(
        halves,
        lambda one, two: one.direction != two.direction and _gap(states, one, two) <= DIRECTLY,
    )
    return [_candidate(states, LAZY_EIGHTS, run, EACH_HALF * len(run)) for run in runs if len(run) > 1]


def _rises(states: States, turning: Turning) -> bool:
    """Tell whether a half circle went up inside it and down again, and slower there than at its ends."""
    part = slice(turning.first, turning.last + 1)
    if states.altitude is None:
        return False
    up, speed = states.altitude[part], states.true_airspeed[part]
    rise = float(up.max() - max(up[0], up[-1]))
    if np.isfinite(speed).all():
        return rise >= RISE and float(max(speed[0], speed[-1]) - speed.min()) >= SLOWER
    # Over the ground the wind makes one end slow and the other fast, but nothing between slower than both.
    speed = states.ground_speed[part]
    return rise >= RISE and float(min(speed[0], speed[-1]) - speed.min()) >= SLOWER_BETWEEN


def _expanding_squares(states: States, cut: Cut) -> list[Candidate]:
    """Return runs of quarter turns one way whose legs grow."""
    quarters = [each for each in cut.turnings if QUARTER[0] <= abs(each.turn) <= QUARTER[1]]
    runs = _runs(
        quarters,
        lambda one, two: one.direction == two.direction and _gap(states, one, two) <= LONGEST_LEG,
    )
    found = []
    for run in runs:
        legs = np.array([_length(states, one, two) for one, two in pairwise(run)])
        if legs.size < LEAST_LEGS - 1:
            continue
        ratio = legs[4:] / legs[:-4]
        if ratio.size and (ratio >= GROWS).all() and (ratio <= GROWS_MOST).all():
            found.append(_candidate(states, EXPANDING_SQUARE, run, EACH_LEG * (legs.size - 2)))
    return found


def _runs(turnings: list[Turning], belong: Callable[[Turning, Turning], bool]) -> list[list[Turning]]:
    """Split turnings into runs in which each belongs to the one before."""
    runs: list[list[Turning]] = []
    for turning in turnings:
        if runs and belong(runs[-1][-1], turning):
            runs[-1].append(turning)
        else:
            runs.append([turning])
    return runs


def _gap(states: States, one: Turning, two: Turning) -> float:
    """Return the time from one turning to the next; infinite across a gap of the recording [s]."""
    if states.piece[one.last] != states.piece[two.first]:
        return float("inf")
    return float(states.time[two.first] - states.time[one.last])


def _length(states: States, one: Turning, two: Turning) -> float:
    """Return how far it is from the end of one turning to the beginning of the next [m]."""
    east = states.east[two.first] - states.east[one.last]
    return float(np.hypot(east, states.north[two.first] - states.north[one.last]))


def _candidate(states: States, what: str, run: list[Turning], log_odds: float) -> Candidate:
    """Return the run with the legs before its first and after its last turning left to others."""
    return Candidate(
        kind=what,
        start=float(states.time[run[0].first]),
        end=float(states.time[run[-1].last]),
        log_odds=log_odds,
    )
