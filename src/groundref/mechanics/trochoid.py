"""The constant-bank circle in wind: a circle through the air, a trochoid over the ground.

It is what a turn around a point becomes when the bank is held instead of the distance. Any wind is allowed,
also one stronger than the airspeed. Numbers or arrays that broadcast together in, their common shape out.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from groundref.angles import full_turn
from groundref.mechanics import turn

Floats = NDArray[np.float64]


def air_radius(true_airspeed: ArrayLike, bank: ArrayLike) -> Floats:
    """Return the radius of the circle through the air, V²/(g |tan φ|), infinite with wings level [m].

    Parameters
    ----------
    true_airspeed
        V [m s⁻¹]
    bank
        φ, either side [rad]
    """
    return turn.radius(true_airspeed, bank)


def lap_time(true_airspeed: ArrayLike, bank: ArrayLike) -> Floats:
    """Return the time for 360° of heading, T = 2πV/(g |tan φ|), infinite with wings level [s].

    Parameters
    ----------
    true_airspeed
        V [m s⁻¹]
    bank
        φ, either side [rad]
    """
    with np.errstate(divide="ignore"):
        return full_turn / np.abs(turn.rate_of_turn(true_airspeed, bank))


def drift_per_lap(true_airspeed: ArrayLike, wind_speed: ArrayLike, bank: ArrayLike) -> Floats:
    """Return how far downwind each lap ends from where it began, W T [m].

    Parameters
    ----------
    true_airspeed
        V [m s⁻¹]
    wind_speed
        W [m s⁻¹]
    bank
        φ, either side, not 0 [rad]

    Notes
    -----
    Source: the circle through the air closes, so what remains is the way of the air in that time.
    """
    return np.asarray(wind_speed, dtype=np.float64) * lap_time(true_airspeed, bank)


def ground_path(
    true_airspeed: ArrayLike,
    bank: ArrayLike,
    heading: ArrayLike,
    wind_east: ArrayLike,
    wind_north: ArrayLike,
    time: ArrayLike,
) -> tuple[Floats, Floats]:
    """Return where the airplane is over the ground after a time, east and north of where it began [m].

    The chord of the arc flown through the air is V t sin(x)/x long with x = ωt/2 and points at the heading
    half way, ψ₀ + x; the wind adds w t. Written so, it holds with wings level too.

    Parameters
    ----------
    true_airspeed
        V [m s⁻¹]
    bank
        φ, right positive [rad]
    heading
        ψ₀, heading at the start, true [rad]
    wind_east, wind_north
        w, velocity of the air [m s⁻¹]
    time
        t, since the start [s]

    Raises
    ------
    NoSolutionError
        At 90° of bank or more.

    Notes
    -----
    Source: own derivation, above.
    """
    elapsed = np.asarray(time, dtype=np.float64)
    half = 0.5 * turn.rate_of_turn(true_airspeed, bank) * elapsed
    chord = np.asarray(true_airspeed, dtype=np.float64) * elapsed * np.sinc(half / np.pi)
    midway = np.asarray(heading, dtype=np.float64) + half
    east = chord * np.sin(midway) + np.multiply(wind_east, elapsed)
    north = chord * np.cos(midway) + np.multiply(wind_north, elapsed)
    return east, north
