from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundref.errors import NoSolutionError
from groundref.mechanics.mass import speed_at_mass
from groundref.units import standard_gravity
from tests.mechanics.given import ROUNDING, airspeeds

masses = st.floats(300.0, 3000.0)


@given(airspeeds, masses, masses)
def test_the_lift_coefficient_stays(speed: float, reference: float, mass: float) -> None:
    def coefficient(at: float, weight: float) -> float:
        return weight * standard_gravity / (0.5 * 1.225 * at**2 * 16.0)

    there = float(speed_at_mass(speed, reference, mass))
    assert coefficient(there, mass) == pytest.approx(coefficient(speed, reference), rel=ROUNDING)


@given(airspeeds, masses, masses, masses)
def test_one_step_is_as_good_as_two(speed: float, first: float, second: float, third: float) -> None:
    two = speed_at_mass(speed_at_mass(speed, first, second), second, third)
    assert two == pytest.approx(speed_at_mass(speed, first, third), rel=ROUNDING)


def test_the_speed_of_least_drag_follows_the_law_and_its_glide_ratio_stays() -> None:
    # A parabolic polar, C_D = 0.03 + 0.06 C_L², searched for its best L/D without the law.
    speeds = np.linspace(15.0, 60.0, 450_001)

    def best(mass: float) -> tuple[float, float]:
        lift = mass * standard_gravity / (0.5 * 1.225 * speeds**2 * 16.0)
        ratio = lift / (0.03 + 0.06 * lift**2)
        return float(speeds[ratio.argmax()]), float(ratio.max())

    (heavy, ratio), (light, same) = best(1050.0), best(800.0)
    assert light == pytest.approx(float(speed_at_mass(heavy, 1050.0, 800.0)), abs=2e-3)
    assert same == pytest.approx(ratio, rel=1e-6)


@pytest.mark.parametrize("masses", [(0.0, 900.0), (900.0, 0.0), (900.0, np.array([800.0, -1.0]))])
def test_a_mass_is_positive(masses: tuple[float, float]) -> None:
    with pytest.raises(NoSolutionError, match="not positive"):
        speed_at_mass(30.0, *masses)


def test_shapes_broadcast_and_nan_passes() -> None:
    speeds = speed_at_mass(np.array([[30.0], [np.nan]]), 1000.0, np.array([800.0, 900.0, 1000.0]))
    assert speeds.shape == (2, 3)
    assert speeds[0, 2] == 30.0
    assert np.isnan(speeds[1]).all()
