"""Where the sun stands, and when it rises and sets: from place and time alone, no tables.

The sun's ecliptic longitude comes from its mean longitude, the equation of the center, aberration and the
largest term of nutation; right ascension and declination from that and the obliquity; hour angle from
sidereal time. Good to 0.01° from 1950 to 2050, which is 3 s of a sunrise at the equator; refraction near the
horizon varies by far more with the weather.

Times are seconds since 1970-01-01T00:00Z. Numbers or arrays that broadcast together in, their common shape
out.

Notes
-----
Source: J. Meeus, Astronomical Algorithms (2nd edition, 1998), chapters 12, 22 and 25, low accuracy (from
memory; the tests compare with its worked example and with a general library).
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from groundref.angles import direction_of, full_turn, wrap, wrap_signed
from groundref.units import degree, hour

Floats = NDArray[np.float64]

RISING: Final = -0.833 * degree
"""Elevation of the center as the upper limb touches the horizon: 34′ of refraction and 16′ of radius."""
CIVIL: Final = -6.0 * degree
"""Elevation at which civil twilight begins or ends."""

_day: Final = 24.0 * hour
_epoch: Final = 946_728_000.0  # 2000-01-01T12:00Z [s]
_century: Final = 36_525.0 * _day
_ROUNDS: Final = 6  # each cuts the error some hundredfold


def place_in_the_sky(time: ArrayLike) -> tuple[Floats, Floats]:
    """Return right ascension and declination of the sun, apparent, of date [rad].

    Parameters
    ----------
    time
        [s]
    """
    since = (np.asarray(time, dtype=np.float64) - _epoch) / _century
    mean = 280.46646 + since * (36_000.76983 + since * 0.0003032)
    anomaly = (357.52911 + since * (35_999.05029 - since * 0.0001537)) * degree
    center = (
        (1.914602 - since * (0.004817 + since * 0.000014)) * np.sin(anomaly)
        + (0.019993 - since * 0.000101) * np.sin(2.0 * anomaly)
        + 0.000289 * np.sin(3.0 * anomaly)
    )
    node = (125.04 - 1934.136 * since) * degree
    longitude = (mean + center - 0.00569 - 0.00478 * np.sin(node)) * degree
    tilt = (23.4392911 - 0.0130042 * since + 0.00256 * np.cos(node)) * degree
    ascension = np.arctan2(np.cos(tilt) * np.sin(longitude), np.cos(longitude))
    return wrap(ascension), np.arcsin(np.sin(tilt) * np.sin(longitude))


def hour_angle(time: ArrayLike, longitude: ArrayLike) -> Floats:
    """Return how far the sun is past south, west positive, in [−π, π) [rad].

    Parameters
    ----------
    time
        [s]
    longitude
        East positive [rad]
    """
    days = (np.asarray(time, dtype=np.float64) - _epoch) / _day
    sidereal = (280.46061837 + 360.98564736629 * days) * degree
    return wrap_signed(sidereal + np.asarray(longitude, dtype=np.float64) - place_in_the_sky(time)[0])


def elevation(time: ArrayLike, latitude: ArrayLike, longitude: ArrayLike) -> Floats:
    """Return how high the center of the sun stands, without refraction, below the horizon negative [rad].

    Parameters
    ----------
    time
        [s]
    latitude, longitude
        North and east positive [rad]
    """
    across, declination = hour_angle(time, longitude), place_in_the_sky(time)[1]
    north = np.asarray(latitude, dtype=np.float64)
    sine = np.sin(north) * np.sin(declination) + np.cos(north) * np.cos(declination) * np.cos(across)
    height: Floats = np.arcsin(np.clip(sine, -1.0, 1.0))
    return height


def azimuth(time: ArrayLike, latitude: ArrayLike, longitude: ArrayLike) -> Floats:
    """Return the direction toward the sun, true, in [0, 2π) [rad].

    Parameters
    ----------
    time
        [s]
    latitude, longitude
        North and east positive [rad]
    """
    across, declination = hour_angle(time, longitude), place_in_the_sky(time)[1]
    north = np.asarray(latitude, dtype=np.float64)
    to_east = -np.cos(declination) * np.sin(across)
    to_north = np.sin(declination) * np.cos(north) - np.cos(declination) * np.cos(across) * np.sin(north)
    return direction_of(to_east, to_north)


def crossings(
    time: ArrayLike, latitude: ArrayLike, longitude: ArrayLike, height: ArrayLike = RISING
) -> tuple[Floats, Floats]:
    """Return when the sun passes an elevation upward and downward, on the solar day about a time [s].

    Parameters
    ----------
    time
        The solar day is the one whose noon is nearest to it [s]
    latitude, longitude
        North and east positive [rad]
    height
        Such as `RISING` or `CIVIL` [rad]

    Returns
    -------
    rises, sets
        NaN where the sun stays above or below all that day [s]

    Notes
    -----
    cos H = (sin h − sin φ sin δ)/(cos φ cos δ) gives the hour angle H at which the declination δ of a moment
    would be passed; repeated with the declination of the moment found.
    """
    north = np.asarray(latitude, dtype=np.float64)
    now = np.asarray(time, dtype=np.float64)
    noon = now - hour_angle(now, longitude) / full_turn * _day
    found = []
    for way in (-1.0, 1.0):
        moment = noon
        for _ in range(_ROUNDS):
            declination = place_in_the_sky(moment)[1]
            cosine = (np.sin(height) - np.sin(north) * np.sin(declination)) / (
                np.cos(north) * np.cos(declination)
            )
            with np.errstate(invalid="ignore"):
                aimed = way * np.arccos(cosine)
            ahead = wrap_signed(aimed - hour_angle(moment, longitude))
            # The last of a long day and the first of the next meet at midnight: stay on this side of it.
            moment = np.clip(moment + ahead / full_turn * _day, noon - 0.5 * _day, noon + 0.5 * _day)
        found.append(moment)
    return found[0], found[1]
