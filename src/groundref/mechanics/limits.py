"""How far a level turn is from the stall and from the limit load factor, and which of them comes first.

At speed V the wing carries at most n = (V/V_s)² times the weight, since lift at the greatest lift
coefficient grows with V² and equals the weight at V_s. A level turn needs n = 1/cos φ. The stall is reached
where both are equal, cos φ = (V_s/V)²; the limit load factor n_lim at cos φ = 1/n_lim; both together at the
one speed V = V_s √n_lim, below which the airplane stalls before it is overloaded.

Airspeeds are of one kind, calibrated best, and of one mass and configuration. Steady flight in smooth air:
a gust adds load, and a pull in the roll-in does. Numbers or arrays that broadcast together in, their common
shape out; NaN in, NaN out.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from groundref.errors import NoSolutionError
from groundref.mechanics import turn

Floats = NDArray[np.float64]


def stall_margin(airspeed: ArrayLike, stall_speed: ArrayLike, bank: ArrayLike) -> Floats:
    """Return how far the airspeed is above the stall in a level turn, V − V_s √n, negative below [m s⁻¹].

    Parameters
    ----------
    airspeed
        V [m s⁻¹]
    stall_speed
        V_s, wings level [m s⁻¹]
    bank
        φ, either side [rad]

    Raises
    ------
    NoSolutionError
        At 90° of bank or more.
    """
    return np.asarray(airspeed, dtype=np.float64) - turn.stall_speed_in_turn(stall_speed, bank)


def load_factor_at_stall(airspeed: ArrayLike, stall_speed: ArrayLike) -> Floats:
    """Return the greatest load factor that the wing can carry at a speed, (V/V_s)².

    Parameters
    ----------
    airspeed
        V [m s⁻¹]
    stall_speed
        V_s, wings level [m s⁻¹]
    """
    ratio = np.asarray(airspeed, dtype=np.float64) / np.asarray(stall_speed, dtype=np.float64)
    return np.square(ratio)


def bank_at_load_factor(load_factor: ArrayLike) -> Floats:
    """Return the bank of a level turn with a load factor, acos(1/n) [rad].

    Parameters
    ----------
    load_factor
        n, 1 or more

    Raises
    ------
    NoSolutionError
        Where the load factor is below 1: no level turn has it.
    """
    factor = np.asarray(load_factor, dtype=np.float64)
    if np.any(factor < 1.0):
        raise NoSolutionError("no level turn has a load factor below 1", "load factor", "give 1 or more")
    return np.arccos(1.0 / factor)


def bank_at_stall(airspeed: ArrayLike, stall_speed: ArrayLike) -> Floats:
    """Return the bank at which a level turn stalls at a speed, acos((V_s/V)²) [rad].

    Parameters
    ----------
    airspeed
        V, not below the stall speed [m s⁻¹]
    stall_speed
        V_s, wings level [m s⁻¹]

    Raises
    ------
    NoSolutionError
        Where the airspeed is below the stall speed with wings level.
    """
    carried = load_factor_at_stall(airspeed, stall_speed)
    if np.any(carried < 1.0):
        raise NoSolutionError(
            "the airspeed is below the stall speed with wings level", "airspeed", "give a greater airspeed"
        )
    return bank_at_load_factor(carried)


def greatest_bank(
    airspeed: ArrayLike, stall_speed: ArrayLike, limit_load_factor: ArrayLike
) -> tuple[Floats, NDArray[np.bool_]]:
    """Return the bank that a level turn cannot exceed at a speed, and whether the stall sets it [rad].

    Parameters
    ----------
    airspeed
        V, not below the stall speed [m s⁻¹]
    stall_speed
        V_s, wings level [m s⁻¹]
    limit_load_factor
        n_lim, 1 or more

    Returns
    -------
    bank
        The smaller of the banks at the stall and at the limit load factor [rad]
    stalls_first
        Whether it is that of the stall; true as well where both are the same.

    Raises
    ------
    NoSolutionError
        Where the airspeed is below the stall speed, or the limit below 1.
    """
    stalled, loaded = bank_at_stall(airspeed, stall_speed), bank_at_load_factor(limit_load_factor)
    return np.minimum(stalled, loaded), np.less_equal(stalled, loaded)


def speed_of_both(stall_speed: ArrayLike, limit_load_factor: ArrayLike) -> Floats:
    """Return the speed up to which the stall comes before the limit load factor, V_s √n_lim [m s⁻¹].

    The maneuvering speed of a handbook is at least this (14 CFR 23.335(c), amendment 63 and before, from
    memory) and may be greater: between the two the airplane can be overloaded without a stall.

    Parameters
    ----------
    stall_speed
        V_s, wings level [m s⁻¹]
    limit_load_factor
        n_lim, positive
    """
    return np.asarray(stall_speed, dtype=np.float64) * np.sqrt(limit_load_factor)
