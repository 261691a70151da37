from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundref.errors import NoSolutionError
from groundref.mechanics import limits, turn
from tests.mechanics.given import ROUNDING, banks

stall_speeds = st.floats(15.0, 50.0)
ratios = st.floats(1.0, 3.0)  # airspeed over stall speed
load_factors = st.floats(1.0, 6.0)


@given(stall_speeds, ratios)
def test_there_is_no_margin_at_the_bank_of_the_stall(stall_speed: float, ratio: float) -> None:
    airspeed = ratio * stall_speed
    bank = limits.bank_at_stall(airspeed, stall_speed)
    assert limits.stall_margin(airspeed, stall_speed, bank) == pytest.approx(0.0, abs=1e-6)
    assert turn.load_factor(bank) == pytest.approx(
        float(limits.load_factor_at_stall(airspeed, stall_speed)), rel=ROUNDING
    )


@given(stall_speeds, banks)
def test_the_margin_falls_with_bank(stall_speed: float, bank: float) -> None:
    level, banked = limits.stall_margin(60.0, stall_speed, np.array([0.0, bank]))
    assert level == pytest.approx(60.0 - stall_speed)
    assert banked < level
    assert limits.stall_margin(60.0, stall_speed, -bank) == banked


@given(stall_speeds, ratios, load_factors)
def test_what_comes_first(stall_speed: float, ratio: float, limit: float) -> None:
    airspeed = ratio * stall_speed
    bank, stalls_first = limits.greatest_bank(airspeed, stall_speed, limit)
    assert turn.load_factor(bank) <= limit * (1 + ROUNDING)
    assert limits.stall_margin(airspeed, stall_speed, bank) >= -1e-6
    both = float(limits.speed_of_both(stall_speed, limit))
    if abs(airspeed - both) > 1e-6:
        assert bool(stalls_first) == (airspeed < both)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: limits.bank_at_stall(20.0, 25.0), "below the stall speed"),
        (lambda: limits.greatest_bank(np.array([30.0, 20.0]), 25.0, 3.8), "below the stall speed"),
        (lambda: limits.bank_at_load_factor(0.9), "below 1"),
        (lambda: limits.stall_margin(40.0, 25.0, 1.6), "90°"),
    ],
)
def test_what_no_level_turn_has_is_refused(call: object, said: str) -> None:
    assert callable(call)
    with pytest.raises(NoSolutionError, match=said):
        call()


def test_shapes_broadcast_and_nan_passes() -> None:
    bank, first = limits.greatest_bank(np.array([[40.0], [np.nan]]), np.array([20.0, 25.0, 30.0]), 3.8)
    assert bank.shape == first.shape == (2, 3)
    assert np.isnan(bank[1]).all()
    assert not first[1].any()
