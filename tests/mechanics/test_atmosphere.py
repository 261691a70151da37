from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from groundref.errors import NoSolutionError
from groundref.mechanics import atmosphere
from groundref.units import celsius_zero, foot, hectopascal, inch_hg

altitudes = st.floats(-4900.0, 19_900.0)
low_altitudes = st.floats(-300.0, 4000.0)
settings = st.floats(950.0, 1050.0).map(lambda hpa: hpa * hectopascal)
temperatures = st.floats(celsius_zero - 40, celsius_zero + 45)

# Powers and logarithms of nearly equal numbers leave about ten of a float's sixteen digits.
ROUNDING = 1e-6  # [m]

# The weather service's formula has 145,366.45 ft for T₀/L = 145,442.2 ft (0.052 % low) and the exponent
# 0.190284 for 0.190263 (0.011 % high): together 0.041 % low. The rest is the exponent's curvature.
FORMULA_LOW, FORMULA_REST = 0.00041, 1e-5


def test_pressure_is_the_weight_of_the_air_above() -> None:
    # Hydrostatic balance integrated numerically from sea level through the tropopause.
    def slope(altitude: float, pressure: np.ndarray) -> np.ndarray:
        return -9.80665 * pressure / (287.05287 * atmosphere.temperature(altitude))

    heights = np.linspace(0.0, 20_000.0, 41)
    weighed = solve_ivp(
        slope, (0.0, 20_000.0), [101_325.0], t_eval=heights, rtol=1e-10, atol=1e-6, max_step=500.0
    )
    assert atmosphere.pressure(heights) == pytest.approx(weighed.y[0], rel=1e-7)


@given(altitudes)
def test_pressure_altitude_inverts_pressure(altitude: float) -> None:
    assert atmosphere.pressure_altitude(atmosphere.pressure(altitude)) == pytest.approx(
        altitude, abs=ROUNDING
    )


@given(altitudes)
def test_density_altitude_of_standard_air_is_the_altitude(altitude: float) -> None:
    standard = atmosphere.temperature(altitude)
    assert atmosphere.density_altitude(altitude, standard) == pytest.approx(altitude, abs=ROUNDING)


@given(low_altitudes, temperatures)
def test_density_altitude_is_where_standard_air_is_as_dense(altitude: float, temperature: float) -> None:
    actual = atmosphere.air_density(atmosphere.pressure(altitude), temperature)
    there = atmosphere.density_altitude(altitude, temperature)
    assert atmosphere.density(there) == pytest.approx(actual, rel=1e-10)
    assert (there > altitude) == (temperature > atmosphere.temperature(altitude))


@given(low_altitudes, settings)
def test_altimeter_round_trip(indicated: float, setting: float) -> None:
    flown = atmosphere.pressure_altitude_from_indicated(indicated, setting)
    assert atmosphere.indicated_altitude(flown, setting) == pytest.approx(indicated, abs=ROUNDING)


@given(st.floats(0.0, 3000.0), settings)
def test_altimeter_setting_is_the_one_weather_services_report(elevation: float, setting: float) -> None:
    # The altimeter equation solved for the pressure on the field: setting^k = p^k + (p₀^k L/T₀) h, k = RL/g.
    k = 287.05287 * 0.0065 / 9.80665
    pressure = (setting**k - 101_325.0**k * 0.0065 / 288.15 * elevation) ** (1 / k)
    flown = atmosphere.pressure_altitude(pressure)
    assert atmosphere.indicated_altitude(flown, setting) == pytest.approx(elevation, abs=ROUNDING)


@pytest.mark.parametrize("pressure_hpa", [700.0, 850.0, 950.0, 1013.25, 1040.0])
def test_weather_service_formula_for_pressure_altitude(pressure_hpa: float) -> None:
    # National Weather Service, pressure altitude in feet: (1 − (p/1013.25)^0.190284) · 145,366.45; formula
    # from memory.
    printed = (1 - (pressure_hpa / 1013.25) ** 0.190284) * 145_366.45 * foot
    ours = atmosphere.pressure_altitude(pressure_hpa * hectopascal)
    assert ours == pytest.approx(printed * (1 + FORMULA_LOW), rel=FORMULA_REST, abs=ROUNDING)


def test_standard_setting_changes_nothing() -> None:
    standard = atmosphere.sea_level_pressure
    assert atmosphere.pressure_altitude_from_indicated(1000.0, standard) == pytest.approx(1000.0)
    # 29.92 inHg, as set in practice, is the standard setting rounded: within two feet.
    assert atmosphere.pressure_altitude(29.92 * inch_hg) == pytest.approx(0.0, abs=2 * foot)


def test_no_step_at_the_tropopause() -> None:
    around = np.array([10_999.999, 11_000.001])
    for quantity in (atmosphere.temperature, atmosphere.pressure, atmosphere.density):
        below, above = quantity(around)
        assert above == pytest.approx(below, rel=1e-6)


@pytest.mark.parametrize("altitude", [-5001.0, 20_001.0])
def test_altitude_outside_is_refused(altitude: float) -> None:
    for function in (atmosphere.temperature, atmosphere.pressure, atmosphere.density):
        with pytest.raises(NoSolutionError, match="outside the standard atmosphere"):
            function(altitude)
    with pytest.raises(NoSolutionError, match="outside the standard atmosphere"):
        atmosphere.pressure_altitude(5000.0)


def test_impossible_air_is_refused() -> None:
    with pytest.raises(NoSolutionError, match="pressure is not positive"):
        atmosphere.pressure_altitude(0.0)
    with pytest.raises(NoSolutionError, match="temperature is not positive"):
        atmosphere.density_altitude(0.0, -5.0)


def test_shapes_broadcast_and_nan_passes() -> None:
    altitude = np.array([[0.0], [12_000.0], [np.nan]])
    assert atmosphere.pressure(altitude).shape == (3, 1)
    result = atmosphere.density_altitude(altitude, np.array([250.0, 280.0]))
    assert result.shape == (3, 2)
    assert np.isnan(result[2]).all()
    assert np.isfinite(result[:2]).all()
    assert np.shape(atmosphere.pressure(100.0)) == ()
