from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from groundref.errors import NoSolutionError
from groundref.mechanics import circle, steep, trochoid, turn
from groundref.units import degree, knot
from tests.mechanics.flying import fly_level
from tests.mechanics.given import ROUNDING, airspeeds, angles, banks, radii, wind_fractions


@given(airspeeds, banks, st.floats(5 * degree, 60 * degree))
def test_heading_while_rolling_against_quadrature(airspeed: float, bank: float, roll_rate: float) -> None:
    numeric, _ = quad(
        lambda time: float(turn.rate_of_turn(airspeed, roll_rate * time)), 0.0, bank / roll_rate
    )
    ours = steep.heading_while_rolling(airspeed, bank, roll_rate)
    assert ours == pytest.approx(numeric, rel=1e-8)
    assert steep.heading_while_rolling(airspeed, -bank, roll_rate) == ours


def test_half_the_bank_is_a_slow_roll_out() -> None:
    # Rolled out of 45° in 3 s at 100 kt the heading turns by 14°; the rule leads by 22.5°, room for a
    # roll out of almost 5 s. Both by hand: 57.3 · 9.80665 / (51.444 · 15) · ln √2 · 57.3.
    lead = steep.heading_while_rolling(100 * knot, 45 * degree, 15 * degree) / degree
    assert lead == pytest.approx(57.29578**2 * 9.80665 / (51.4444 * 15) * np.log(np.sqrt(2)), rel=1e-5)
    assert 3 * 22.5 / lead == pytest.approx(4.67, abs=0.01)


@given(airspeeds, wind_fractions, radii, angles)
def test_ground_radius_undoes_the_required_bank(
    airspeed: float, fraction: float, radius: float, position: float
) -> None:
    wind = fraction * airspeed
    speed = circle.ground_speed(airspeed, wind, position)
    crab = circle.crab(airspeed, wind, position, 1.0)
    bank = circle.required_bank(airspeed, wind, radius, position)
    assert steep.ground_radius(speed, crab, bank) == pytest.approx(radius, rel=ROUNDING)
    assert np.isinf(steep.ground_radius(speed, crab, 0.0))


def test_ground_radius_is_the_curvature_of_the_path_flown() -> None:
    airspeed, wind, bank = 100 * knot, 20 * knot, 45 * degree
    lap = float(trochoid.lap_time(airspeed, bank))
    times = np.linspace(0.0, lap, 4001)
    east, north, heading = fly_level(airspeed, (0.0, wind), 0.0, lambda _: bank, times)
    velocity = np.gradient(east, times), np.gradient(north, times)
    speed, track = np.hypot(*velocity), np.unwrap(np.arctan2(*velocity))
    radius = speed[2:-2] / np.gradient(track, times)[2:-2]
    ours = steep.ground_radius(speed, heading - track, bank)[2:-2]
    assert ours == pytest.approx(radius, rel=2e-5)
    least, greatest = steep.ground_radius_extremes(airspeed, wind, bank)
    assert (radius.min(), radius.max()) == pytest.approx((least, greatest), rel=2e-5)


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(NoSolutionError, match="90° of bank"):
        steep.heading_while_rolling(50.0, 90 * degree, 0.2)
    with pytest.raises(NoSolutionError, match="not less than the true airspeed"):
        steep.ground_radius_extremes(40.0, 40.0, 0.8)
