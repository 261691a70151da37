from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given

from groundref.errors import NoSolutionError
from groundref.mechanics import turn
from groundref.units import degree, minute
from tests.mechanics.flying import fly_level
from tests.mechanics.given import ROUNDING, airspeeds, banks, directions


@given(airspeeds, banks, directions)
def test_inverse_pairs(airspeed: float, size: float, direction: float) -> None:
    bank = direction * size
    radius, rate = turn.radius(airspeed, bank), turn.rate_of_turn(airspeed, bank)
    assert turn.bank_for_radius(airspeed, direction * radius) == pytest.approx(bank, rel=ROUNDING)
    assert turn.bank_for_rate(airspeed, rate) == pytest.approx(bank, rel=ROUNDING)
    assert turn.bank_from_acceleration(rate * airspeed) == pytest.approx(bank, rel=ROUNDING)
    assert radius * abs(rate) == pytest.approx(airspeed, rel=ROUNDING)


@given(airspeeds, banks)
def test_left_mirrors_right(airspeed: float, bank: float) -> None:
    assert turn.rate_of_turn(airspeed, -bank) == -turn.rate_of_turn(airspeed, bank)
    assert turn.radius(airspeed, -bank) == turn.radius(airspeed, bank)
    assert turn.load_factor(-bank) == turn.load_factor(bank)
    assert turn.stall_speed_in_turn(25.0, -bank) == turn.stall_speed_in_turn(25.0, bank)


@given(banks)
def test_forces_balance(bank: float) -> None:
    lift = turn.load_factor(bank)
    assert lift * np.cos(bank) == pytest.approx(1.0)
    assert turn.bank_from_acceleration(9.80665 * lift * np.sin(bank)) == pytest.approx(bank)
    assert turn.stall_speed_in_turn(25.0, bank) ** 2 == pytest.approx(625.0 * lift)


def test_a_flown_circle_has_this_radius_and_rate() -> None:
    airspeed, bank = 50.0, 33 * degree
    lap = float(2 * np.pi / turn.rate_of_turn(airspeed, bank))
    east, north, heading = fly_level(airspeed, (0.0, 0.0), 0.0, lambda _: bank, np.linspace(0, lap, 41))
    radius = turn.radius(airspeed, bank)
    assert np.hypot(east - radius, north) == pytest.approx(np.full(41, radius), abs=1e-6)
    assert heading[-1] == pytest.approx(2 * np.pi, abs=1e-9)


def test_standard_rate_is_a_full_turn_in_two_minutes() -> None:
    assert turn.standard_rate * 2 * minute == pytest.approx(2 * np.pi)
    assert turn.rate_of_turn(60.0, turn.standard_rate_bank(60.0)) == pytest.approx(3 * degree)


def test_wings_level() -> None:
    assert turn.radius(50.0, 0.0) == np.inf
    assert turn.rate_of_turn(50.0, 0.0) == 0.0
    assert turn.load_factor(0.0) == 1.0


@pytest.mark.parametrize("bank", [0.5 * np.pi, -2.0, np.array([0.1, 1.6])])
def test_a_level_turn_on_edge_is_refused(bank: float) -> None:
    for function in (turn.load_factor, lambda b: turn.radius(50.0, b), lambda b: turn.rate_of_turn(50.0, b)):
        with pytest.raises(NoSolutionError, match="90°"):
            function(bank)


def test_shapes_broadcast_and_nan_passes() -> None:
    speed, bank = np.array([[40.0], [np.nan]]), np.array([0.1, 0.2, 0.3])
    for function in (turn.radius, turn.rate_of_turn, turn.stall_speed_in_turn, turn.bank_for_radius):
        result = function(speed, bank)
        assert result.shape == (2, 3)
        assert np.isnan(result[1]).all()
    assert np.shape(turn.load_factor(0.3)) == ()
