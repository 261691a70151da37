"""Magnetic variation: what a compass shows against true north, by place, height and date.

By the World Magnetic Model 2025 (NOAA NCEI and British Geological Survey), which holds from 2025 to the end
of 2029; the `pygeomag` library evaluates it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cache
from math import degrees, isfinite, radians
from typing import TYPE_CHECKING, Final

from groundref.angles import half_turn, quarter_turn
from groundref.errors import InputError

if TYPE_CHECKING:
    from pygeomag import GeoMag

FIRST: Final = date(2025, 1, 1)
LAST: Final = date(2029, 12, 31)

_HEIGHTS: Final = (-1_000.0, 850_000.0)  # where the model is defined [m]
# Horizontal field under which the model's report calls the compass unreliable, and to be used with care [nT].
_BLACKOUT, _CAUTION = 2_000.0, 6_000.0


@dataclass(frozen=True, slots=True)
class Declination:
    """Magnetic variation at a place and date.

    Attributes
    ----------
    value
        East positive: true direction = magnetic direction + value [rad]
    sd
        Standard deviation by the error model of the publication: what the model leaves out, from iron in the
        ground to magnetic storms [rad]
    horizontal_field
        [nT]
    note
        What to know about the compass there; empty in most places.
    """

    value: float
    sd: float
    horizontal_field: float
    note: str


def declination(latitude: float, longitude: float, height: float, when: date) -> Declination:
    """Return the magnetic variation.

    Parameters
    ----------
    latitude, longitude
        On WGS 84 [rad]
    height
        Above the ellipsoid; above mean sea level does as well, as 100 m change less than 0.001° [m]
    when
        Day, UTC; of a moment, its day.

    Raises
    ------
    InputError
        When the date is outside the model's span, the place not on the earth or the height outside the model.
    """
    day = date(when.year, when.month, when.day)  # a moment does not compare with a day
    if not FIRST <= day <= LAST:
        raise InputError(
            f"{day} is outside the span of the magnetic model, {FIRST} to {LAST}",
            "magnetic variation",
            "give directions in degrees true, or the variation itself",
        )
    return at_year(latitude, longitude, height, _year(day))


def at_year(latitude: float, longitude: float, height: float, year: float) -> Declination:
    """Return the magnetic variation at a moment in years, such as 2027.5; see ``declination``."""
    if not (abs(latitude) <= quarter_turn and abs(longitude) <= half_turn):
        raise InputError(
            f"{degrees(latitude):g},{degrees(longitude):g} does not lie on the earth", "magnetic variation"
        )
    if not (isfinite(height) and _HEIGHTS[0] <= height <= _HEIGHTS[1]):
        raise InputError(
            f"a height of {height:,.0f} m is outside the magnetic model",
            "magnetic variation",
            "check its unit",
        )
    field = _model().calculate(degrees(latitude), degrees(longitude), height / 1000.0, year)
    error = field.calculate_uncertainty()
    return Declination(radians(field.d), radians(error.d), float(field.h), _note(field.h))


@cache
def _model() -> GeoMag:
    # The coefficients are named, so that a later library with a newer model cannot change them unseen.
    from pygeomag import GeoMag
    from pygeomag.wmm.wmm_2025 import WMM_2025

    return GeoMag(coefficients_data=WMM_2025)


def _year(when: date) -> float:
    """Return a day as a year with its fraction; a day of a leap year is 1/366."""
    first, next_first = date(when.year, 1, 1).toordinal(), date(when.year + 1, 1, 1).toordinal()
    return when.year + (when.toordinal() - first) / (next_first - first)


def _note(horizontal: float) -> str:
    if horizontal < _BLACKOUT:
        return "A compass cannot be relied on here, near the magnetic pole: use true directions."
    if horizontal < _CAUTION:
        return "A compass is sluggish and less exact here, toward the magnetic pole."
    return ""
