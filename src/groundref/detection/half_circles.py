"""Half circles on alternating sides, one after the other: the first look at what may be S-turns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import half_turn
from groundref.detection import line
from groundref.detection.circling import rolled_in_and_out
from groundref.detection.curvature import curvature, flown
from groundref.detection.line import Line
from groundref.detection.segments import Turning, bends_as_one, between_turning_points
from groundref.errors import NoSolutionError
from groundref.estimation.mean_wind import wind_over
from groundref.estimation.states import States
from groundref.mechanics.circle_fit import fit_circle
from groundref.units import degree

Floats = NDArray[np.float64]

# Who rolls out some 35° late at the line, before and after, turns half a circle and twice that.
TURN_RANGE: Final = (118 * degree, 255 * degree)
LEAST_TURN: Final = 45 * degree  # what turns further ends a run unless it is a half circle
LEAST_RADIUS: Final = 50.0  # [m] 55 kt at 58°: no training airplane turns tighter; C from V²/(g tan φ)
MOST_RADIUS: Final = 1800.0  # [m] 6,000 ft; nobody keeps a line in sight from farther; common practice
BANK_RANGE: Final = (4 * degree, 58 * degree)
ROUNDNESS: Final = 0.2  # radial rms over the radius beyond which a path is no circle
# [s], and share of the time of a half circle: longer level flight between two is a leg.
LONGEST_LEVEL: Final = (10.0, 0.5)
# Who banked too much has turned early and waits for the line: for so much of the time of a half circle, and
# for so many seconds, or over so many radii and what the air carried it off. No place of a half circle lies
# farther from its line than one radius; rolling out and in again takes half of another.
LONGEST_WAIT: Final = (30.0, 1.2)
LONGEST_WAY: Final = 1.5
SETTLED: Final = 3.0  # [s] of rolling in and out that belong to no circle
# [s] must do where samples are few, rolls and all at worst: half a circle at 55 kt and 50° lasts 8 s.
SOONER_SETTLED: Final = (1.5, 0.0)
LEAST_INNER: Final = 4  # samples of a circle
# Ratio of two mean radii beyond which half circles do not belong together: one after the other, the same
# where they are wider on one side of the line, and of one side where they are that or there was a wait.
ALIKE: Final = 2.3
UNLIKE: Final = 3.0
ON_ONE_SIDE: Final = 1.6


@dataclass(frozen=True, slots=True)
class Half:
    """One half circle as first seen [SI].

    Attributes
    ----------
    turning
        The stretch of turning.
    center, radius, rms
        Of the circle that fits it, and root mean square of the distances from it.
    bank
        Mean of the bank to its side.
    about, width
        Mean center and radius of curvature over all of it: where it lay and how wide it was also where it is
        no circle.
    """

    turning: Turning
    center: tuple[float, float]
    radius: float
    rms: float
    bank: float
    about: tuple[float, float]
    width: float

    @property
    def direction(self) -> int:
        """1 to the right, −1 to the left."""
        return self.turning.direction


@dataclass(frozen=True, slots=True)
class Series:
    """Half circles in a row.

    Attributes
    ----------
    halves
        In the order flown.
    start, end
        When the first turn began and the last ended [s]
    levels
        When the wings were level between each two [s]
    flat
        How long they were nearly level there [s]
    line
        Fitted to them.
    """

    halves: tuple[Half, ...]
    start: float
    end: float
    levels: tuple[float, ...]
    flat: tuple[float, ...]
    line: Line

    @property
    def first(self) -> int:
        """Index of the first sample."""
        return self.halves[0].turning.first

    @property
    def last(self) -> int:
        """Index of the last sample."""
        return self.halves[-1].turning.last

    @property
    def radii(self) -> Floats:
        """Radius of each half circle [m]."""
        return np.array([half.radius for half in self.halves])


def runs(states: States, turnings: Sequence[Turning]) -> list[list[Half]]:
    """Return the longest runs of half circles on alternating sides without a leg between them."""
    runs: list[list[Half]] = []
    for half in _seen(states, turnings):
        if half is None:
            runs.append([])
        elif runs and runs[-1] and _follows(states, runs[-1], half):
            runs[-1].append(half)
        else:
            runs.append([half])
    return [run for run in runs if len(run) > 1]


def _seen(states: States, turnings: Sequence[Turning]) -> list[Half | None]:
    """Return the turnings as half circles, None for what is none.

    All that was turned between two turning points of the track may be one, where it comes nearer to half a
    turn than its parts: who banked too much and waits, or hardly turns upwind, flies it in parts.
    """
    stretches = between_turning_points(states, LEAST_TURN)
    halves: list[Half | None] = []
    for (first, last), whole in zip(stretches, bends_as_one(states, stretches), strict=True):
        parts = [_half(states, part) for part in turnings if first <= part.first and part.last <= last]
        as_one = None if whole is None else _half(states, whole)
        off = min((_off_half_turn(part) for part in parts if part is not None), default=np.inf)
        halves += parts if as_one is None or off <= _off_half_turn(as_one) else [as_one]
    return halves


def _off_half_turn(half: Half) -> float:
    return abs(abs(half.turning.turn) - half_turn)


def _half(states: States, turning: Turning) -> Half | None:
    """See a turning as a half circle; None when it is none."""
    if not TURN_RANGE[0] <= abs(turning.turn) <= TURN_RANGE[1]:
        return None
    time = states.time[turning.first : turning.last + 1]
    parts = [np.flatnonzero((time > time[0] + s) & (time < time[-1] - s)) for s in (SETTLED, *SOONER_SETTLED)]
    inner = turning.first + next((part for part in parts if part.size >= LEAST_INNER), parts[-1])
    if inner.size < LEAST_INNER:
        return None
    try:
        circle = fit_circle(states.east[inner], states.north[inner])
    except NoSolutionError:
        return None
    bank = float(np.mean(turning.direction * states.bank[inner]))
    about, width = curvature(states, turning)
    if not LEAST_RADIUS <= width <= MOST_RADIUS or circle.rms > ROUNDNESS * circle.radius:
        return None
    if np.isfinite(bank) and not BANK_RANGE[0] <= bank <= BANK_RANGE[1]:
        return None
    return Half(turning, (circle.x, circle.y), circle.radius, circle.rms, bank, about, width)


def _follows(states: States, run: Sequence[Half], other: Half) -> bool:
    """Tell whether a half circle carries on a run on the other side.

    One that is unlike the last, or comes after a wait, does so where it is like the one before that.
    """
    one = run[-1]
    gap = float(states.time[other.turning.first] - states.time[one.turning.last])
    lasted = 0.5 * sum(
        float(states.time[half.turning.last] - states.time[half.turning.first]) for half in (one, other)
    )
    if (
        one.direction == other.direction
        or states.piece[one.turning.last] != states.piece[other.turning.first]
    ):
        return False
    usual = max(LONGEST_LEVEL[0], LONGEST_LEVEL[1] * lasted)
    if gap <= usual and _ratio(one, other) < ALIKE:
        return True
    waits = gap <= usual or (gap <= LONGEST_WAIT[1] * lasted and _near_enough(states, one, other, gap))
    again = len(run) < 2 or _ratio(run[-2], other) < ON_ONE_SIDE
    return waits and _ratio(one, other) < UNLIKE and again


def _near_enough(states: States, one: Half, other: Half, gap: float) -> bool:
    """Tell whether a wait between two half circles was no longer than it may take to get back to the line."""
    if gap <= LONGEST_WAIT[0]:
        return True
    wind = wind_over(states, one.turning.first, one.turning.last)
    carried = 0.0 if wind is None else wind.speed * _lasted(states, one)
    way = flown(states, one.turning.last, other.turning.first)
    return way <= LONGEST_WAY * 0.5 * (one.width + other.width) + carried


def _ratio(one: Half, other: Half) -> float:
    """Return how many times as wide the wider one is."""
    return max(one.width, other.width) / min(one.width, other.width)


def _rolls(states: States, turning: Turning) -> tuple[float, float]:
    """Return when a turn began and ended; to the sample where there are too few to tell better [s]."""
    found = rolled_in_and_out(states, turning)
    return (float(states.time[turning.first]), float(states.time[turning.last])) if found is None else found


def series_of(states: States, halves: Sequence[Half]) -> Series:
    """Measure a run of half circles."""
    start, end = _rolls(states, halves[0].turning)[0], _rolls(states, halves[-1].turning)[1]
    between = [_level(states, one, other) for one, other in pairwise(halves)]
    levels = [0.5 * (a + b) for a, b in between]
    directions = np.array([half.direction for half in halves], dtype=np.float64)
    tracks = np.interp(levels, states.time, states.track)
    part = slice(halves[0].turning.first, halves[-1].turning.last + 1)
    speed = float(np.mean(states.ground_speed[part]))
    rolling = line.ROLL[0]
    fitted = line.fitted(
        bearing=line.square_to(tracks, directions[1:]),
        centers=[half.center for half in halves],
        directions=directions,
        radii=np.array([half.radius for half in halves]),
        levels=[_place_at(states, time) for time in levels],
        ends=[_place_at(states, start - rolling), _place_at(states, end + rolling)],
        ground_speed=speed,
    )
    flat = tuple(b - a for a, b in between)
    return Series(tuple(halves), start, end, tuple(levels), flat, fitted)


def _level(states: States, one: Half, other: Half) -> tuple[float, float]:
    """Return from when to when the track turned at less than half of its usual rate between half circles.

    Of the two half circles the slower one says what is usual: the wind makes them unlike there.
    """
    a = (one.turning.first + one.turning.last) // 2
    b = (other.turning.first + other.turning.last) // 2
    rate = one.direction * states.track_rate[a : b + 1]
    turning_point = a + int(np.argmax(one.direction * states.track[a : b + 1]))
    usual = min(abs(half.turning.turn) / _lasted(states, half) for half in (one, other))
    before = np.flatnonzero(rate[: turning_point - a + 1] > 0.5 * usual)
    after = np.flatnonzero(rate[turning_point - a :] < -0.5 * usual)
    begin = a + int(before[-1]) if before.size else a
    finish = turning_point + int(after[0]) if after.size else b
    return float(states.time[begin]), float(states.time[finish])


def _lasted(states: States, half: Half) -> float:
    return max(float(states.time[half.turning.last] - states.time[half.turning.first]), 1.0)


def _place_at(states: States, time: float) -> tuple[float, float]:
    return float(np.interp(time, states.time, states.east)), float(np.interp(time, states.time, states.north))
