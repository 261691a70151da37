"""Our standard atmosphere beside a general library's: the U.S. Standard Atmosphere, 1976, of `fluids`.

Up to 32 km that is the ICAO standard atmosphere. The library counts geometric altitude, ours is geopotential
as the ICAO's. Its gas constant, 287.053072, is 7 parts in 10⁷ above the ICAO's 287.05287; in a pressure that
adds up to as much times the logarithm of the pressure's ratio.
"""

from __future__ import annotations

from math import log

import pytest
from fluids.atmosphere import ATMOSPHERE_1976
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from groundref.mechanics import atmosphere
from groundref.units import celsius_zero

EARTH = 6_356_766.0  # [m], the radius of that standard
ROUNDED = 287.0530721 / 287.05287 - 1.0
EXACT = 1e-9

altitudes = st.floats(-4_900.0, 19_900.0)


def standard(altitude: float) -> ATMOSPHERE_1976:
    """Return the library's air at a geopotential altitude [m]."""
    return ATMOSPHERE_1976(EARTH * altitude / (EARTH - altitude))


@given(altitudes)
def test_temperature_pressure_density_and_sound(altitude: float) -> None:
    theirs = standard(altitude)
    apart = ROUNDED * abs(log(theirs.P / 101_325.0)) + EXACT
    assert atmosphere.temperature(altitude) == pytest.approx(theirs.T, rel=EXACT)
    assert atmosphere.pressure(altitude) == pytest.approx(theirs.P, rel=apart)
    assert atmosphere.density(altitude) == pytest.approx(theirs.rho, rel=apart + ROUNDED)
    assert atmosphere.speed_of_sound(theirs.T) == pytest.approx(theirs.v_sonic, rel=ROUNDED)


@given(altitudes)
def test_pressure_altitude(altitude: float) -> None:
    assert atmosphere.pressure_altitude(standard(altitude).P) == pytest.approx(altitude, abs=0.02)


@given(st.floats(-300.0, 4_500.0), st.floats(celsius_zero - 40.0, celsius_zero + 45.0))
def test_density_altitude(altitude: float, temperature: float) -> None:
    """Where the library's air is as dense, found by its own formulas and a general root finder."""
    here = standard(altitude)
    actual = here.rho * here.T / temperature
    there = brentq(lambda at: standard(at).rho - actual, -4_999.0, 15_000.0, xtol=1e-6)
    assert atmosphere.density_altitude(altitude, temperature) == pytest.approx(there, abs=0.05)
