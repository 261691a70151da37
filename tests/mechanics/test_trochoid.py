from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given

from groundref.mechanics import trochoid
from groundref.units import degree, knot
from tests.mechanics.flying import fly_level
from tests.mechanics.given import ROUNDING, airspeeds, angles, banks, directions, wind_fractions

# What the integrator leaves after a lap or two at a relative tolerance of 10⁻¹¹.
FLOWN = 1e-5  # [m]


@pytest.mark.parametrize(
    ("airspeed_kt", "wind_kt", "bank_deg"), [(90, 15, 30), (100, 20, -20), (100, 30, 45), (40, 60, 30)]
)
def test_path_and_drift_are_those_flown(airspeed_kt: float, wind_kt: float, bank_deg: float) -> None:
    airspeed, wind, bank = airspeed_kt * knot, wind_kt * knot, bank_deg * degree
    wind_east, wind_north = wind * np.sin(0.7), wind * np.cos(0.7)
    lap = float(trochoid.lap_time(airspeed, bank))
    times = np.linspace(0.0, lap, 50)
    east, north, _ = fly_level(airspeed, (wind_east, wind_north), 2.0, lambda _: bank, times)
    ours = trochoid.ground_path(airspeed, bank, 2.0, wind_east, wind_north, times)
    assert np.hypot(ours[0] - east, ours[1] - north).max() < FLOWN
    along = east[-1] * np.sin(0.7) + north[-1] * np.cos(0.7)
    across = east[-1] * np.cos(0.7) - north[-1] * np.sin(0.7)
    assert along == pytest.approx(trochoid.drift_per_lap(airspeed, wind, bank), abs=FLOWN)
    assert abs(across) < FLOWN


@given(airspeeds, banks, directions, angles)
def test_still_air_path_is_a_circle(airspeed: float, size: float, direction: float, heading: float) -> None:
    bank = direction * size
    times = np.linspace(0.0, trochoid.lap_time(airspeed, bank), 37)
    east, north = trochoid.ground_path(airspeed, bank, heading, 0.0, 0.0, times)
    radius = trochoid.air_radius(airspeed, bank)
    center_east, center_north = direction * radius * np.cos(heading), -direction * radius * np.sin(heading)
    distance = np.hypot(east - center_east, north - center_north)
    assert distance == pytest.approx(np.full(37, radius), rel=ROUNDING)
    assert trochoid.drift_per_lap(airspeed, 0.0, bank) == 0.0


@given(airspeeds, wind_fractions, banks, angles)
def test_turning_wind_and_heading_together_turns_the_path(
    airspeed: float, fraction: float, bank: float, turned: float
) -> None:
    wind, time = fraction * airspeed, 20.0
    east, north = trochoid.ground_path(airspeed, bank, 0.3, 0.0, wind, time)
    turned_east, turned_north = trochoid.ground_path(
        airspeed, bank, 0.3 + turned, wind * np.sin(turned), wind * np.cos(turned), time
    )
    assert turned_east == pytest.approx(east * np.cos(turned) + north * np.sin(turned), abs=1e-8 * airspeed)
    assert turned_north == pytest.approx(north * np.cos(turned) - east * np.sin(turned), abs=1e-8 * airspeed)


@given(airspeeds, banks, wind_fractions)
def test_left_mirrors_right(airspeed: float, bank: float, fraction: float) -> None:
    wind = fraction * airspeed
    right = trochoid.ground_path(airspeed, bank, 0.0, 0.0, wind, 15.0)
    left = trochoid.ground_path(airspeed, -bank, 0.0, 0.0, wind, 15.0)
    assert left == (-right[0], right[1])
    assert trochoid.lap_time(airspeed, -bank) == trochoid.lap_time(airspeed, bank)


def test_wings_level_is_a_straight_line() -> None:
    east, north = trochoid.ground_path(50.0, 0.0, 0.5 * np.pi, 0.0, 5.0, np.array([0.0, 10.0]))
    assert east == pytest.approx([0.0, 500.0])
    assert north == pytest.approx([0.0, 50.0])
    assert trochoid.lap_time(50.0, 0.0) == np.inf


def test_shapes_broadcast() -> None:
    bank, time = np.array([[0.2], [0.4]]), np.linspace(0.0, 30.0, 5)
    east, north = trochoid.ground_path(50.0, bank, 0.0, 3.0, 4.0, time)
    assert east.shape == north.shape == (2, 5)
    assert trochoid.drift_per_lap(50.0, np.ones(3), bank).shape == (2, 3)
