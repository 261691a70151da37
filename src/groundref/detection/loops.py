"""Loops one way and then the other about two places: what elementary eights are made of.

A loop is a turning of more than a half circle; the next one turns the other way soon after, alike in radius,
about a place beside it; the one after that is about the first place again. The way between two loops is where
the straight line that touches both circles touches them; when it is flown to and fro it is the same.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import half_turn
from groundref.detection.circling import rolled_in_and_out
from groundref.detection.segments import Turning
from groundref.errors import NoSolutionError
from groundref.estimation.states import States
from groundref.mechanics.circle_fit import fit_circle
from groundref.units import degree, foot

Floats = NDArray[np.float64]
Place = tuple[float, float]

# What cannot be a loop whatever the evidence.
TURN_RANGE: Final = (195 * degree, 450 * degree)
BANK_RANGE: Final = (4 * degree, 55 * degree)
LEAST_RADIUS: Final = 80.0  # [m] 55 kt at 45°; computed from V²/(g tan φ)
MOST_RADIUS: Final = 4500 * foot  # nobody keeps a pylon in sight from farther; common practice, no source
ROUNDNESS: Final = 0.3  # radial rms over the radius beyond which a path is no circle, even one that drifts
SETTLED: Final = 3.0  # [s] of rolling in and out that belong to no circle
# What cannot be two loops of one eight.
ALIKE: Final = 2.2  # ratio of their radii
LONGEST_GAP: Final = (20.0, 0.6)  # [s] of level flight between them, and share of the time of a loop
APART: Final = (0.6, 8.0)  # distance between their centers, over the radius
SAME_PLACE: Final = 2.5  # distance between centers of every other loop, over the radius
CORE: Final = (0.17, 0.83)  # of the turn: the middle of a loop, clear of the ways in and out
TOWARD: Final = 70 * degree  # of the way: flying along it
STRAIGHT: Final = 4.0  # [s] shorter is a roll from one loop straight into the next
LEVEL_SPAN: Final = (10.0, 2.5)  # [s] before the first and after the last loop, where the track is level


@dataclass(frozen=True, slots=True)
class Loop:
    """One loop as a circle over the ground.

    Attributes
    ----------
    turning
        The stretch of turning.
    start, end
        The middles of rolling in and out, or when rolled straight into the next the reversal [s]
    track_in, track_out
        Track of the level flight before and after, unwrapped as in the states [rad]
    center
        Of the circle through its middle, clear of the ways in and out: east, north [m]
    radius, rms
        Of that circle, and root mean square of the distances from it between rolling in and out [m]
    bank
        Mean of the bank's magnitude [rad]
    """

    turning: Turning
    start: float
    end: float
    track_in: float
    track_out: float
    center: Place
    radius: float
    rms: float
    bank: float

    @property
    def direction(self) -> int:
        """1 to the right, −1 to the left."""
        return self.turning.direction

    @property
    def turn(self) -> float:
        """How far the track turned from level to level, its size [rad]."""
        return abs(self.track_out - self.track_in)


@dataclass(frozen=True, slots=True)
class Row:
    """Loops in a row about two places.

    Attributes
    ----------
    loops
        In the order flown.
    """

    loops: tuple[Loop, ...]

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
        return np.array([loop.radius for loop in self.loops])

    @property
    def radius(self) -> float:
        """Mean radius [m]."""
        return float(self.radii.mean())

    @property
    def centers(self) -> tuple[Place, Place]:
        """Places turned about, the first one first: mean centers of every other loop [m]."""
        places = np.array([loop.center for loop in self.loops])
        one, other = places[0::2].mean(axis=0), places[1::2].mean(axis=0)
        return (float(one[0]), float(one[1])), (float(other[0]), float(other[1]))

    @property
    def axis(self) -> float:
        """Direction from the first place to the second [rad]."""
        (e1, n1), (e2, n2) = self.centers
        return float(np.arctan2(e2 - e1, n2 - n1))

    @property
    def spread(self) -> float:
        """Distance between the places over twice the radius."""
        (e1, n1), (e2, n2) = self.centers
        return float(np.hypot(e2 - e1, n2 - n1)) / (2.0 * self.radius)

    @property
    def turn(self) -> float:
        """Usual turn of a loop, its size [rad].

        The first may be entered from anywhere and the last left to anywhere, so of two loops alone that one
        counts that goes with the distance between their centers.
        """
        turns = [loop.turn for loop in self.loops]
        if len(turns) == 2:
            return min(turns, key=lambda turn: abs(turn - expected_turn(self.spread)))
        return float(np.median(turns))

    @property
    def between(self) -> tuple[tuple[float, float], ...]:
        """From when to when the way between each two loops was flown [s]."""
        return tuple((one.end, other.start) for one, other in pairwise(self.loops))


def rows(states: States, turnings: Sequence[Turning]) -> list[Row]:
    """Return the longest rows of loops, no loop in two of them.

    Parameters
    ----------
    states
        The flight.
    turnings
        Its stretches of turning one way.
    """
    found: list[Row] = []
    for stretch in _alternating(states, turnings):
        loops = _measured(states, stretch)
        run: list[Loop] = []
        for loop in (*loops, None):
            if loop is not None and _belongs(run, loop):
                run.append(loop)
                continue
            if len(run) > 1:
                found.append(Row(tuple(run)))
            run = [] if loop is None else [run[-1], loop] if run and _belongs(run[-1:], loop) else [loop]
    return _apart(found)


def _apart(found: list[Row]) -> list[Row]:
    """Leave a loop that ends one row and begins the next to the longer of the two."""
    kept: list[Row] = []
    for row in found:
        if kept and kept[-1].loops[-1] is row.loops[0]:
            if len(kept[-1].loops) >= len(row.loops):
                if len(row.loops) > 2:
                    kept.append(Row(row.loops[1:]))
                continue
            shorter = kept.pop()
            if len(shorter.loops) > 2:
                kept.append(Row(shorter.loops[:-1]))
        kept.append(row)
    return kept


def _alternating(states: States, turnings: Sequence[Turning]) -> list[list[Turning]]:
    """Return runs of turnings that could be loops, each the other way and soon after the one before."""
    runs: list[list[Turning]] = [[]]
    for turning in turnings:
        if not TURN_RANGE[0] - 30 * degree <= abs(turning.turn) <= TURN_RANGE[1] + 30 * degree:
            runs.append([])
            continue
        if runs[-1] and not _follows(states, runs[-1][-1], turning):
            runs.append([])
        runs[-1].append(turning)
    return [run for run in runs if len(run) > 1]


def _follows(states: States, one: Turning, other: Turning) -> bool:
    gap = float(states.time[other.first] - states.time[one.last])
    lasted = 0.5 * sum(float(states.time[each.last] - states.time[each.first]) for each in (one, other))
    return (
        one.direction != other.direction
        and states.piece[one.last] == states.piece[other.first]
        and gap <= max(LONGEST_GAP[0], LONGEST_GAP[1] * lasted)
    )


def _measured(states: States, stretch: Sequence[Turning]) -> list[Loop | None]:
    """Measure the loops of a run; None for one that cannot be a loop."""
    cores = [_core(states, turning) for turning in stretch]
    known = [core for core in cores if core is not None]
    if len(known) < len(cores):
        return [None] * len(cores)
    first, last = rolled_in_and_out(states, stretch[0]), rolled_in_and_out(states, stretch[-1])
    start = float(states.time[stretch[0].first]) if first is None else first[0]
    end = float(states.time[stretch[-1].last]) if last is None else last[1]
    ways = [_way(states, one, other) for one, other in pairwise(known)]
    starts, ends = [start, *(b for _, b in ways)], [*(a for a, _ in ways), end]
    tracks = [
        _track_over(states, start - LEVEL_SPAN[0], start - LEVEL_SPAN[1]),
        *(_track_between(states, one.direction, way) for one, way in zip(stretch, ways, strict=False)),
        _track_over(states, end + LEVEL_SPAN[1], end + LEVEL_SPAN[0]),
    ]
    return [
        _loop(states, core, *figures)
        for core, *figures in zip(known, starts, ends, tracks[:-1], tracks[1:], strict=True)
    ]


@dataclass(frozen=True, slots=True)
class _Core:
    """The middle of a loop as a circle: its turning, samples, center and radius [m]."""

    turning: Turning
    first: int
    last: int
    center: Place
    radius: float

    @property
    def direction(self) -> int:
        """1 to the right, −1 to the left."""
        return self.turning.direction


def _core(states: States, turning: Turning) -> _Core | None:
    """Fit a circle to the middle of a turning, what is near its ends left out; None where none fits."""
    part = slice(turning.first, turning.last + 1)
    turned = (states.track[part] - states.track[turning.first]) / turning.turn
    index = turning.first + np.flatnonzero((turned > CORE[0]) & (turned < CORE[1]))
    if index.size < 5:
        return None
    try:
        circle = fit_circle(states.east[index], states.north[index])
    except NoSolutionError:
        return None
    return _Core(turning, int(index[0]), int(index[-1]), (circle.x, circle.y), circle.radius)


def _way(states: States, one: _Core, other: _Core) -> tuple[float, float]:
    """Return from when to when the airplane flew between two loops [s].

    The straight line that touches both circles on opposite sides makes the angle asin((R₁ + R₂)/d) with the
    line through their centers and touches each where its center is abeam. How the airplane gets from the one
    place to the other, straight or not, does not enter. Where the circles touch or overlap the two are one.
    """
    east, north = other.center[0] - one.center[0], other.center[1] - one.center[1]
    apart = float(np.hypot(east, north))
    tilt = float(np.arcsin(min((one.radius + other.radius) / max(apart, 1.0), 1.0)))
    course = float(np.arctan2(east, north)) + one.direction * tilt
    index = np.arange(one.last, other.first + 1)
    ahead = [
        (states.east[index] - c[0]) * np.sin(course) + (states.north[index] - c[1]) * np.cos(course)
        for c in (one.center, other.center)
    ]
    if tilt >= 0.5 * half_turn:  # one place: where the line through the centers is crossed
        ahead = [0.5 * (ahead[0] + ahead[1])] * 2
    onward = np.cos(states.track[index] - course) > np.cos(TOWARD)
    passed = np.flatnonzero(onward & (ahead[0] >= 0.0))
    short = np.flatnonzero(onward & (ahead[1] <= 0.0))
    time = states.time[index]
    leaves = float(time[passed[0]]) if passed.size else float(time[time.size // 2])
    reaches = float(time[short[-1]]) if short.size else leaves
    return (leaves, reaches) if reaches > leaves else (0.5 * (leaves + reaches),) * 2


def _track_between(states: States, direction: int, way: tuple[float, float]) -> float:
    """Return the mean track from a loop to the next, or the one reached in a roll straight over."""
    if way[1] - way[0] >= STRAIGHT:
        return _track_over(states, *way)
    near = np.linspace(way[0] - STRAIGHT, way[1] + STRAIGHT, 25)
    track = np.interp(near, states.time, states.track)
    return float(track.max() if direction > 0 else track.min())


def _track_over(states: States, start: float, end: float) -> float:
    """Return the mean track from one time to another."""
    inside = (states.time >= start) & (states.time <= end)
    if not inside.any():
        return float(np.interp(0.5 * (start + end), states.time, states.track))
    return float(np.mean(states.track[inside]))


def _loop(
    states: States, core: _Core, start: float, end: float, track_in: float, track_out: float
) -> Loop | None:
    """Measure a loop; None when it cannot be one."""
    settled = np.flatnonzero((states.time > start + SETTLED) & (states.time < end - SETTLED))
    if settled.size < 5 or not TURN_RANGE[0] <= abs(track_out - track_in) <= TURN_RANGE[1]:
        return None
    off = np.hypot(states.east[settled] - core.center[0], states.north[settled] - core.center[1])
    rms = float(np.sqrt(np.mean((off - core.radius) ** 2)))
    bank = float(np.mean(core.direction * states.bank[settled]))
    if not LEAST_RADIUS <= core.radius <= MOST_RADIUS or rms > ROUNDNESS * core.radius:
        return None
    if np.isfinite(bank) and not BANK_RANGE[0] <= bank <= BANK_RANGE[1]:
        return None
    return Loop(core.turning, start, end, track_in, track_out, core.center, core.radius, rms, bank)


def _belongs(run: Sequence[Loop], loop: Loop) -> bool:
    """Tell whether a loop carries on a run of loops."""
    if not run:
        return True
    radius = 0.5 * (run[-1].radius + loop.radius)
    apart = _distance(run[-1].center, loop.center) / radius
    alike = 1.0 / ALIKE < run[-1].radius / loop.radius < ALIKE
    again = len(run) < 2 or _distance(run[-2].center, loop.center) <= SAME_PLACE * radius
    return alike and APART[0] <= apart <= APART[1] and again


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
