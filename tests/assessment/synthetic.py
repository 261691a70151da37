"""Flights around a point made from closed forms and plain integration, with stated standard deviations.

Nothing here comes from the package's own simulator: the path is integrated from a bank as a function of
the angle turned, in steady wind, by ψ' = g tan φ / V.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from groundref.assessment.assess import assess
from groundref.assessment.assessed import Assessed, Finding
from groundref.detection.maneuver import Entry, Lap, Maneuver, point_at
from groundref.estimation.states import States
from groundref.estimation.wind_value import Wind
from groundref.standards.loading import load_standard
from groundref.units import degree, foot, knot

Floats = NDArray[np.float64]
G = 9.80665
TURN = 2.0 * np.pi
before = 20  # [s]  of straight flight before the turn


@dataclass(frozen=True)
class Case:
    """What is flown; SI and radians."""

    airspeed: float = 90 * knot
    wind: float = 15 * knot
    wind_to: float = 0.7
    radius: float = 500.0
    side: float = 1.0
    laps: float = 2.0
    entry_off: float = 0.0
    late: float = 0.0
    bank: Callable[[float, float], float] | None = None  # (angle turned, bank needed) -> bank
    seed: int = 1
    noise: float = 1.0

    def needed(self, turned: float) -> float:
        """Bank that keeps the radius after an angle of track from downwind."""
        across = self.wind * np.sin(turned)
        speed = self.wind * np.cos(turned) + np.sqrt(self.airspeed**2 - across**2)
        return float(np.arctan(speed**2 / (G * self.radius * np.sqrt(1 - (across / self.airspeed) ** 2))))


@lru_cache(maxsize=64)
def _path(case: Case, step: float = 0.1) -> Floats:
    """Columns time, east, north, heading, bank (turnwise) from the start of the turn, point at the origin."""
    wind = case.wind * np.array([np.sin(case.wind_to), np.cos(case.wind_to)])
    entry = case.wind_to + case.side * case.entry_off
    crab = np.arcsin(np.clip(-case.wind * np.sin(case.wind_to - entry) / case.airspeed, -1, 1))
    abeam = -case.side * case.radius * np.array([np.cos(entry), -np.sin(entry)])
    speed = _speed(case, entry)
    state = np.array([*(abeam + case.late * speed * np.array([np.sin(entry), np.cos(entry)])), entry + crab])
    rows, time, turned, track = [], 0.0, 0.0, entry

    def rate(s: Floats, bank: float) -> Floats:
        air = case.airspeed * np.array([np.sin(s[2]), np.cos(s[2])])
        return np.array([*(air + wind), case.side * G * np.tan(bank) / case.airspeed])

    while turned < case.laps * TURN:
        position = turned + case.entry_off
        need = case.needed(position)
        bank = need if case.bank is None else case.bank(turned, need)
        rows.append([time, *state, bank])
        k1 = rate(state, bank)
        middle = state + 0.5 * step * k1
        ground = rate(middle, bank)
        angle = np.arctan2(ground[0], ground[1])
        passed = turned + case.side * float((angle - track + np.pi) % TURN - np.pi)
        half = case.needed(passed + case.entry_off)
        bank = half if case.bank is None else case.bank(passed, half)
        state = state + step * rate(middle, bank)
        ground = rate(state, bank)
        now = float(np.arctan2(ground[0], ground[1]))
        turned += case.side * float((now - track + np.pi) % TURN - np.pi)
        track, time = now, time + step
    return np.array(rows)


def _speed(case: Case, track: float) -> float:
    off = track - case.wind_to
    return float(case.wind * np.cos(off) + np.sqrt(case.airspeed**2 - (case.wind * np.sin(off)) ** 2))


def smooth_noise(rng: np.random.Generator, size: int, sd: float, memory: float = 4.0) -> Floats:
    """Noise whose autocorrelation, a Gaussian, has the integral ``memory`` [samples]."""
    white = rng.standard_normal(size + 40)
    kernel = np.exp(-0.5 * (np.arange(-20, 21) / (memory / np.sqrt(4 * np.pi))) ** 2)
    made = np.convolve(white, kernel / np.sqrt(np.sum(kernel**2)), "valid")[:size]
    return sd * made


def flight(case: Case) -> tuple[States, Maneuver]:
    """The states at 1 Hz with a straight run before the turn, and the maneuver as a detector states it."""
    path = _path(replace(case, seed=0, noise=0.0))[::10]
    wind = case.wind * np.array([np.sin(case.wind_to), np.cos(case.wind_to)])
    entry = case.wind_to + case.side * case.entry_off
    run = np.arange(-before, 0.0)
    straight = np.column_stack(
        [
            run,
            path[0, 1] + run * _speed(case, entry) * np.sin(entry),
            path[0, 2] + run * _speed(case, entry) * np.cos(entry),
            np.full(run.size, path[0, 3]),
            np.zeros(run.size),
        ]
    )
    rows = np.vstack([straight, path])
    time, heading, bank = rows[:, 0] + 100.0, rows[:, 3], case.side * rows[:, 4]
    rng, n = np.random.default_rng(case.seed), time.size
    air = case.airspeed * np.column_stack([np.sin(heading), np.cos(heading)])
    velocity = air + wind
    track = np.unwrap(np.arctan2(velocity[:, 0], velocity[:, 1]))
    noisy = case.noise
    east = rows[:, 1] + noisy * smooth_noise(rng, n, 1.5)
    north = rows[:, 2] + noisy * smooth_noise(rng, n, 1.5)
    ground_speed = np.hypot(*velocity.T) + noisy * smooth_noise(rng, n, 0.2)
    states = States(
        time=time,
        piece=np.zeros(n, dtype=np.int64),
        east=east,
        north=north,
        velocity_east=velocity[:, 0],
        velocity_north=velocity[:, 1],
        acceleration_east=np.zeros(n),
        acceleration_north=np.zeros(n),
        position_sd=np.full(n, 1.5),
        velocity_sd=np.full(n, 0.2),
        acceleration_sd=np.full(n, 0.1),
        ground_speed=ground_speed,
        track=track,
        track_rate=np.gradient(track, time),
        altitude=400.0 + noisy * smooth_noise(rng, n, 3.0),
        altitude_sd=np.full(n, 3.0),
        altitude_datum="msl",
        vertical_speed=np.zeros(n),
        height=244.0 + np.zeros(n),
        height_sd=np.full(n, 5.0),
        height_source="given",
        wind_east=np.full(n, wind[0]),
        wind_north=np.full(n, wind[1]),
        wind_east_sd=np.full(n, 0.3),
        wind_north_sd=np.full(n, 0.3),
        wind_covariance=np.zeros(n),
        true_airspeed=case.airspeed + noisy * smooth_noise(rng, n, 0.3),
        true_airspeed_sd=np.full(n, 0.4),
        airspeed_source="derived",
        airspeed_wander=0.4,
        heading=heading % TURN,
        crab=heading - track - TURN * np.round((heading - track) / TURN),
        bank=bank + noisy * smooth_noise(rng, n, 1.0 * degree),
        bank_sd=np.full(n, 1.0 * degree),
        bank_source="derived",
        lateral_acceleration=None,
    )
    return states, _maneuver(case, states, wind)


def _maneuver(case: Case, states: States, wind: Floats) -> Maneuver:
    first, last = before, states.time.size - 1
    turned = case.side * (states.track - states.track[first])
    number = np.minimum((turned[first:] / TURN).astype(int), int(np.ceil(case.laps)) - 1)
    index = [np.flatnonzero(number == lap) + first for lap in range(number.max() + 1)]
    index = [each for each in index if each.size > 3]
    centres = np.array([_centre(states, each) for each in index])
    drift = (centres[-1] - centres[0]) / max(1, len(index) - 1)
    drifts = len(index) > 1 and np.hypot(*drift) > 50.0
    point = centres.mean(axis=0) if drifts else np.zeros(2)
    distance = np.hypot(states.east - point[0], states.north - point[1])
    radius = float(distance[first:].mean())
    entry = case.wind_to + case.side * case.entry_off
    return Maneuver(
        kind="turns-around-a-point",
        first=first,
        last=last,
        start=float(states.time[first]),
        end=float(states.time[last] + 3.0),
        direction="right" if case.side > 0 else "left",
        confidence=0.99,
        reference=point_at(float(point[0]), float(point[1]), 2.0, "fitted"),
        radius=radius,
        radius_sd=2.0,
        wind=Wind(100.0, 200.0, wind[0], wind[1], 0.3, 0.3, 0.0, case.airspeed, 0.3),
        entry=Entry(
            abeam_time=float(states.time[first] - case.late),
            turn_time=float(states.time[first]),
            track=float(entry % TURN),
            distance=float(distance[first]),
            distance_sd=3.0,
        ),
        laps=tuple(_lap(states, each, point, radius) for each in index),
        drift_east=float(drift[0]),
        drift_north=float(drift[1]),
        drift_sd=3.0,
        drifts=bool(drifts),
    )


def _centre(states: States, index: NDArray[np.int64]) -> Floats:
    """Least-squares circle through the samples of a lap (algebraic)."""
    x, y = states.east[index], states.north[index]
    a = np.column_stack([2 * x, 2 * y, np.ones(x.size)])
    return np.linalg.lstsq(a, x**2 + y**2, rcond=None)[0][:2]


def _lap(states: States, index: NDArray[np.int64], point: Floats, radius: float) -> Lap:
    radial = np.hypot(states.east[index] - point[0], states.north[index] - point[1]) - radius
    centre = _centre(states, index)
    own = float(np.hypot(states.east[index] - centre[0], states.north[index] - centre[1]).mean())
    return Lap(
        first=int(index[0]),
        last=int(index[-1]),
        start=float(states.time[index[0]]),
        end=float(states.time[index[-1]] + 1.0),
        turn=float(states.track[min(index[-1] + 1, states.time.size - 1)] - states.track[index[0]]),
        center_east=float(centre[0]),
        center_north=float(centre[1]),
        center_sd=3.0,
        radius=own,
        radius_sd=3.0,
        radial_rms=float(np.sqrt(np.mean(radial**2))),
        radial_max=float(radial.max()),
        radial_min=float(radial.min()),
        about_east=float(point[0]),
        about_north=float(point[1]),
    )


def judged(states: States, maneuver: Maneuver) -> Assessed:
    """Assess against the private-pilot standard."""
    return assess(states, maneuver, load_standard("private-pilot"), None)


def found(case: Case) -> dict[str, Finding]:
    """The findings of a case by name."""
    return {each.fault: each for each in judged(*flight(case)).findings}


def changed(states: States, **channels: object) -> States:
    """The states with some channels replaced."""
    return replace(states, **channels)


def fading(angle: float, width: float = np.pi / 3) -> float:
    """1 at 0, a raised cosine down to 0 at ``width``."""
    off = abs((angle + np.pi) % TURN - np.pi)
    return 0.5 * (1 + np.cos(np.pi * off / width)) if off < width else 0.0


FEET = foot
