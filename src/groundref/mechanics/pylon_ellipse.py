"""The path about a pylon held on the wing line at constant true airspeed: Kepler's ellipse over the ground.

With the pylon on the wing line d' = −w·n and, by the pivotal law, d ψ' = V + w_h; together d (V + w_h) stays
constant. So d = p / (1 + e cos ν) with e = W/V, p = d₀ (1 + e cos ν₀) and ν the heading from the downwind
heading: an ellipse with the pylon at one focus, its long axis across the wind, nearest flying downwind. The
line to the pylon sweeps equal areas in equal times. `heading_from_downwind` ν is counted in the direction
flown, so one set of formulas serves left and right.
Numbers or arrays that broadcast together in, their common shape out.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from groundref.angles import full_turn
from groundref.mechanics.pylon import pivotal_height_with_wind
from groundref.mechanics.wind_triangle import require_wind_below_airspeed

Floats = NDArray[np.float64]


def eccentricity(true_airspeed: ArrayLike, wind_speed: ArrayLike) -> Floats:
    """Return the eccentricity of the ellipse, W/V.

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.
    """
    air, wind = require_wind_below_airspeed(true_airspeed, wind_speed)
    return wind / air


def distance(
    true_airspeed: ArrayLike,
    wind_speed: ArrayLike,
    downwind_distance: ArrayLike,
    heading_from_downwind: ArrayLike,
) -> Floats:
    """Return the horizontal distance of the pylon, d₀ (1 + e) / (1 + e cos ν) [m].

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    downwind_distance
        d₀, the distance heading straight downwind, the least [m]
    heading_from_downwind
        ν, heading from the downwind heading in the direction flown [rad]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.

    Notes
    -----
    Source: own derivation, above.
    """
    ratio = eccentricity(true_airspeed, wind_speed)
    nearest = np.asarray(downwind_distance, dtype=np.float64)
    return nearest * (1.0 + ratio) / (1.0 + ratio * np.cos(heading_from_downwind))


def bank(
    true_airspeed: ArrayLike,
    wind_speed: ArrayLike,
    downwind_distance: ArrayLike,
    heading_from_downwind: ArrayLike,
) -> Floats:
    """Return the bank with the wing line on the pylon at the pivotal height, atan(H/d), its size [rad].

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    downwind_distance
        d₀, the distance heading straight downwind, the least [m]
    heading_from_downwind
        ν, heading from the downwind heading in the direction flown [rad]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.
    """
    along = np.asarray(wind_speed, dtype=np.float64) * np.cos(heading_from_downwind)
    height = pivotal_height_with_wind(true_airspeed, along)
    return np.arctan(height / distance(true_airspeed, wind_speed, downwind_distance, heading_from_downwind))


def semi_axes(
    true_airspeed: ArrayLike, wind_speed: ArrayLike, downwind_distance: ArrayLike
) -> tuple[Floats, Floats]:
    """Return half the ellipse's length across the wind, d₀/(1 − e), and half its width along it [m].

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    downwind_distance
        d₀, the distance heading straight downwind, the least [m]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.
    """
    ratio = eccentricity(true_airspeed, wind_speed)
    across = np.asarray(downwind_distance, dtype=np.float64) / (1.0 - ratio)
    return across, across * np.sqrt(1.0 - ratio**2)


def lap_time(true_airspeed: ArrayLike, wind_speed: ArrayLike, downwind_distance: ArrayLike) -> Floats:
    """Return the time of one lap, 2π d₀ (1 + e) / (V (1 − e²)^{3/2}) [s].

    Twice the ellipse's area, 2πab, over d (V + w_h) = V p, what the line to the pylon sweeps twice a second.

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    downwind_distance
        d₀, the distance heading straight downwind, the least [m]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.

    Notes
    -----
    Source: own derivation, above.
    """
    ratio = eccentricity(true_airspeed, wind_speed)
    parameter = np.asarray(downwind_distance, dtype=np.float64) * (1.0 + ratio)
    return full_turn * parameter / (np.asarray(true_airspeed, dtype=np.float64) * (1.0 - ratio**2) ** 1.5)


def time_from_downwind(
    true_airspeed: ArrayLike,
    wind_speed: ArrayLike,
    downwind_distance: ArrayLike,
    heading_from_downwind: ArrayLike,
) -> Floats:
    """Return the time since heading straight downwind [s].

    Kepler's equation: t/T = (E − e sin E) / 2π with the eccentric anomaly tan(E/2) = √((1−e)/(1+e)) tan(ν/2),
    here as E = ν − 2 atan(b sin ν / (1 + b cos ν)), b = e/(1 + √(1 − e²)), which counts on past a lap.

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    downwind_distance
        d₀, the distance heading straight downwind, the least [m]
    heading_from_downwind
        ν, heading from the downwind heading in the direction flown [rad]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.

    Notes
    -----
    Source: Kepler's equation, as in any text on orbits.
    """
    ratio, angle = (
        eccentricity(true_airspeed, wind_speed),
        np.asarray(heading_from_downwind, dtype=np.float64),
    )
    half = ratio / (1.0 + np.sqrt(1.0 - ratio**2))
    anomaly = angle - 2.0 * np.arctan2(half * np.sin(angle), 1.0 + half * np.cos(angle))
    laps = (anomaly - ratio * np.sin(anomaly)) / full_turn
    return laps * lap_time(true_airspeed, wind_speed, downwind_distance)


def from_pylon(distance: ArrayLike, heading: ArrayLike, direction: ArrayLike) -> tuple[Floats, Floats]:
    """Return where the airplane is from a pylon that stands square to its heading, east and north [m].

    Parameters
    ----------
    distance
        d, horizontal [m]
    heading
        True [rad]
    direction
        +1 with the pylon on the right, −1 with it on the left.
    """
    nose, size = np.asarray(heading, dtype=np.float64), np.multiply(distance, direction, dtype=np.float64)
    return -size * np.cos(nose), size * np.sin(nose)
