"""The steady, level, coordinated turn in still air: radius, rate, bank, load factor, stall speed.

Bank and rate of turn are positive to the right; radius, load factor and stall speed have no side.
Numbers or arrays that broadcast together in, their common shape out; NaN in, NaN out.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from groundref.angles import full_turn, quarter_turn
from groundref.errors import NoSolutionError
from groundref.units import minute, standard_gravity

Floats = NDArray[np.float64]

# A full turn in two minutes, as marked on turn indicators (common practice, no source).
standard_rate: Final = full_turn / (2 * minute)  # [rad s⁻¹]


def _require_bank_below_vertical(bank: ArrayLike) -> Floats:
    """Return the bank as an array; a level turn has none at or beyond π/2."""
    angle = np.asarray(bank, dtype=np.float64)
    if np.any(np.abs(angle) >= quarter_turn):
        raise NoSolutionError(
            "a level turn is not possible at 90° of bank or more", "bank", "give a smaller bank"
        )
    return angle


def bank_from_acceleration(acceleration: ArrayLike) -> Floats:
    """Return the bank of a coordinated turn from the acceleration across the heading, right positive [rad].

    Lift carries the weight, L cos φ = mg, and turns the airplane, L sin φ = ma: tan φ = a/g.

    Parameters
    ----------
    acceleration
        a, horizontal acceleration square to the heading, to the right positive [m s⁻²]

    Notes
    -----
    Source: balance of forces, above.
    """
    return np.arctan(np.asarray(acceleration, dtype=np.float64) / standard_gravity)


def bank_for_radius(true_airspeed: ArrayLike, radius: ArrayLike) -> Floats:
    """Return the bank for a radius through the air, tan φ = V²/(gR) [rad].

    Parameters
    ----------
    true_airspeed
        V [m s⁻¹]
    radius
        R, positive for a right turn [m]

    Notes
    -----
    Source: `bank_from_acceleration` with a = V²/R.
    """
    speed = np.asarray(true_airspeed, dtype=np.float64)
    return bank_from_acceleration(speed**2 / np.asarray(radius, dtype=np.float64))


def bank_for_rate(true_airspeed: ArrayLike, rate: ArrayLike) -> Floats:
    """Return the bank for a rate of turn, tan φ = V ω / g [rad].

    Parameters
    ----------
    true_airspeed
        V [m s⁻¹]
    rate
        ω, rate of turn, right positive [rad s⁻¹]

    Notes
    -----
    Source: `bank_from_acceleration` with a = V ω.
    """
    return bank_from_acceleration(np.multiply(true_airspeed, rate, dtype=np.float64))


def standard_rate_bank(true_airspeed: ArrayLike) -> Floats:
    """Return the bank for a standard-rate turn, 3° a second [rad].

    Parameters
    ----------
    true_airspeed
        V [m s⁻¹]
    """
    return bank_for_rate(true_airspeed, standard_rate)


def rate_of_turn(true_airspeed: ArrayLike, bank: ArrayLike) -> Floats:
    """Return the rate of turn, ω = g tan φ / V, right positive [rad s⁻¹].

    Parameters
    ----------
    true_airspeed
        V [m s⁻¹]
    bank
        φ, right positive [rad]

    Raises
    ------
    NoSolutionError
        At 90° of bank or more.
    """
    tangent = np.tan(_require_bank_below_vertical(bank))
    return standard_gravity * tangent / np.asarray(true_airspeed, dtype=np.float64)


def radius(true_airspeed: ArrayLike, bank: ArrayLike) -> Floats:
    """Return the radius through the air, R = V²/(g |tan φ|), infinite with wings level [m].

    Parameters
    ----------
    true_airspeed
        V [m s⁻¹]
    bank
        φ, either side [rad]

    Raises
    ------
    NoSolutionError
        At 90° of bank or more.
    """
    across = standard_gravity * np.abs(np.tan(_require_bank_below_vertical(bank)))
    with np.errstate(divide="ignore"):
        return np.asarray(true_airspeed, dtype=np.float64) ** 2 / across


def load_factor(bank: ArrayLike) -> Floats:
    """Return the load factor of a level turn, n = 1/cos φ.

    Parameters
    ----------
    bank
        φ, either side [rad]

    Raises
    ------
    NoSolutionError
        At 90° of bank or more.
    """
    return 1.0 / np.cos(_require_bank_below_vertical(bank))


def stall_speed_in_turn(stall_speed: ArrayLike, bank: ArrayLike) -> Floats:
    """Return the stall speed in a level turn, V_s √n, in the unit and kind of airspeed given [m s⁻¹].

    At the stall the lift coefficient is at its greatest, so speed grows with the root of the lift carried.

    Parameters
    ----------
    stall_speed
        V_s, stall speed in level flight at this mass and configuration [m s⁻¹]
    bank
        φ, either side [rad]

    Raises
    ------
    NoSolutionError
        At 90° of bank or more.
    """
    return np.asarray(stall_speed, dtype=np.float64) * np.sqrt(load_factor(bank))
