"""The wind triangle: heading and true airspeed, wind, track and ground speed.

Air velocity plus wind velocity is ground velocity. The wind is a velocity, the direction the air moves
*to*, except in the two functions that translate from and into the trade's "wind from". Every function
takes numbers or arrays that broadcast together and returns their common shape. NaN in, NaN out.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from groundref.angles import direction_of
from groundref.errors import NoSolutionError

Floats = NDArray[np.float64]


def require_wind_below_airspeed(true_airspeed: ArrayLike, wind_speed: ArrayLike) -> tuple[Floats, Floats]:
    """Return both speeds as arrays once the wind is known to leave headway in every direction.

    Parameters
    ----------
    true_airspeed
        True airspeed [m s⁻¹]
    wind_speed
        Wind speed, not negative [m s⁻¹]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed, or is negative.
    """
    air = np.asarray(true_airspeed, dtype=np.float64)
    wind = np.asarray(wind_speed, dtype=np.float64)
    if (wind < 0.0).any():
        raise NoSolutionError(
            f"a wind speed is negative ({np.nanmin(wind):.1f} m/s)",
            "wind speed",
            "give the speed as a positive number and turn the direction round",
        )
    if (wind >= air).any():
        air_there, wind_there = np.broadcast_arrays(air, wind)
        worst = np.nanargmax(wind_there - air_there)
        raise NoSolutionError(
            f"the wind ({wind_there.flat[worst]:.1f} m/s) is not less than the true airspeed "
            f"({air_there.flat[worst]:.1f} m/s), so the airplane cannot make good every track",
            "wind speed",
            "fly faster or wait for less wind",
        )
    return air, wind


def ground_speed_on_track(true_airspeed: ArrayLike, wind_speed: ArrayLike, wind_angle: ArrayLike) -> Floats:
    """Return the ground speed while a track is made good [m s⁻¹].

    Across the track, wind W sin α and air velocity must cancel, which leaves √(V² − W² sin²α) of the
    airspeed along it: G = W cos α + √(V² − W² sin²α).

    Parameters
    ----------
    true_airspeed
        V, true airspeed [m s⁻¹]
    wind_speed
        W, wind speed [m s⁻¹]
    wind_angle
        α, direction the air moves to minus track: 0 is a tailwind, π/2 a wind from the left [rad]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.

    Notes
    -----
    Source: plane trigonometry of the wind triangle; derivation above.
    """
    air, wind = require_wind_below_airspeed(true_airspeed, wind_speed)
    angle = np.asarray(wind_angle, dtype=np.float64)
    return wind * np.cos(angle) + np.sqrt(air**2 - (wind * np.sin(angle)) ** 2)


def crab_on_track(true_airspeed: ArrayLike, wind_speed: ArrayLike, wind_angle: ArrayLike) -> Floats:
    """Return the crab that makes good a track, heading minus track, nose right positive [rad].

    The air moved sideways by the wind, W sin α to the right, is made up by V sin δ: sin δ = −(W/V) sin α.

    Parameters
    ----------
    true_airspeed
        V, true airspeed [m s⁻¹]
    wind_speed
        W, wind speed [m s⁻¹]
    wind_angle
        α, direction the air moves to minus track [rad]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.

    Notes
    -----
    Source: sine rule in the wind triangle.
    """
    air, wind = require_wind_below_airspeed(true_airspeed, wind_speed)
    return np.arcsin(-wind * np.sin(np.asarray(wind_angle, dtype=np.float64)) / air)


def wind_components(speed: ArrayLike, direction_from: ArrayLike) -> tuple[Floats, Floats]:
    """Return the wind as a velocity, east and north [m s⁻¹].

    Parameters
    ----------
    speed
        Wind speed [m s⁻¹]
    direction_from
        Direction the wind blows from, true [rad]
    """
    size = np.asarray(speed, dtype=np.float64)
    direction = np.asarray(direction_from, dtype=np.float64)
    return -size * np.sin(direction), -size * np.cos(direction)


def wind_from(east: ArrayLike, north: ArrayLike) -> tuple[Floats, Floats]:
    """Return a wind's speed [m s⁻¹] and the direction it blows from, true, in [0, 2π) [rad].

    Calm air has no direction; it comes out as some direction with speed 0.

    Parameters
    ----------
    east, north
        Velocity of the air [m s⁻¹]
    """
    to_east = np.asarray(east, dtype=np.float64)
    to_north = np.asarray(north, dtype=np.float64)
    return np.hypot(to_east, to_north), direction_of(-to_east, -to_north)


def ground_velocity(
    true_airspeed: ArrayLike, heading: ArrayLike, wind_east: ArrayLike, wind_north: ArrayLike
) -> tuple[Floats, Floats]:
    """Return the velocity over the ground, east and north [m s⁻¹]; any wind is allowed.

    Parameters
    ----------
    true_airspeed
        True airspeed, horizontal [m s⁻¹]
    heading
        Direction of the nose, true [rad]
    wind_east, wind_north
        Velocity of the air [m s⁻¹]
    """
    air = np.asarray(true_airspeed, dtype=np.float64)
    nose = np.asarray(heading, dtype=np.float64)
    east = air * np.sin(nose) + np.asarray(wind_east, dtype=np.float64)
    north = air * np.cos(nose) + np.asarray(wind_north, dtype=np.float64)
    return east, north


def air_velocity(
    ground_east: ArrayLike, ground_north: ArrayLike, wind_east: ArrayLike, wind_north: ArrayLike
) -> tuple[Floats, Floats]:
    """Return true airspeed [m s⁻¹] and heading, true, in [0, 2π) [rad], from velocity over the ground.

    Parameters
    ----------
    ground_east, ground_north
        Velocity over the ground [m s⁻¹]
    wind_east, wind_north
        Velocity of the air [m s⁻¹]
    """
    east = np.subtract(ground_east, wind_east, dtype=np.float64)
    north = np.subtract(ground_north, wind_north, dtype=np.float64)
    return np.hypot(east, north), direction_of(east, north)
