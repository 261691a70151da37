"""Simulated circuits of an airport."""

from __future__ import annotations

from dataclasses import replace
from math import radians

import numpy as np
import pytest

from groundref.errors import UsageError
from groundref.simulation import Truth, compose
from groundref.simulation.circuits import Circuits, Runway
from groundref.simulation.wind_field import Weather
from groundref.units import foot, knot, nautical_mile

RUNWAY = Runway(200.0, -100.0, radians(250))
WEATHER = Weather.blowing(12 * knot, radians(220), height=1000 * foot)
CIRCUITS = Circuits(RUNWAY, WEATHER, 85 * knot, times=2)


def flown(circuits: Circuits) -> Truth:
    return compose(circuits.legs(), RUNWAY.lined_up(), weather=WEATHER, unsteadiness=0.0)[1]


def right_of_runway(truth: Truth) -> np.ndarray:
    east, north = truth.east - RUNWAY.east, truth.north - RUNWAY.north
    return np.asarray(east * np.cos(RUNWAY.bearing) - north * np.sin(RUNWAY.bearing))


@pytest.mark.parametrize("side", [-1.0, 1.0])
def test_the_downwind_leg_lies_where_it_should(side: float) -> None:
    truth = flown(replace(CIRCUITS, side=side, times=1))
    downwind = np.cos(truth.track - RUNWAY.bearing) < -0.99
    assert np.median(side * right_of_runway(truth)[downwind]) == pytest.approx(0.75 * nautical_mile, abs=40.0)
    assert np.max(truth.height) == pytest.approx(1000 * foot, abs=15.0)


def test_a_touch_and_go_touches_and_flies_on() -> None:
    truth = flown(CIRCUITS)
    touched = truth.on_ground & (truth.time > 100.0)
    first = int(np.argmax(touched))
    again = truth.time > truth.time[first] + 60.0
    assert truth.height[again].max() > 900 * foot
    assert truth.ground_speed[first : first + 100].min() > 15 * knot


def test_a_low_approach_stays_in_the_air_and_low() -> None:
    truth = flown(replace(CIRCUITS, ending="low-approach"))
    later = truth.time > 60.0
    assert not truth.on_ground[later].any()
    assert truth.height[later].min() == pytest.approx(80 * foot, abs=10.0)


def test_a_full_stop_stops_on_the_ground() -> None:
    truth = flown(replace(CIRCUITS, ending="full-stop", times=1))
    assert truth.on_ground[-1]
    assert truth.ground_speed[-1] < 12 * knot


def test_an_overshoot_of_final_is_about_as_large_as_asked_for() -> None:
    for asked in (0.0, 100.0):
        truth = flown(replace(CIRCUITS, overshoot=asked, times=1))
        beyond = right_of_runway(truth)  # left-hand: beyond the centreline is to its right
        east, north = truth.east - RUNWAY.east, truth.north - RUNWAY.north
        along = east * np.sin(RUNWAY.bearing) + north * np.cos(RUNWAY.bearing)
        final = (along < -500.0) & (truth.time > 100.0)
        assert beyond[final].max() == pytest.approx(asked, abs=40.0)


def test_an_unknown_ending_is_refused() -> None:
    with pytest.raises(UsageError, match="belly"):
        replace(CIRCUITS, ending="belly").legs()
