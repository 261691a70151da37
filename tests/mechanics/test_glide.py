from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from groundref.errors import NoSolutionError
from groundref.mechanics import glide, turn
from groundref.units import degree, foot, knot
from tests.mechanics.flying import GRAVITY, glide_in_space
from tests.mechanics.given import ROUNDING, airspeeds, angles, banks, directions, wind_fractions

ratios = st.floats(5.0, 40.0)
turns = st.floats(10 * degree, 720 * degree)


def test_height_lost_in_half_a_turn() -> None:
    # Flat-glide values for 65 kt and a glide ratio of 9, computed apart from this code and printed in whole
    # feet. They put tan γ for sin γ; dividing ours by cos γ does the same.
    bank = np.array([20.0, 30.0, 45.0, 60.0]) * degree
    flat = np.cos(glide.glide_angle(9.0, bank))
    held = glide.height_lost(np.pi, 65 * knot, bank, 9.0) / flat / foot
    assert held == pytest.approx([382, 261, 185, 151], abs=0.5)
    # At fixed lift coefficient the flat glide also leaves cos γ / cos γ₀ out of V².
    straight = np.cos(glide.glide_angle(9.0))
    fixed = glide.height_lost_at_fixed_lift(np.pi, 65 * knot, bank, 9.0) / flat**2 * straight / foot
    assert fixed == pytest.approx([406, 302, 261, 302], abs=0.5)


@pytest.mark.parametrize("bank_deg", [-20.0, 30.0, 45.0, 60.0])
def test_a_glide_flown_in_space_loses_this_height(bank_deg: float) -> None:
    # Forces only: lift and drag per mass held constant, direction and speed left to the motion.
    speed, ratio, bank = 33.0, 9.0, bank_deg * degree
    angle = glide.glide_angle(ratio, bank)
    lift = float(glide.load_factor(bank, angle)) * GRAVITY
    duration = float(glide.time_in_turn(np.pi, speed, bank))
    start = speed * np.array([0.0, np.cos(angle), -np.sin(angle)])
    flown = glide_in_space(start, bank, lift, lift / ratio, duration)
    assert np.linalg.norm(flown[3:]) == pytest.approx(speed, rel=1e-8)  # steady
    assert flown[3:5] == pytest.approx(-start[:2], abs=1e-6)  # turned half round
    assert -flown[2] == pytest.approx(glide.height_lost(np.pi, speed, bank, ratio), rel=1e-8)


def test_bank_of_least_loss_and_the_published_formula() -> None:
    ratio = 1 / 0.116
    ours = minimize_scalar(
        lambda bank: float(glide.height_lost_at_fixed_lift(np.pi, 33.0, bank, ratio)),
        bounds=(0.3, 1.3),
        method="bounded",
        options={"xatol": 1e-8},
    ).x
    assert glide.bank_of_least_loss(ratio) == pytest.approx(ours, abs=1e-6)
    # J. Lowry, as quoted (read in a copy): cos φ = √((1 − k²)/2), 45.4° at k = 0.116. That is the least
    # value of sin γ / sin φ, our loss with the cos γ of the rate of turn left out.
    quoted = minimize_scalar(
        lambda bank: float(
            glide.height_lost_at_fixed_lift(np.pi, 33.0, bank, ratio) / np.cos(glide.glide_angle(ratio, bank))
        ),
        bounds=(0.3, 1.3),
        method="bounded",
        options={"xatol": 1e-8},
    ).x
    assert quoted == pytest.approx(np.arccos(np.sqrt((1 - 0.116**2) / 2)), abs=1e-6)
    assert quoted / degree == pytest.approx(45.4, abs=0.05)


def test_flat_glide_loses_least_at_45_degrees() -> None:
    # D. Rogers and J. Lowry, read in secondary copies: 45° for a flat glide.
    assert glide.bank_of_least_loss(1e6) / degree == pytest.approx(45.0, abs=1e-6)


@given(airspeeds, banks, ratios, turns, directions)
def test_either_side_and_in_proportion(
    speed: float, bank: float, ratio: float, change: float, direction: float
) -> None:
    lost = glide.height_lost(change, speed, bank, ratio)
    assert glide.height_lost(direction * change, speed, direction * bank, ratio) == lost
    assert glide.height_lost(2 * change, speed, bank, ratio) == pytest.approx(2 * lost)
    assert glide.height_lost(change, 2 * speed, bank, ratio) == pytest.approx(4 * lost)


@given(airspeeds, banks, ratios)
def test_forces_balance_and_lift_coefficient_is_kept(speed: float, bank: float, ratio: float) -> None:
    angle = glide.glide_angle(ratio, bank)
    lift = glide.load_factor(bank, angle)
    assert lift * np.cos(bank) == pytest.approx(np.cos(angle))
    assert lift / ratio == pytest.approx(np.sin(angle))
    straight = glide.load_factor(0.0, glide.glide_angle(ratio))
    faster = glide.speed_at_fixed_lift(speed, bank, ratio)
    assert lift / faster**2 == pytest.approx(straight / speed**2)
    assert lift < turn.load_factor(bank)


@given(st.floats(100.0, 1500.0), ratios, airspeeds)
def test_reach_in_still_air_is_height_times_glide_ratio(height: float, ratio: float, speed: float) -> None:
    assert glide.reach(height, ratio, speed, 0.0, 0.0) == pytest.approx(height * ratio, rel=ROUNDING)


@given(ratios, airspeeds, wind_fractions, angles)
def test_reach_in_wind(ratio: float, speed: float, fraction: float, angle: float) -> None:
    # Straight into or down the wind: still-air reach plus the way of the air while gliding.
    wind = 0.9 * fraction * speed
    lasting = 300.0 / (speed * np.sin(glide.glide_angle(ratio)))
    assert glide.reach(300.0, ratio, speed, wind, 0.0) == pytest.approx(300 * ratio + wind * lasting)
    assert glide.reach(300.0, ratio, speed, wind, np.pi) == pytest.approx(300 * ratio - wind * lasting)
    # To first order height times glide ratio times ground speed over airspeed; the rest is V cos γ for V.
    flat = 1 / np.cos(glide.glide_angle(ratio)) - 1
    first_order = 300 * ratio * (1 + wind / speed)
    assert glide.reach(300.0, ratio, speed, wind, 0.0) == pytest.approx(first_order, rel=flat + ROUNDING)
    there = glide.reach(300.0, ratio, speed, wind, angle)
    assert 300 * ratio - wind * lasting - 1e-6 <= there <= 300 * ratio + wind * lasting + 1e-6


def test_impossible_glides_are_refused() -> None:
    with pytest.raises(NoSolutionError, match="glide ratio is not positive"):
        glide.glide_angle(0.0)
    with pytest.raises(NoSolutionError, match="90°"):
        glide.height_lost(np.pi, 30.0, 0.5 * np.pi, 9.0)
    with pytest.raises(NoSolutionError, match=r"2\.83"):
        glide.bank_of_least_loss(2.5)
    with pytest.raises(NoSolutionError, match="not less than the true airspeed"):
        glide.reach(300.0, 9.0, 30.0, 31.0, np.pi)


def test_shapes_broadcast() -> None:
    bank, speed = np.array([[0.3], [0.6]]), np.array([30.0, 35.0, 40.0])
    assert glide.height_lost(np.pi, speed, bank, 9.0).shape == (2, 3)
    assert glide.height_lost_at_fixed_lift(np.pi, speed, bank, 9.0).shape == (2, 3)
    assert glide.time_in_turn(np.pi, speed, 0.0).shape == (3,)
    assert np.shape(glide.reach(300.0, 9.0, 30.0, 5.0, 0.0)) == ()
