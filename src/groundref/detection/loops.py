"""Loops one way and then the other about two places: what elementary eights are made of.

A loop is a turning of more than a half circle; the next one turns the other way after a way of a few radii,
alike in radius, about a place beside it; the one after that is about the first place again. Small turns on
the way from one to the next, by which a pilot gets back to where it begins, do not end the row.

Who holds the bank in wind is carried along: then nothing of it is alike over the ground, but all of it in the
air that moves with the wind. So rows are looked for in both.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import half_turn
from groundref.detection.curvature import flown
from groundref.detection.loop import BY_HOW_MUCH, TURN_RANGE, Loop, aloft, measured, seen_from_the_ground
from groundref.detection.segments import Turning, across_pauses
from groundref.estimation.states import States
from groundref.units import degree

Floats = NDArray[np.float64]
Place = tuple[float, float]
SeenFrom = tuple[States, States]  # the flight over the ground, and `aloft`

# What cannot be two loops of one eight.
ALIKE: Final = 2.2  # ratio of their radii
# Over the radius, flown over the ground from one to the next: pylons four radii apart need 3.5. Who was
# carried along in a loop gets back by as much before the next.
LONGEST_WAY: Final = 4.0
# Loops that turn all the way round need none, but the first may be entered from anywhere and the last left to
# anywhere: loops three radii apart need 2.2.
LONGEST_WAY_ROUND: Final = 2.6
ALL_ROUND: Final = 325 * degree  # loops that turn so far are full circles, wherever their centers are
ONE_LOOP: Final = 400 * degree  # at most, of what is joined over a pause
ON_THE_WAY: Final = 120 * degree  # turns up to that size are corrections between two loops
APART: Final = (0.6, 8.0)  # distance between their centers, over the radius
SAME_PLACE: Final = 2.5  # distance between centers of every other loop, over the radius
CARRIED: Final = 0.3  # of the radius, moved by the air in a loop: less is the same in air and over the ground


@dataclass(frozen=True, slots=True)
class Row:
    """Loops in a row about two places.

    Attributes
    ----------
    loops
        In the order flown, over the ground.
    in_air
        The same loops in the frame of `aloft`, where they are taken as carried along with the air; empty
        where they are taken as flown over the ground.
    """

    loops: tuple[Loop, ...]
    in_air: tuple[Loop, ...] = ()

    @property
    def shown(self) -> tuple[Loop, ...]:
        """The loops where they are to be alike: over the ground, or in the air that carries them."""
        return self.in_air or self.loops

    @property
    def start(self) -> float:
        """When the first turn began [s]."""
        return self.loops[0].start

    @property
    def end(self) -> float:
        """When the last turn ended [s]."""
        return self.loops[-1].end

    @property
    def radii(self) -> Floats:
        """Radius of each loop [m]."""
        return np.array([loop.radius for loop in self.shown])

    @property
    def radius(self) -> float:
        """Mean radius [m]."""
        return float(self.radii.mean())

    @property
    def centers(self) -> tuple[Place, Place]:
        """Places turned about over the ground, the first one first [m]."""
        return _places(self.loops)

    @property
    def axis(self) -> float:
        """Direction from the first place to the second [rad]."""
        (e1, n1), (e2, n2) = _places(self.shown)
        return float(np.arctan2(e2 - e1, n2 - n1))

    @property
    def spread(self) -> float:
        """Distance between the places over twice the radius."""
        return _distance(*_places(self.shown)) / (2.0 * self.radius)

    @property
    def turn(self) -> float:
        """Usual turn of a loop, its size [rad].

        The first may be entered from anywhere and the last left to anywhere, so of two loops alone that one
        counts that goes with the distance between their centers.
        """
        turns = [loop.turn for loop in self.shown]
        if len(turns) == 2:
            return min(turns, key=lambda turn: abs(turn - expected_turn(self.spread)))
        return float(np.median(turns))

    @property
    def between(self) -> tuple[tuple[float, float], ...]:
        """From when to when the way between each two loops was flown [s]."""
        return tuple((one.end, other.start) for one, other in pairwise(self.loops))

    def part(self, first: int, last: int) -> Row:
        """Return a row of some of the loops, from the number ``first`` to before ``last``."""
        return Row(self.loops[first:last], self.in_air[first:last])


def _places(loops: Sequence[Loop]) -> tuple[Place, Place]:
    """Return the mean centers of every other loop [m]."""
    places = np.array([loop.center for loop in loops])
    one, other = places[0::2].mean(axis=0), places[1::2].mean(axis=0)
    return (float(one[0]), float(one[1])), (float(other[0]), float(other[1]))


def rows(states: States, turnings: Sequence[Turning]) -> list[Row]:
    """Return the longest rows of loops over the ground, no loop in two of them but where readings compete.

    Parameters
    ----------
    states
        The flight.
    turnings
        Its stretches of turning one way.
    """
    return [Row(loops) for loops in _readings(states, turnings, (states, aloft(states)))]


def carried_rows(states: States, turnings: Sequence[Turning]) -> list[Row]:
    """Return the longest rows of loops in the air mass, where it moves enough to make a difference.

    Parameters
    ----------
    states
        The flight.
    turnings
        Its stretches of turning one way.
    """
    air = aloft(states)
    return [
        Row(tuple(seen_from_the_ground(states, loop) for loop in loops), loops)
        for loops in _readings(air, turnings, (states, air))
        if max(_moved((states, air), loop.turning) / loop.radius for loop in loops) > CARRIED
    ]


def _readings(states: States, turnings: Sequence[Turning], seen_from: SeenFrom) -> list[tuple[Loop, ...]]:
    """Return rows of loops, each turning one loop, or those one way with but a pause between taken together.

    Who banked too much in wind waits for the ground to come by; but a turn onto the way in is no part of it.
    """
    found = _in_rows(states, turnings, seen_from)
    joined = across_pauses(states, turnings, (TURN_RANGE[0], ONE_LOOP))
    if len(joined) < len(turnings):
        found += [row for row in _in_rows(states, joined, seen_from) if row not in found]
    return found


def _moved(seen_from: SeenFrom, turning: Turning) -> float:
    """Return how far the air moved in a loop [m]."""
    ground, air = seen_from
    at = [turning.first, turning.last]
    by = np.diff(ground.east[at] - air.east[at]), np.diff(ground.north[at] - air.north[at])
    return float(np.hypot(*by)[0])


def _in_rows(states: States, turnings: Sequence[Turning], seen_from: SeenFrom) -> list[tuple[Loop, ...]]:
    found: list[tuple[Loop, ...]] = []
    for stretch in _alternating(turnings, seen_from):
        loops = measured(states, stretch)
        run: list[Loop] = []
        for loop in (*loops, None):
            if loop is not None and _belongs(run, loop, seen_from):
                run.append(loop)
                continue
            if len(run) > 1:
                found.append(tuple(run))
            if loop is None:
                run = []
            elif run and _belongs(run[-1:], loop, seen_from):
                run = [run[-1], loop]
            else:
                run = [loop]
    return _apart(found)


def _apart(found: Iterable[tuple[Loop, ...]]) -> list[tuple[Loop, ...]]:
    """Leave a loop that ends one row and begins the next to the longer of the two."""
    kept: list[tuple[Loop, ...]] = []
    for row in found:
        if kept and kept[-1][-1] is row[0]:
            if len(kept[-1]) >= len(row):
                if len(row) > 2:
                    kept.append(row[1:])
                continue
            shorter = kept.pop()
            if len(shorter) > 2:
                kept.append(shorter[:-1])
        kept.append(row)
    return kept


def _alternating(turnings: Sequence[Turning], seen_from: SeenFrom) -> list[list[Turning]]:
    """Return runs of turnings that could be loops, each the other way and soon after the one before."""
    runs: list[list[Turning]] = [[]]
    for turning in turnings:
        if abs(turning.turn) < ON_THE_WAY:
            continue
        if not TURN_RANGE[0] - BY_HOW_MUCH <= abs(turning.turn) <= TURN_RANGE[2] + BY_HOW_MUCH:
            runs.append([])
            continue
        if runs[-1] and not _follows(seen_from, runs[-1][-1], turning):
            runs.append([])
        runs[-1].append(turning)
    return [run for run in runs if len(run) > 1]


def _follows(seen_from: SeenFrom, one: Turning, other: Turning) -> bool:
    """Tell whether a turning goes the other way, after a way of no more than a few radii and the way back."""
    ground, _ = seen_from
    if one.direction == other.direction or ground.piece[one.last] != ground.piece[other.first]:
        return False
    radius = 0.5 * sum(flown(ground, each.first, each.last) / abs(each.turn) for each in (one, other))
    back = _moved(seen_from, one)
    longest = LONGEST_WAY if min(abs(one.turn), abs(other.turn)) < ALL_ROUND else LONGEST_WAY_ROUND
    return flown(ground, one.last, other.first) <= longest * radius + back


def _belongs(run: Sequence[Loop], loop: Loop, seen_from: SeenFrom) -> bool:
    """Tell whether a loop carries on a run of loops."""
    if not run:
        return True
    if len(run) > 1 and run[-1].turn > TURN_RANGE[1]:  # only the first and the last go farther round
        return False
    radius = 0.5 * (run[-1].radius + loop.radius)
    apart = _distance(run[-1].center, loop.center) / radius
    alike = 1.0 / ALIKE < run[-1].radius / loop.radius < ALIKE
    again = len(run) < 2 or _same_place(run[-2], loop, SAME_PLACE * radius, seen_from)
    return alike and APART[0] <= apart <= APART[1] and again


def _same_place(one: Loop, other: Loop, within: float, seen_from: SeenFrom) -> bool:
    """Tell whether two loops are about one place, also over the ground where they are taken in the air.

    Who is carried along in the loops but gets back between them turns over the same ground in another air.
    """
    if _distance(one.center, other.center) <= within:
        return True
    ground, _ = seen_from
    return _distance(*(seen_from_the_ground(ground, each).center for each in (one, other))) <= within


def _distance(one: Place, other: Place) -> float:
    return float(np.hypot(one[0] - other[0], one[1] - other[1]))


def expected_turn(spread: float) -> float:
    """Return how far loops turn whose centers lie so far apart, π + 2 asin(1/spread) [rad].

    Parameters
    ----------
    spread
        Distance between the centers over twice the radius.
    """
    return half_turn + 2.0 * float(np.arcsin(min(1.0 / max(spread, 1e-6), 1.0)))
