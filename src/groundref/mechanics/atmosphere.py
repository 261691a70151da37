"""The standard atmosphere to 20 km, and the pressure and density altitudes counted in it.

Altitudes are geopotential; below 3 km they differ from geometric ones by less than 0.05 %. Air is dry.
Numbers or arrays that broadcast together in, their common shape out; NaN in, NaN out.

Notes
-----
Source of constants and equations: Manual of the ICAO Standard Atmosphere, Doc 7488/3 (1993); the same values
as ISO 2533:1975 and, to 20 km, the U.S. Standard Atmosphere, 1976.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from groundref.errors import NoSolutionError
from groundref.units import standard_gravity

Floats = NDArray[np.float64]

sea_level_temperature: Final = 288.15  # [K]
sea_level_pressure: Final = 101325.0  # [Pa]
gas_constant: Final = 287.05287  # [J kg⁻¹ K⁻¹]  specific, dry air
heat_capacity_ratio: Final = 1.4
lapse_rate: Final = 0.0065  # [K m⁻¹]  fall of temperature with altitude in the troposphere
tropopause: Final = 11_000.0  # [m]
floor: Final = -5_000.0  # [m]  where the published atmosphere begins
ceiling: Final = 20_000.0  # [m]  where its second layer ends

sea_level_density: Final = sea_level_pressure / (gas_constant * sea_level_temperature)  # [kg m⁻³]
tropopause_temperature: Final = sea_level_temperature - lapse_rate * tropopause  # [K]
pressure_exponent: Final = standard_gravity / (gas_constant * lapse_rate)  # 5.25588
tropopause_pressure: Final = (
    sea_level_pressure * (tropopause_temperature / sea_level_temperature) ** pressure_exponent
)  # [Pa]
tropopause_density: Final = tropopause_pressure / (gas_constant * tropopause_temperature)  # [kg m⁻³]
scale_height: Final = gas_constant * tropopause_temperature / standard_gravity  # [m]  above the tropopause


def _require_altitude_in_range(altitude: ArrayLike) -> Floats:
    """Return the altitude as an array once it is known to lie within the two layers modelled."""
    height = np.asarray(altitude, dtype=np.float64)
    if np.any((height < floor) | (height > ceiling)):
        raise NoSolutionError(
            "an altitude lies outside the standard atmosphere from −5,000 m to 20,000 m",
            "altitude",
            "check its unit and datum",
        )
    return height


def _require_positive(quantity: ArrayLike, name: str) -> Floats:
    """Return a pressure, density or temperature as an array once it is known to be positive."""
    value = np.asarray(quantity, dtype=np.float64)
    if np.any(value <= 0.0):
        raise NoSolutionError(f"a {name} is not positive", name, "check its unit")
    return value


def temperature(altitude: ArrayLike) -> Floats:
    """Return the standard temperature, falling 6.5 K a kilometre to 11 km and constant above [K].

    Parameters
    ----------
    altitude
        H, pressure altitude, −5 to 20 km [m]

    Raises
    ------
    NoSolutionError
        Outside that range.
    """
    height = _require_altitude_in_range(altitude)
    return sea_level_temperature - lapse_rate * np.minimum(height, tropopause)


def pressure(altitude: ArrayLike) -> Floats:
    """Return the standard pressure [Pa].

    Hydrostatic balance dp = −ρg dH with p = ρRT gives p = p₀ (T/T₀)^(g/RL) in the troposphere and
    p = p₁₁ exp(−(H − H₁₁) g/RT₁₁) in the constant temperature above.

    Parameters
    ----------
    altitude
        H, −5 to 20 km [m]

    Raises
    ------
    NoSolutionError
        Outside that range.
    """
    height = _require_altitude_in_range(altitude)
    below = sea_level_pressure * (temperature(height) / sea_level_temperature) ** pressure_exponent
    return below * np.exp(-np.maximum(height - tropopause, 0.0) / scale_height)


def air_density(pressure: ArrayLike, temperature: ArrayLike) -> Floats:
    """Return the density of dry air, ρ = p/(RT) [kg m⁻³].

    Parameters
    ----------
    pressure
        p [Pa]
    temperature
        T [K]

    Raises
    ------
    NoSolutionError
        Where either is not positive.
    """
    kelvin = _require_positive(temperature, "temperature")
    return _require_positive(pressure, "pressure") / (gas_constant * kelvin)


def density(altitude: ArrayLike) -> Floats:
    """Return the standard density [kg m⁻³].

    Parameters
    ----------
    altitude
        H, −5 to 20 km [m]

    Raises
    ------
    NoSolutionError
        Outside that range.
    """
    return air_density(pressure(altitude), temperature(altitude))


def speed_of_sound(temperature: ArrayLike) -> Floats:
    """Return the speed of sound in dry air, a = √(γRT) [m s⁻¹].

    Parameters
    ----------
    temperature
        T [K]

    Raises
    ------
    NoSolutionError
        Where it is not positive.
    """
    return np.sqrt(heat_capacity_ratio * gas_constant * _require_positive(temperature, "temperature"))


def pressure_altitude(pressure: ArrayLike) -> Floats:
    """Return the altitude at which the standard atmosphere has this pressure, H with p(H) = p [m].

    Parameters
    ----------
    pressure
        p, static pressure [Pa]

    Raises
    ------
    NoSolutionError
        Where it is not positive, or belongs outside −5 to 20 km.
    """
    static = _require_positive(pressure, "pressure")
    ratio = np.maximum(static, tropopause_pressure) / sea_level_pressure
    below = sea_level_temperature / lapse_rate * (1.0 - ratio ** (1.0 / pressure_exponent))
    above = scale_height * np.log(tropopause_pressure / np.minimum(static, tropopause_pressure))
    return _require_altitude_in_range(below + above)


def pressure_altitude_from_indicated(indicated_altitude: ArrayLike, altimeter_setting: ArrayLike) -> Floats:
    """Return the pressure altitude where an altimeter shows an altitude, H = h + H(setting) [m].

    The setting turns the whole scale by the pressure altitude of the setting, so that the altimeter of an
    airplane on the field shows the field's elevation.

    Parameters
    ----------
    indicated_altitude
        h, free of instrument error [m]
    altimeter_setting
        Pressure set in the altimeter's window (QNH) [Pa]

    Raises
    ------
    NoSolutionError
        Where the setting is not positive.

    Notes
    -----
    Source: definition of the altimeter setting; identical to the weather services' altimeter equation
    setting^k = p^k + (p₀^k L/T₀) h with k = RL/g, as substitution of `pressure_altitude` shows.
    """
    return np.asarray(indicated_altitude, dtype=np.float64) + pressure_altitude(altimeter_setting)


def indicated_altitude(pressure_altitude_flown: ArrayLike, altimeter_setting: ArrayLike) -> Floats:
    """Return what an altimeter shows at a pressure altitude, h = H − H(setting) [m].

    At an airplane's own place this is its altitude above mean sea level to the extent that the air below
    has standard temperature.

    Parameters
    ----------
    pressure_altitude_flown
        H [m]
    altimeter_setting
        Pressure set in the altimeter's window (QNH) [Pa]

    Raises
    ------
    NoSolutionError
        Where the setting is not positive.
    """
    return np.asarray(pressure_altitude_flown, dtype=np.float64) - pressure_altitude(altimeter_setting)


def density_altitude(pressure_altitude_flown: ArrayLike, temperature: ArrayLike) -> Floats:
    """Return the altitude at which the standard atmosphere has this density, dry air [m].

    In the troposphere ρ/ρ₀ = (T/T₀)^(g/RL − 1), solved for H; above it density falls exponentially.
    Moisture, left out here, raises it further: by several hundred feet on a hot and humid day.

    Parameters
    ----------
    pressure_altitude_flown
        H [m]
    temperature
        Outside air temperature [K]

    Raises
    ------
    NoSolutionError
        Outside −5 to 20 km, or where the temperature is not positive.

    Notes
    -----
    Source: inversion of `density`, exact; no rule of thumb.
    """
    actual = air_density(pressure(pressure_altitude_flown), temperature)
    ratio = np.maximum(actual, tropopause_density) / sea_level_density
    below = sea_level_temperature / lapse_rate * (1.0 - ratio ** (1.0 / (pressure_exponent - 1.0)))
    above = scale_height * np.log(tropopause_density / np.minimum(actual, tropopause_density))
    return _require_altitude_in_range(below + above)
