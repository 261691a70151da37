"""The constant-radius ground circle in steady wind: ground speed, crab, bank and time by position.

Position χ is the track measured from the downwind track in the direction flown, so one set of formulas
serves left and right: 0 is straight downwind, π/2 the crosswind place on the downwind side of the point,
π straight upwind, 3π/2 the crosswind place on the upwind side. V is true airspeed, W wind speed, R radius.
Level, coordinated flight in steady, uniform wind. Numbers or arrays that broadcast together in, their
common shape out; NaN in, NaN out.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from groundref.angles import full_turn
from groundref.errors import NoSolutionError
from groundref.mechanics.elliptic import second_kind
from groundref.mechanics.wind_triangle import (
    crab_on_track,
    ground_speed_on_track,
    require_wind_below_airspeed,
)
from groundref.units import standard_gravity

Floats = NDArray[np.float64]


def ground_speed(true_airspeed: ArrayLike, wind_speed: ArrayLike, position: ArrayLike) -> Floats:
    """Return the ground speed at a position in the circle, G = W cos χ + √(V² − W² sin²χ) [m s⁻¹].

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    position
        χ, track from the downwind track in the direction flown [rad]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.

    Notes
    -----
    Source: the wind triangle with the wind at the angle −χ to the track.
    """
    return ground_speed_on_track(true_airspeed, wind_speed, position)


def crab(
    true_airspeed: ArrayLike, wind_speed: ArrayLike, position: ArrayLike, direction: ArrayLike
) -> Floats:
    """Return the crab at a position, heading minus track, nose right positive [rad].

    |sin δ| = (W/V) |sin χ|. The nose points inside the circle while the airplane is on the downwind side of
    the point (0 < χ < π) and outside on the upwind side.

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    position
        χ [rad]
    direction
        +1 for a right turn, −1 for a left turn.

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.

    Notes
    -----
    Source: the wind triangle.
    """
    side = np.asarray(direction, dtype=np.float64)
    return side * crab_on_track(true_airspeed, wind_speed, -np.asarray(position, dtype=np.float64))


def bank_from_ground_speed(ground_speed: ArrayLike, crab: ArrayLike, radius: ArrayLike) -> Floats:
    """Return the bank that keeps a radius over the ground, its size [rad].

    On the circle the acceleration across the *track* is G²/R. In a coordinated turn all acceleration,
    g tan φ, is across the *heading*, and only its share cos δ acts across the track; hence

    tan φ = G² / (g R cos δ).

    Leaving out cos δ banks too little, by up to 1.2° at 65 kt in 25 kt of wind.

    Parameters
    ----------
    ground_speed
        G [m s⁻¹]
    crab
        δ, either sign, less than π/2 [rad]
    radius
        R [m]

    Notes
    -----
    Source: own derivation, above; in steady wind the ground and the air share one inertial acceleration.
    """
    speed = np.asarray(ground_speed, dtype=np.float64)
    across = standard_gravity * np.asarray(radius, dtype=np.float64) * np.cos(crab)
    return np.arctan(speed**2 / across)


def required_bank(
    true_airspeed: ArrayLike, wind_speed: ArrayLike, radius: ArrayLike, position: ArrayLike
) -> Floats:
    """Return the bank that keeps the radius at a position, its size [rad].

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    radius
        R [m]
    position
        χ [rad]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.

    Notes
    -----
    Source: `bank_from_ground_speed` with the ground speed and crab of this position.
    """
    speed = ground_speed(true_airspeed, wind_speed, position)
    return bank_from_ground_speed(speed, crab(true_airspeed, wind_speed, position, 1.0), radius)


def heading_rate(
    true_airspeed: ArrayLike, wind_speed: ArrayLike, radius: ArrayLike, position: ArrayLike
) -> Floats:
    """Return how fast the heading turns at a position, its size [rad s⁻¹].

    ψ' = g tan φ / V = G² / (R V cos δ). It differs from the rate of the track, G/R, wherever there is crab.

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    radius
        R [m]
    position
        χ [rad]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.

    Notes
    -----
    Source: own derivation, above.
    """
    bank = required_bank(true_airspeed, wind_speed, radius, position)
    return standard_gravity * np.tan(bank) / np.asarray(true_airspeed, dtype=np.float64)


def time_from_downwind(
    true_airspeed: ArrayLike, wind_speed: ArrayLike, radius: ArrayLike, position: ArrayLike
) -> Floats:
    """Return the time to fly from the downwind place to a position [s].

    dt = R dχ / G, and 1/G = (√(V² − W² sin²χ) − W cos χ) / (V² − W²), so with m = (W/V)²

    t(χ) = R (V E(χ | m) − W sin χ) / (V² − W²).

    A position beyond 2π counts further laps, a negative one comes out negative.

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    radius
        R [m]
    position
        χ [rad]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.

    Notes
    -----
    Source: own derivation, above; E(χ | m) is the incomplete elliptic integral of the second kind.
    """
    air, wind = require_wind_below_airspeed(true_airspeed, wind_speed)
    place = np.asarray(position, dtype=np.float64)
    along = air * second_kind(place, (wind / air) ** 2) - wind * np.sin(place)
    return np.asarray(radius, dtype=np.float64) * along / (air**2 - wind**2)


def lap_time(true_airspeed: ArrayLike, wind_speed: ArrayLike, radius: ArrayLike) -> Floats:
    """Return the time of one lap, T = 4 R V E(m) / (V² − W²) with m = (W/V)² [s].

    Wind always lengthens it; the first term of the series is T/T₀ ≈ 1 + ¾ (W/V)².

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    radius
        R [m]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.

    Notes
    -----
    Source: `time_from_downwind` at 2π; E(m) is the complete elliptic integral of the second kind.
    """
    return time_from_downwind(true_airspeed, wind_speed, radius, full_turn)


def ground_speed_extremes(true_airspeed: ArrayLike, wind_speed: ArrayLike) -> tuple[Floats, Floats]:
    """Return the least ground speed, V − W upwind, and the greatest, V + W downwind [m s⁻¹].

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
    return air - wind, air + wind


def bank_extremes(
    true_airspeed: ArrayLike, wind_speed: ArrayLike, radius: ArrayLike
) -> tuple[Floats, Floats]:
    """Return the least bank, straight upwind, and the greatest, straight downwind [rad].

    tan φ = (V ∓ W)² / (gR). No other place is steeper or shallower: with e = W/V, D = cos δ and
    q = e cos χ / D, d(tan φ)/dχ is a positive factor times −sin χ (2 + q − q²) = −sin χ (2 − q)(1 + q),
    and |q| ≤ e < 1, so bank falls all the way from downwind to upwind.

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    radius
        R [m]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.

    Notes
    -----
    Source: own derivation, above.
    """
    slowest, fastest = ground_speed_extremes(true_airspeed, wind_speed)
    return bank_from_ground_speed(slowest, 0.0, radius), bank_from_ground_speed(fastest, 0.0, radius)


def greatest_crab(true_airspeed: ArrayLike, wind_speed: ArrayLike) -> Floats:
    """Return the largest crab, asin(W/V), at the two crosswind places [rad].

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
    return np.arcsin(wind / air)


def smallest_radius(true_airspeed: ArrayLike, wind_speed: ArrayLike, bank_limit: ArrayLike) -> Floats:
    """Return the smallest radius that nowhere needs more than the bank limit [m].

    The steepest place is straight downwind: R = (V + W)² / (g tan φ).

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    bank_limit
        φ, greater than 0 and less than π/2 [rad]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.
    """
    _, fastest = ground_speed_extremes(true_airspeed, wind_speed)
    return fastest**2 / (standard_gravity * np.tan(bank_limit))


def greatest_wind(true_airspeed: ArrayLike, radius: ArrayLike, bank_limit: ArrayLike) -> Floats:
    """Return the strongest wind in which the circle nowhere needs more than the bank limit [m s⁻¹].

    W = √(gR tan φ) − V from the bank needed straight downwind. Where that exceeds V the bank is no longer
    what limits the wind and V is returned: an upper bound that must itself not be reached.

    Parameters
    ----------
    true_airspeed
        V [m s⁻¹]
    radius
        R [m]
    bank_limit
        φ, greater than 0 and less than π/2 [rad]

    Raises
    ------
    NoSolutionError
        Where the circle needs more than the bank limit even in still air.
    """
    air = np.asarray(true_airspeed, dtype=np.float64)
    fastest = np.sqrt(standard_gravity * np.asarray(radius, dtype=np.float64) * np.tan(bank_limit))
    if np.any(fastest < air):
        raise NoSolutionError(
            f"the circle needs more than the bank limit even in still air: at this radius and bank "
            f"{np.nanmin(fastest):.1f} m/s is the fastest ground speed",
            "radius",
            "fly a wider circle or slower",
        )
    return np.minimum(fastest - air, air)
