"""Growth of wind with height: against quadrature, against each other, and at the edges."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from groundref.errors import NoSolutionError
from groundref.mechanics.wind_profile import (
    TERRAIN,
    local_exponent,
    log_law,
    power_law,
    wind_between,
)
from groundref.mechanics.wind_triangle import wind_components


@pytest.mark.parametrize("name", TERRAIN)
def test_the_log_law_is_the_integral_of_its_shear(name: str) -> None:
    """dU/dz = (u*/κ)/z from the roughness up, where U is zero."""
    roughness = TERRAIN[name].roughness
    at_10 = quad(lambda z: 1.0 / z, roughness, 10.0)[0]
    for height in (2.5, 10.0, 80.0, 300.0):
        ratio = quad(lambda z: 1.0 / z, roughness, height)[0] / at_10
        assert float(log_law(7.0, height, roughness)) == pytest.approx(7.0 * ratio, rel=1e-7)


@given(height=st.floats(5.0, 500.0), roughness=st.floats(1e-4, 2.0))
def test_the_local_exponent_is_the_slope_of_the_log_law(height: float, roughness: float) -> None:
    low, high = height * 0.999, height * 1.001
    slope = np.log(log_law(1.0, high, roughness) / log_law(1.0, low, roughness)) / np.log(high / low)
    assert float(slope) == pytest.approx(float(local_exponent(height, roughness)), rel=1e-5)


def test_exponent_and_roughness_of_a_terrain_belong_together() -> None:
    """To 1,000 ft the two laws differ by less than an eighth, over rougher ground both give more."""
    grown = [
        (float(power_law(1.0, 304.8, ground.exponent)), float(log_law(1.0, 304.8, ground.roughness)))
        for ground in TERRAIN.values()
    ]
    assert all(1.0 < power / log < 1.125 for power, log in grown)
    assert grown == sorted(grown)
    assert [name for name in TERRAIN if not TERRAIN[name].ground] == []


@given(speed=st.floats(0.0, 50.0), height=st.floats(10.0, 600.0))
def test_nothing_changes_at_the_height_measured_and_nothing_falls_above(speed: float, height: float) -> None:
    for ground in TERRAIN.values():
        for law, shape in ((power_law, ground.exponent), (log_law, ground.roughness)):
            assert float(law(speed, 10.0, shape)) == pytest.approx(speed)
            assert float(law(speed, height, shape)) >= speed * (1 - 1e-12)


def test_arrays_and_numbers_that_are_none() -> None:
    heights = np.array([10.0, 100.0, np.nan])
    assert power_law(5.0, heights, 0.2).shape == (3,)
    assert np.isnan(log_law(5.0, heights, 0.03)[2])


@pytest.mark.parametrize(
    ("law", "height", "shape"), [(power_law, 0.0, 0.2), (log_law, 0.02, 0.03), (log_law, 10.0, 0.0)]
)
def test_no_wind_below_the_ground(law: Callable[..., object], height: float, shape: float) -> None:
    with pytest.raises(NoSolutionError, match="is not above"):
        law(5.0, height, shape)


def test_between_two_winds_across_north() -> None:
    """Half way between 350° and 010° is 360°, a little weaker than either: cos 10°."""
    speed, direction = wind_between((0.0, 10.0, np.radians(350)), (100.0, 10.0, np.radians(10)), 50.0)
    assert float(speed) == pytest.approx(10.0 * np.cos(np.radians(10)))
    assert float(np.cos(direction)) == pytest.approx(1.0)


def test_opposite_winds_cancel() -> None:
    speed, _ = wind_between((0.0, 8.0, 0.0), (100.0, 8.0, np.pi), 50.0)
    assert float(speed) == pytest.approx(0.0, abs=1e-12)


@given(
    low=st.tuples(st.floats(0, 300), st.floats(0, 40), st.floats(0, 6.28)),
    above=st.tuples(st.floats(1, 3000), st.floats(0, 40), st.floats(0, 6.28)),
    share=st.floats(0, 1),
)
def test_components_change_evenly(
    low: tuple[float, float, float], above: tuple[float, float, float], share: float
) -> None:
    high = (low[0] + above[0], above[1], above[2])
    wanted = min(low[0] + share * above[0], high[0])
    speed, direction = wind_between(low, high, wanted)
    for got, start, end in zip(
        wind_components(speed, direction), wind_components(*low[1:]), wind_components(*high[1:]), strict=True
    ):
        assert float(got) == pytest.approx(float(start + share * (end - start)), abs=1e-6)


@pytest.mark.parametrize(("height", "top"), [(5.0, 100.0), (101.0, 100.0), (10.0, 10.0)])
def test_nothing_is_carried_beyond_the_two(height: float, top: float) -> None:
    with pytest.raises(NoSolutionError, match="does not lie between"):
        wind_between((10.0, 5.0, 0.0), (top, 5.0, 0.0), height)
