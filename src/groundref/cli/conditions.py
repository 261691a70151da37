"""Airspeed, radius and bank from what a pilot would say: indicated airspeed, weather, bank."""

from __future__ import annotations

from dataclasses import dataclass

from groundref.asking.words import within
from groundref.errors import UsageError
from groundref.units import celsius_zero, degree, foot, inch_hg, knot

_STANDARD_SETTING = 29.92  # [inHg]


@dataclass(frozen=True, slots=True)
class Conditions:
    """What was asked for, in SI.

    Attributes
    ----------
    true_airspeed
        [m s⁻¹]
    radius
        None where the usual one is to be flown [m]
    bank_limit
        None likewise [rad]
    roll_rate
        [rad s⁻¹]
    """

    true_airspeed: float
    radius: float | None
    bank_limit: float | None
    roll_rate: float


def conditions(
    *,
    aircraft: str | None,
    ias_kt: float | None,
    tas_kt: float | None,
    altitude: float,
    oat_c: float | None,
    altimeter_inhg: float | None,
    radius_ft: float | None,
    max_bank_deg: float | None,
    wind_speed: float,
    by_bank: bool = True,
) -> Conditions:
    """Return airspeed, radius and bank limit from the options.

    Parameters
    ----------
    aircraft
        Name or file; its practice speed is flown unless an airspeed is given.
    ias_kt, tas_kt
        At most one of them; an indicated airspeed is taken as calibrated.
    altitude
        Above mean sea level [m]
    oat_c, altimeter_inhg
        The standard atmosphere's unless given.
    radius_ft
        When None, the smallest radius that needs no more than the bank limit, where one is given.
    max_bank_deg
        Bank limit.
    wind_speed
        [m s⁻¹]
    by_bank
        Whether the bank limit sets the radius: not of a rectangle, nor where no radius is held.

    Raises
    ------
    UsageError
        When options contradict each other or lie out of range.
    """
    from groundref.aircraft.loading import DEFAULT, load_aircraft
    from groundref.mechanics.circle import smallest_radius

    airplane = load_aircraft(aircraft or DEFAULT)
    if ias_kt is not None and tas_kt is not None:
        raise UsageError("two airspeeds are given", "--ias-kt", "give --ias-kt or --tas-kt")
    if max_bank_deg is not None:
        within(max_bank_deg, 5, 60, "--max-bank-deg")
    calibrated = airplane.practice_speed if ias_kt is None else within(ias_kt, 30, 250, "--ias-kt") * knot
    speed = _true(calibrated, altitude, oat_c, altimeter_inhg) if tas_kt is None else tas_kt * knot
    limit = None if max_bank_deg is None else max_bank_deg * degree
    radius = None if radius_ft is None else radius_ft * foot
    if radius is None and limit is not None and by_bank:
        radius = float(smallest_radius(speed, wind_speed, limit))
    return Conditions(speed, radius, limit, airplane.roll_rate)


def _true(calibrated: float, altitude: float, oat_c: float | None, altimeter_inhg: float | None) -> float:
    """Return the true airspeed for a calibrated one in this weather [m s⁻¹]."""
    from groundref.mechanics.airspeed import true_airspeed
    from groundref.mechanics.atmosphere import pressure_altitude_from_indicated

    setting = _STANDARD_SETTING if altimeter_inhg is None else altimeter_inhg
    at = pressure_altitude_from_indicated(altitude, within(setting, 25, 32, "--altimeter-inhg") * inch_hg)
    temperature = None if oat_c is None else within(oat_c, -60, 60, "--oat-c") + celsius_zero
    return float(true_airspeed(calibrated, at, temperature))
