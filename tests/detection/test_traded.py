"""Wind where height is traded for speed: a third of it is lost unless the altitude is looked at."""

from __future__ import annotations

import numpy as np
import pytest

from groundref.detection.traded import AirMotion, air_motion
from groundref.estimation.estimate import Given, estimate
from groundref.estimation.states import States
from groundref.simulation import Truth, simulate
from groundref.track.clean import clean
from groundref.units import knot

AIRSPEED, WIND = 100 * knot, 20 * knot


def lesson(
    recorder: str, seed: int, wind: tuple[float, float] | None = None
) -> tuple[States, AirMotion, Truth]:
    recording, truth = simulate(
        "eights-on-pylons",
        true_airspeed=AIRSPEED,
        wind_speed=WIND,
        wind_from=1.3 * seed,
        laps=2,
        recorder=recorder,
        seed=seed,
        flight="maneuver-only",
    )
    states = estimate(clean(recording), Given(wind=None if wind is None else (*wind, 0.5 * knot)))
    inside = np.flatnonzero((states.time >= truth.maneuver.start) & (states.time <= truth.maneuver.end))
    return states, air_motion(states, int(inside[0]), int(inside[-1])), truth


def error(air: AirMotion, truth: Truth) -> np.ndarray:
    during = truth.during(truth.maneuver.start, truth.maneuver.end)
    east, north = truth.wind_east[during].mean(), truth.wind_north[during].mean()
    return np.array([air.wind_east.mean() - east, air.wind_north.mean() - north])


def test_the_altitude_gives_back_most_of_the_wind_that_a_steady_airspeed_takes() -> None:
    steady, traded, in_sd = [], [], []
    for seed in range(6):
        states, air, truth = lesson("phone", seed)
        inside = (states.time >= truth.maneuver.start) & (states.time <= truth.maneuver.end)
        during = truth.during(truth.maneuver.start, truth.maneuver.end)
        plain = np.hypot(states.wind_east[inside].mean(), states.wind_north[inside].mean())
        steady.append(np.hypot(truth.wind_east[during].mean(), truth.wind_north[during].mean()) - plain)
        off = error(air, truth)
        traded.append(np.hypot(*off))
        in_sd.append(off @ np.linalg.solve(air.covariance, off) / 2.0)
    # Derived: V = V₀ − w/3 over ground looks like a steady airspeed in two thirds of the wind.
    assert np.mean(steady) == pytest.approx(WIND / 3.0, abs=2.2 * knot)
    assert np.mean(traded) < 0.6 * np.mean(steady)
    assert np.mean(in_sd) < 2.0  # of a covariance that holds, 1


def test_recorded_airspeed_is_used_as_it_is() -> None:
    states, air, truth = lesson("avionics", 1)
    assert np.hypot(*error(air, truth)) < 1.0 * knot
    inside = np.flatnonzero((states.time >= truth.maneuver.start) & (states.time <= truth.maneuver.end))
    assert np.array_equal(air.airspeed, states.true_airspeed[inside])


def test_a_given_wind_is_used_as_it_is() -> None:
    _, air, _ = lesson("phone", 1, wind=(3.0, -4.0))
    assert air.wind_east == pytest.approx(3.0, abs=0.01)
    assert air.wind_north == pytest.approx(-4.0, abs=0.01)
