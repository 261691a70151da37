from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundref import angles, units

any_angles = st.floats(-1000.0, 1000.0)

# 1,000 rad carries about thirteen digits after the turns are taken off.
ROUNDING = 1e-11


@pytest.mark.parametrize(
    ("unit", "exact"),
    [
        (units.knot, 1852 / 3600),  # BIPM, The International System of Units: 1 nautical mile = 1,852 m
        (units.foot, 0.3048),  # NIST SP 811 (2008), appendix B, exact
        (units.statute_mile, 1609.344),  # NIST SP 811, exact
        (units.inch_hg, 3386.389),  # NIST SP 811: 3.386 389 E+03
        (units.standard_gravity, 9.80665),  # NIST SP 811, exact
        (units.foot_per_minute, 0.00508),  # NIST SP 811: 5.08 E-03
        (units.mile_per_hour, 0.44704),  # NIST SP 811, exact
        (units.kilometre_per_hour, 1 / 3.6),
        (units.degree, 0.017453292519943295),
        (units.celsius_zero, 273.15),
    ],
)
def test_units(unit: float, exact: float) -> None:
    assert unit == pytest.approx(exact, rel=1e-15)


def test_standard_pressure_is_29_92_inches() -> None:
    assert 101_325 / units.inch_hg == pytest.approx(29.92, abs=0.005)
    assert 101_325 / units.hectopascal == 1013.25


@given(any_angles)
def test_wrap(angle: float) -> None:
    wrapped, signed = angles.wrap(angle), angles.wrap_signed(angle)
    assert 0.0 <= wrapped < 2 * np.pi
    assert -np.pi <= signed < np.pi
    for same in (wrapped, signed):
        assert (np.sin(same), np.cos(same)) == pytest.approx((np.sin(angle), np.cos(angle)), abs=ROUNDING)


def test_just_west_of_north_is_north_not_360() -> None:
    assert angles.wrap(-1e-20) == 0.0


@given(any_angles, any_angles)
def test_difference_is_the_short_way_round(to: float, start: float) -> None:
    turn = angles.difference(to, start)
    assert abs(turn) <= np.pi
    assert np.sin(start + turn) == pytest.approx(np.sin(to), abs=ROUNDING)
    assert np.cos(start + turn) == pytest.approx(np.cos(to), abs=ROUNDING)


def test_difference_is_clockwise_positive() -> None:
    assert angles.difference(np.radians(10), np.radians(350)) == pytest.approx(np.radians(20))
    assert angles.difference(np.radians(350), np.radians(10)) == pytest.approx(np.radians(-20))


@given(st.lists(st.floats(-3.0, 3.0), min_size=1, max_size=50))
def test_unwrap_recovers_a_continuous_angle(steps: list[float]) -> None:
    continuous = np.cumsum(steps)
    unwrapped = angles.unwrap(angles.wrap(continuous))
    assert np.diff(unwrapped) == pytest.approx(np.diff(continuous), abs=ROUNDING)


@given(any_angles, st.floats(0.0, 1.5))
def test_circular_mean_of_a_symmetric_pair(middle: float, spread: float) -> None:
    mean = angles.circular_mean([middle - spread, middle + spread])
    assert abs(angles.difference(mean, middle)) < 1e-9


@given(any_angles, st.floats(0.1, 100.0))
def test_direction_of(direction: float, size: float) -> None:
    found = angles.direction_of(size * np.sin(direction), size * np.cos(direction))
    assert abs(angles.difference(found, direction)) < ROUNDING
    assert 0.0 <= found < 2 * np.pi


def test_directions_of_the_compass() -> None:
    east, north = np.array([0.0, 1.0, 0.0, -1.0]), np.array([1.0, 0.0, -1.0, 0.0])
    assert angles.direction_of(east, north) == pytest.approx(np.radians([0, 90, 180, 270]))
