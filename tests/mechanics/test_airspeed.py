from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundref.errors import NoSolutionError
from groundref.mechanics import airspeed, atmosphere
from groundref.units import celsius_zero, knot
from tests.mechanics.given import airspeeds

low_altitudes = st.floats(-300.0, 6000.0)
temperatures = st.floats(celsius_zero - 40, celsius_zero + 45)

# The impact pressure of a slow airplane is 1/200 of the static pressure, which costs two or three digits.
ROUNDING = 1e-11


@given(airspeeds, low_altitudes, temperatures)
def test_calibrated_and_true_round_trip(speed: float, altitude: float, temperature: float) -> None:
    true = airspeed.true_airspeed(speed, altitude, temperature)
    assert airspeed.calibrated_airspeed(true, altitude, temperature) == pytest.approx(speed, rel=ROUNDING)


@given(airspeeds)
def test_all_three_agree_at_sea_level_in_standard_air(speed: float) -> None:
    assert airspeed.true_airspeed(speed, 0.0) == pytest.approx(speed, rel=ROUNDING)
    assert airspeed.calibrated_airspeed(speed, 0.0) == pytest.approx(speed, rel=ROUNDING)
    assert airspeed.equivalent_airspeed(speed, 0.0) == pytest.approx(speed, rel=ROUNDING)


@given(airspeeds, st.floats(10.0, 6000.0))
def test_compressibility_makes_calibrated_the_larger(true: float, altitude: float) -> None:
    calibrated = airspeed.calibrated_airspeed(true, altitude)
    equivalent = airspeed.equivalent_airspeed(true, altitude)
    assert equivalent < calibrated * (1 + ROUNDING)
    assert calibrated < true * (1 + ROUNDING)
    # Expanding q in powers of M²: CAS/EAS ≈ 1 + ⅛ (1 − p/p₀) M² to first order.
    mach = true / atmosphere.speed_of_sound(atmosphere.temperature(altitude))
    share = 1 - atmosphere.pressure(altitude) / atmosphere.sea_level_pressure
    assert calibrated / equivalent - 1 == pytest.approx(share * mach**2 / 8, abs=0.1 * mach**4)


@given(airspeeds, low_altitudes)
def test_slow_airplane_feels_half_rho_v_squared(speed: float, altitude: float) -> None:
    equivalent = airspeed.equivalent_airspeed(speed, altitude)
    half_rho = 0.5 * atmosphere.density(altitude) * speed**2
    assert half_rho == pytest.approx(0.5 * atmosphere.sea_level_density * equivalent**2)
    # q = ½ρV² (1 + M²/4 + M⁴/40 + …) at sea level.
    mach = speed / atmosphere.speed_of_sound(atmosphere.sea_level_temperature)
    dynamic = 0.5 * atmosphere.sea_level_density * speed**2
    assert airspeed.impact_pressure(speed) == pytest.approx(
        dynamic * (1 + mach**2 / 4 + mach**4 / 40), rel=mach**6 / 1000 + 1e-9
    )


@given(airspeeds, low_altitudes, temperatures)
def test_true_airspeed_goes_with_the_root_of_temperature(
    speed: float, altitude: float, temperature: float
) -> None:
    standard = atmosphere.temperature(altitude)
    ratio = airspeed.true_airspeed(speed, altitude, temperature) / airspeed.true_airspeed(speed, altitude)
    assert ratio == pytest.approx(np.sqrt(temperature / standard))


def test_supersonic_and_negative_are_refused() -> None:
    for call in (
        lambda: airspeed.impact_pressure(700 * knot),
        lambda: airspeed.true_airspeed(600 * knot, 10_000.0),
        lambda: airspeed.calibrated_airspeed(-1.0, 0.0),
    ):
        with pytest.raises(NoSolutionError, match="negative or supersonic"):
            call()


def test_shapes_broadcast_and_nan_passes() -> None:
    altitude = np.array([[0.0], [1000.0], [np.nan]])
    speed = np.array([40.0, 50.0])
    for function in (airspeed.true_airspeed, airspeed.calibrated_airspeed, airspeed.equivalent_airspeed):
        result = function(speed, altitude, 280.0)
        assert result.shape == (3, 2)
        assert np.isnan(result[2]).all()
    assert np.shape(airspeed.true_airspeed(40.0, 100.0)) == ()
