"""The height that eights on pylons are flown at: it follows from the airspeed, and the air from it."""

from __future__ import annotations

from typing import Final

from groundref.mechanics import airspeed, atmosphere, pylon

_ROUNDS: Final = 4  # each takes off nine tenths of what is left, from some feet


def still_air_height(
    *,
    calibrated_airspeed: float | None,
    true_airspeed: float | None,
    elevation: float,
    temperature: float | None,
    altimeter: float,
    start: float,
) -> float:
    """Return the pivotal height in still air, about which the heights in a wind lie [m].

    Parameters
    ----------
    calibrated_airspeed, true_airspeed
        The true one where it is given, else the calibrated [m s⁻¹]
    elevation
        Of the ground above mean sea level [m]
    temperature
        At height; the standard atmosphere's when None [K]
    altimeter
        Altimeter setting [Pa]
    start
        A height to begin with [m]

    Notes
    -----
    V²/g of the true airspeed there. A calibrated airspeed grows into a true one with height, by some
    hundredths in 1,000 ft, so the height is put in anew until it no longer changes.
    """
    if true_airspeed is not None:
        return float(pylon.pivotal_height(true_airspeed, true_airspeed, 0.0))
    if calibrated_airspeed is None:
        raise ValueError("one airspeed is needed")
    height = start
    for _ in range(_ROUNDS):
        pressure = float(atmosphere.pressure_altitude_from_indicated(elevation + height, altimeter))
        there = float(atmosphere.temperature(pressure)) if temperature is None else temperature
        true = float(airspeed.true_airspeed(calibrated_airspeed, pressure, there))
        height = float(pylon.pivotal_height(true, true, 0.0))
    return height
