"""The sight line: where the point on the ground sits as seen past the wing.

The wing line is the airplane's lateral axis, carried out past the wing on the side of the point. On a
constant-radius circle at constant height the depression to the point stays the same while the bank changes
with the wind, and crab moves the point ahead of or behind abeam: the wing does *not* stay on the point.
Numbers or arrays that broadcast together in, their common shape out.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def depression(distance: ArrayLike, height: ArrayLike) -> Floats:
    """Return how far below the horizontal the point lies, atan(H/d); π/2 straight overhead [rad].

    Parameters
    ----------
    distance
        d, horizontal distance to the point [m]
    height
        H, height above the point [m]
    """
    return np.arctan2(np.asarray(height, dtype=np.float64), np.asarray(distance, dtype=np.float64))


def wing_line_reach(height: ArrayLike, bank: ArrayLike) -> Floats:
    """Return the horizontal distance at which the wing line meets the ground, H/tan φ, level nose [m].

    Infinite with wings level. The point lies on the wing line only where this equals its distance and it is
    abeam as well.

    Parameters
    ----------
    height
        H, height above the ground [m]
    bank
        φ, toward the point positive, not negative [rad]
    """
    with np.errstate(divide="ignore"):
        return np.asarray(height, dtype=np.float64) / np.tan(np.asarray(bank, dtype=np.float64))


def wing_line_ahead(bank: ArrayLike, pitch: ArrayLike) -> Floats:
    """Return how far ahead of abeam a raised nose tilts the wing line, atan(tan φ sin θ) [rad].

    In level axes that turn with the heading the lateral axis is (sin φ sin θ forward, cos φ sideways,
    sin φ cos θ down); the first two give the angle.

    Parameters
    ----------
    bank
        φ, toward the point positive [rad]
    pitch
        θ, nose up positive [rad]

    Notes
    -----
    Source: own derivation, above.
    """
    roll, nose = np.asarray(bank, dtype=np.float64), np.asarray(pitch, dtype=np.float64)
    forward_over_sideways: Floats = np.tan(roll) * np.sin(nose)
    return np.arctan(forward_over_sideways)


def ahead_of_abeam(crab: ArrayLike, direction: ArrayLike) -> Floats:
    """Return how far ahead of abeam the point is on a circle about it, behind negative [rad].

    On the circle the point is square to the track, so it leaves abeam by the crab alone: a nose turned
    into the circle has it ahead of the wing, a nose turned out of it behind.

    Parameters
    ----------
    crab
        Heading minus track, nose right positive [rad]
    direction
        +1 for a right turn, −1 for a left turn.
    """
    return np.multiply(direction, crab, dtype=np.float64)


def point_from_wing(bank: ArrayLike, depression: ArrayLike, ahead: ArrayLike) -> tuple[Floats, Floats]:
    """Return where the point sits from the wing line, above it and ahead of it, level nose [rad].

    The line of sight is (cos D sin α forward, cos D cos α sideways, sin D down) in level axes; rolled by φ
    about the nose it becomes y = s cos φ + d sin φ along the wing and u = s sin φ − d cos φ above it.
    Abeam, that is simply φ − D: with more bank than depression the wing tip dips below the point.

    Parameters
    ----------
    bank
        φ, toward the point positive [rad]
    depression
        D, of the point below the horizontal [rad]
    ahead
        α, of the point ahead of abeam in the horizontal [rad]

    Returns
    -------
    above
        Angle of the point above the plane of the wings, below negative [rad]
    ahead
        Angle of the point ahead of the wing line within that plane, behind negative [rad]

    Notes
    -----
    Source: own derivation, above.
    """
    roll = np.asarray(bank, dtype=np.float64)
    below = np.asarray(depression, dtype=np.float64)
    forward = np.cos(below) * np.sin(ahead)
    sideways, down = np.cos(below) * np.cos(ahead), np.sin(below)
    along_wing = sideways * np.cos(roll) + down * np.sin(roll)
    above_wing = sideways * np.sin(roll) - down * np.cos(roll)
    return np.arcsin(np.clip(above_wing, -1.0, 1.0)), np.arctan2(forward, along_wing)
