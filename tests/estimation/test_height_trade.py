"""Airspeed traded for height at one throttle setting: the differential equation, and what it gives back."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from groundref.estimation.estimate import Given, estimate
from groundref.estimation.height_trade import REGAINED, bounds, gained, within
from groundref.simulation import simulate
from groundref.track.clean import clean
from groundref.units import knot, standard_gravity

SPEED = 50.0


def test_gained_solves_the_energy_equation() -> None:
    """Against scipy's integration of x' = −x/τ − (g/V) h' for a height that swings."""

    def climb_rate(t: float) -> float:
        return float(2.0 * np.cos(0.1 * t))

    time = np.arange(0.0, 200.0, 0.5)
    height = 20.0 * np.sin(0.1 * time)
    solved = solve_ivp(
        lambda t, x: -x / REGAINED - standard_gravity / SPEED * climb_rate(t),
        (0.0, time[-1]),
        [0.0],
        t_eval=time,
        rtol=1e-9,
    )
    got = gained(time, np.zeros(time.size, dtype=np.int64), np.diff(height), np.full(time.size - 1, SPEED))
    assert got == pytest.approx(solved.y[0], abs=0.01)


def test_quick_climbs_keep_the_energy_and_old_ones_are_forgotten() -> None:
    piece = np.zeros(3, dtype=np.int64)
    quick = gained(np.array([0.0, 0.1, 0.2]), piece, np.array([1.0, 0.0]), np.full(2, SPEED))
    assert quick[1] == pytest.approx(-standard_gravity / SPEED, rel=0.01)
    late = gained(np.array([0.0, 0.1, 10.0 * REGAINED]), piece, np.array([1.0, 0.0]), np.full(2, SPEED))
    assert late[2] == pytest.approx(0.0, abs=1e-4)


def test_each_piece_begins_anew() -> None:
    got = gained(np.arange(4.0), np.array([0, 0, 1, 1]), np.array([-5.0, -5.0, 0.0]), np.full(3, SPEED))
    assert got[1] > 0.5
    assert got[2] == 0.0


def test_stretches_and_their_ends() -> None:
    held = within(np.arange(10.0), ((2.0, 4.0), (7.0, 20.0)))
    assert np.flatnonzero(held).tolist() == [2, 3, 4, 7, 8, 9]
    begins, ends = bounds(held)
    assert (begins.tolist(), ends.tolist()) == ([2, 7], [5])
    assert bounds(np.ones(3, dtype=np.bool_))[0].tolist() == [0]


def test_a_throttle_left_alone_gives_back_the_wind_and_the_airspeed() -> None:
    plain: list[float] = []
    told: list[float] = []
    speeds, inside = [], []
    for seed in range(6):
        recording, truth = simulate(
            "eights-on-pylons",
            true_airspeed=100 * knot,
            wind_speed=20 * knot,
            wind_from=1.3 * seed,
            laps=2,
            seed=seed,
            flight="maneuver-only",
        )
        track, flown = clean(recording), truth.maneuver
        during = truth.during(flown.start, flown.end)
        wind = np.array([truth.wind_east[during].mean(), truth.wind_north[during].mean()])
        for given, errors in ((Given(), plain), (Given(one_throttle=((flown.start, flown.end),)), told)):
            states = estimate(track, given)
            part = (states.time >= flown.start) & (states.time <= flown.end)
            off = np.array([states.wind_east[part].mean(), states.wind_north[part].mean()]) - wind
            errors.append(float(np.hypot(*off)))
        off_speed = states.true_airspeed[part] - truth.at("true_airspeed", states.time[part])
        speeds.append(float(np.sqrt(np.mean(off_speed**2))))
        inside.append(float(np.mean(np.abs(off_speed) <= 1.96 * states.true_airspeed_sd[part])))
    assert np.mean(told) < 0.5 * np.mean(plain)
    assert np.mean(speeds) < 2.0 * knot
    assert np.mean(inside) > 0.88
