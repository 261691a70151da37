"""Calibrated, equivalent and true airspeed, with compressibility.

Indicated airspeed becomes calibrated airspeed by the instrument's and the installation's error, which only
the airplane's handbook knows; from there on physics decides. Subsonic. Where no temperature is given, the
standard temperature of the pressure altitude is used. Numbers or arrays that broadcast together in, their
common shape out; NaN in, NaN out.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from groundref.errors import NoSolutionError
from groundref.mechanics import atmosphere

Floats = NDArray[np.float64]

half_gamma_minus_one: Final = 0.5 * (atmosphere.heat_capacity_ratio - 1.0)  # 0.2
exponent: Final = atmosphere.heat_capacity_ratio / (atmosphere.heat_capacity_ratio - 1.0)  # 3.5
sea_level_speed_of_sound: Final = float(
    atmosphere.speed_of_sound(atmosphere.sea_level_temperature)
)  # [m s⁻¹]


def _require_subsonic(mach: ArrayLike) -> Floats:
    """Return the Mach number as an array; ahead of a shock the equations here no longer hold."""
    number = np.asarray(mach, dtype=np.float64)
    if np.any((number < 0.0) | (number > 1.0)):
        raise NoSolutionError("an airspeed is negative or supersonic", "airspeed", "check its unit")
    return number


def _rise(mach: ArrayLike) -> Floats:
    """Return impact pressure over static pressure, (1 + (γ−1)/2 M²)^(γ/(γ−1)) − 1."""
    return np.expm1(exponent * np.log1p(half_gamma_minus_one * _require_subsonic(mach) ** 2))


def _mach(rise: ArrayLike) -> Floats:
    """Return the Mach number from impact pressure over static pressure: `_rise` inverted."""
    squared = np.expm1(np.log1p(np.asarray(rise, dtype=np.float64)) / exponent) / half_gamma_minus_one
    return _require_subsonic(np.sqrt(squared))


def _speed_of_sound(pressure_altitude: ArrayLike, temperature: ArrayLike | None) -> Floats:
    """Return the speed of sound at the given or else the standard temperature [m s⁻¹]."""
    kelvin = atmosphere.temperature(pressure_altitude) if temperature is None else temperature
    return atmosphere.speed_of_sound(kelvin)


def impact_pressure(calibrated_airspeed: ArrayLike) -> Floats:
    """Return the impact pressure that the airspeed indicator feels [Pa].

    Calibrated airspeed is defined by it at sea level in the standard atmosphere:
    q = p₀ [(1 + 0.2 (CAS/a₀)²)^3.5 − 1].

    Parameters
    ----------
    calibrated_airspeed
        [m s⁻¹]

    Raises
    ------
    NoSolutionError
        Where it is negative or above the speed of sound at sea level.

    Notes
    -----
    Source: isentropic flow brought to rest; definition of calibrated airspeed, e.g. W. Gracey, Measurement of
    Aircraft Speed and Altitude, NASA RP-1046 (1980), chapter 3 (chapter from memory).
    """
    ratio = np.asarray(calibrated_airspeed, dtype=np.float64) / sea_level_speed_of_sound
    return atmosphere.sea_level_pressure * _rise(ratio)


def true_airspeed(
    calibrated_airspeed: ArrayLike, pressure_altitude: ArrayLike, temperature: ArrayLike | None = None
) -> Floats:
    """Return true airspeed from calibrated airspeed [m s⁻¹].

    The impact pressure over the static pressure gives the Mach number, and that times the speed of sound
    the true airspeed.

    Parameters
    ----------
    calibrated_airspeed
        [m s⁻¹]
    pressure_altitude
        [m]
    temperature
        Outside air temperature; standard when None [K]

    Raises
    ------
    NoSolutionError
        Where an input is out of range or the flow supersonic.
    """
    mach = _mach(impact_pressure(calibrated_airspeed) / atmosphere.pressure(pressure_altitude))
    return mach * _speed_of_sound(pressure_altitude, temperature)


def calibrated_airspeed(
    true_airspeed: ArrayLike, pressure_altitude: ArrayLike, temperature: ArrayLike | None = None
) -> Floats:
    """Return calibrated airspeed from true airspeed: `true_airspeed` inverted [m s⁻¹].

    Parameters
    ----------
    true_airspeed
        [m s⁻¹]
    pressure_altitude
        [m]
    temperature
        Outside air temperature; standard when None [K]

    Raises
    ------
    NoSolutionError
        Where an input is out of range or the flow supersonic.
    """
    mach = np.asarray(true_airspeed, dtype=np.float64) / _speed_of_sound(pressure_altitude, temperature)
    impact = _rise(mach) * atmosphere.pressure(pressure_altitude)
    return _mach(impact / atmosphere.sea_level_pressure) * sea_level_speed_of_sound


def equivalent_airspeed(
    true_airspeed: ArrayLike, pressure_altitude: ArrayLike, temperature: ArrayLike | None = None
) -> Floats:
    """Return equivalent airspeed, the speed of the same ½ρV² at sea level, EAS = TAS √(ρ/ρ₀) [m s⁻¹].

    Parameters
    ----------
    true_airspeed
        [m s⁻¹]
    pressure_altitude
        [m]
    temperature
        Outside air temperature; standard when None [K]

    Raises
    ------
    NoSolutionError
        Where an input is out of range.
    """
    kelvin = atmosphere.temperature(pressure_altitude) if temperature is None else temperature
    density = atmosphere.air_density(atmosphere.pressure(pressure_altitude), kelvin)
    return np.asarray(true_airspeed, dtype=np.float64) * np.sqrt(density / atmosphere.sea_level_density)
