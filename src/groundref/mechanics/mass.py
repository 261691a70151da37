"""Speeds at another mass of the same airplane.

In steady level flight lift carries the weight, ½ ρ V² S C_L = m g. Stall speed, maneuvering speed and
best-glide speed each belong to one lift coefficient: the greatest one at one load, the greatest one at the
limit load factor, and that of the best ratio of lift to drag. At equal C_L, ρ and S therefore V² ∝ m, and

V = V₀ √(m/m₀).

The glide *ratio* belongs to the lift coefficient too and does not change with mass. Calibrated airspeed takes
the place of ½ ρ V², so the law holds for calibrated airspeeds at any height.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from groundref.errors import NoSolutionError

Floats = NDArray[np.float64]


def speed_at_mass(speed: ArrayLike, reference_mass: ArrayLike, mass: ArrayLike) -> Floats:
    """Return a speed of one lift coefficient at another mass, V₀ √(m/m₀) [m s⁻¹].

    A lighter airplane stalls slower, glides best slower, and has a *lower* maneuvering speed: the same
    lift moves less mass, so the limit load factor is reached at less speed.

    Parameters
    ----------
    speed
        V₀, at the reference mass [m s⁻¹]
    reference_mass
        m₀, which the speed is for, positive [kg]
    mass
        m, positive [kg]

    Raises
    ------
    NoSolutionError
        Where a mass is not positive.

    Notes
    -----
    Source: own derivation, in the module's docstring; the rule itself is in FAA-H-8083-25, Pilot's Handbook
    of Aeronautical Knowledge (from memory).
    """
    known, asked = np.asarray(reference_mass, dtype=np.float64), np.asarray(mass, dtype=np.float64)
    if np.any(known <= 0.0) or np.any(asked <= 0.0):
        raise NoSolutionError("a mass is not positive", "mass", "give the mass of the loaded airplane")
    return np.asarray(speed, dtype=np.float64) * np.sqrt(asked / known)
