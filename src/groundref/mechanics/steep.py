"""What a steep turn adds to `turn` and `trochoid`: the roll in and out, and its shape over the ground.

Radius through the air, rate, load factor and stall speed are in `turn`; the time of 360° and the drift over
the ground in `trochoid`. Numbers or arrays that broadcast together in, their common shape out.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from groundref.mechanics import turn
from groundref.mechanics.circle import ground_speed_extremes
from groundref.units import standard_gravity

Floats = NDArray[np.float64]


def heading_while_rolling(true_airspeed: ArrayLike, bank: ArrayLike, roll_rate: ArrayLike) -> Floats:
    """Return how far the heading turns while the bank goes from level to φ, or back, its size [rad].

    The heading turns at g tan φ / V; with the bank changing at a steady p, the integral of tan φ dφ / p is

    Δψ = (g / (V p)) ln n, with the load factor n = 1/cos φ.

    It is how far before the roll-out heading the roll out must begin. The rule of half the bank (common
    practice, no source) is 22.5° for 45°.

    Parameters
    ----------
    true_airspeed
        V [m s⁻¹]
    bank
        φ, either side [rad]
    roll_rate
        p, its size, not 0 [rad s⁻¹]

    Raises
    ------
    NoSolutionError
        At 90° of bank or more.

    Notes
    -----
    Source: own derivation, above.
    """
    per_roll = np.multiply(true_airspeed, roll_rate, dtype=np.float64)
    return standard_gravity * np.log(turn.load_factor(bank)) / per_roll


def ground_radius(ground_speed: ArrayLike, crab: ArrayLike, bank: ArrayLike) -> Floats:
    """Return the radius at which the ground path curves at this moment, G²/(g |tan φ| cos δ) [m].

    Infinite with wings level.

    Parameters
    ----------
    ground_speed
        G [m s⁻¹]
    crab
        δ, either sign, less than π/2 [rad]
    bank
        φ, either side, less than π/2 [rad]

    Notes
    -----
    Source: `circle.bank_from_ground_speed` solved for the radius.
    """
    across = standard_gravity * np.abs(np.tan(bank)) * np.cos(crab)
    with np.errstate(divide="ignore"):
        return np.asarray(ground_speed, dtype=np.float64) ** 2 / across


def ground_radius_extremes(
    true_airspeed: ArrayLike, wind_speed: ArrayLike, bank: ArrayLike
) -> tuple[Floats, Floats]:
    """Return the least radius of the ground path, straight upwind, and the greatest, straight downwind [m].

    (V ∓ W)²/(g |tan φ|). A turn around a point has it the other way about: one radius, and a bank whose
    tangent goes as (V ∓ W)². The ratio of these two radii is how different the two maneuvers look.

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    bank
        φ, either side, not 0, less than π/2 [rad]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.

    Notes
    -----
    Source: `ground_radius` at the extremes of ground speed; G²/cos δ falls all the way from downwind to
    upwind (`circle.bank_extremes`).
    """
    slowest, fastest = ground_speed_extremes(true_airspeed, wind_speed)
    return ground_radius(slowest, 0.0, bank), ground_radius(fastest, 0.0, bank)
