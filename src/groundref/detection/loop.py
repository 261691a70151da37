"""One loop of an eight measured: its circle, when it began and ended, how far it turned.

The middle of a loop, clear of the ways in and out, is a circle. Who waits in a loop for the ground to come
by, or banks it more here than there, flies none, and what fits its middle best may lie anywhere: then the
loop is about the mean of its centers of curvature (`curvature`). The way between two loops is where the
straight line that touches both circles touches them, whatever was flown on it. All of it holds over the
ground as well as in the air that moves along (`aloft`), where loops at constant bank are circles.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import half_turn
from groundref.detection.circling import rolled_in_and_out
from groundref.detection.curvature import curvature
from groundref.detection.segments import Turning
from groundref.errors import NoSolutionError
from groundref.estimation.states import States
from groundref.mechanics.circle_fit import fit_circle
from groundref.units import degree, foot

Floats = NDArray[np.float64]
Place = tuple[float, float]

# What cannot be a loop whatever the evidence.
# How far a loop turns: least, most between two others, and most where it may begin or end anywhere.
TURN_RANGE: Final = (195 * degree, 450 * degree, 600 * degree)
BY_HOW_MUCH: Final = 30 * degree  # the first cut of a turning may be off, from level flight to level flight
BANK_RANGE: Final = (4 * degree, 55 * degree)
LEAST_RADIUS: Final = 80.0  # [m] 55 kt at 45°; C from V²/(g tan φ)
MOST_RADIUS: Final = 4500 * foot  # nobody keeps a pylon in sight from farther; common practice, no source
ROUNDNESS: Final = 0.3  # radial rms over the radius beyond which a path is no circle, even one that drifts
SETTLED: Final = 3.0  # [s] of rolling in and out that belong to no circle
CORE: Final = (0.17, 0.83)  # of the turn: the middle of a loop, clear of the ways in and out
ALIKE: Final = 0.75  # ratio of a fitted radius to the mean one of curvature, or over it: less is no circle
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
        Of the circle through its middle, clear of the ways in and out, or of its curvature: east, north [m]
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


def measured(states: States, stretch: Sequence[Turning]) -> list[Loop | None]:
    """Measure loops one way and the other in a row; None for one that cannot be a loop.

    Parameters
    ----------
    states
        The flight, over the ground or `aloft`.
    stretch
        The turnings in the order flown.
    """
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
    center, radius = (circle.x, circle.y), circle.radius
    curved_about, of_curvature = curvature(states, turning)
    if not ALIKE <= radius / of_curvature <= 1.0 / ALIKE:
        off = np.hypot(states.east[index] - curved_about[0], states.north[index] - curved_about[1])
        center, radius = curved_about, float(off.mean())
    return _Core(turning, int(index[0]), int(index[-1]), center, radius)


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
    if settled.size < 5 or not TURN_RANGE[0] <= abs(track_out - track_in) <= TURN_RANGE[2]:
        return None
    off = np.hypot(states.east[settled] - core.center[0], states.north[settled] - core.center[1])
    rms = float(np.sqrt(np.mean((off - core.radius) ** 2)))
    bank = float(np.mean(core.direction * states.bank[settled]))
    if not LEAST_RADIUS <= core.radius <= MOST_RADIUS or rms > ROUNDNESS * core.radius:
        return None
    if np.isfinite(bank) and not BANK_RANGE[0] <= bank <= BANK_RANGE[1]:
        return None
    return Loop(core.turning, start, end, track_in, track_out, core.center, core.radius, rms, bank)


def aloft(states: States) -> States:
    """Return the flight as seen from the air: places less what the air moved, tracks that are headings.

    Where the wind is not known the air is taken to stand.

    Parameters
    ----------
    states
        The flight.
    """
    step = np.diff(states.time, prepend=states.time[:1])
    east, north, crab = (np.nan_to_num(each) for each in (states.wind_east, states.wind_north, states.crab))
    return replace(
        states,
        east=states.east - np.cumsum(east * step),
        north=states.north - np.cumsum(north * step),
        track=states.track + crab,
    )


def seen_from_the_ground(states: States, loop: Loop) -> Loop:
    """Return a loop that was measured aloft with its circle and its tracks over the ground."""
    core = _core(states, loop.turning)
    if core is None:
        return loop
    settled = (states.time > loop.start + SETTLED) & (states.time < loop.end - SETTLED)
    off = np.hypot(states.east[settled] - core.center[0], states.north[settled] - core.center[1])
    track_in, track_out = np.interp([loop.start, loop.end], states.time, states.track)
    return replace(
        loop,
        track_in=float(track_in),
        track_out=float(track_out),
        center=core.center,
        radius=core.radius,
        rms=float(np.sqrt(np.mean((off - core.radius) ** 2))),
    )
