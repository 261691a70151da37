"""Where a point on the ground stands as seen in the airplane's own axes: ahead of the wing line, above it.

Exact in three dimensions for any heading, bank and pitch. Ahead is positive toward the nose, above positive
away from the ground; `side` says which wing: +1 the right, −1 the left.
Numbers or arrays that broadcast together in, their common shape out.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from groundref.mechanics.boundary import along_and_right

Floats = NDArray[np.float64]


def pylon_from_wing(
    east: ArrayLike,
    north: ArrayLike,
    height: ArrayLike,
    heading: ArrayLike,
    bank: ArrayLike,
    side: ArrayLike,
    pitch: ArrayLike = 0.0,
) -> tuple[Floats, Floats]:
    """Return how far ahead of the wing line and how far above the wing's plane a pylon stands [rad].

    The line of sight, forward, right and down in level axes that turn with the heading, is turned by pitch
    about the wings and then by bank about the nose. Ahead is measured within the wing's plane; with the
    pylon on the wing line both are 0.

    Parameters
    ----------
    east, north
        Of the pylon from the airplane [m]
    height
        Of the airplane above the pylon [m]
    heading
        True [rad]
    bank
        φ, right wing down positive [rad]
    side
        +1 for the right wing, −1 for the left.
    pitch
        θ, nose up positive [rad]

    Returns
    -------
    ahead
        Ahead of the wing line positive, behind it negative [rad]
    above
        Above the plane of the wings positive [rad]

    Notes
    -----
    Source: rotations of ISO 1151 (yaw, pitch, roll) applied to the line of sight.
    """
    forward, right = along_and_right(east, north, heading)
    down, nose, roll = np.asarray(height, dtype=np.float64), np.asarray(pitch), np.asarray(bank)
    along_nose = forward * np.cos(nose) - down * np.sin(nose)
    below = forward * np.sin(nose) + down * np.cos(nose)
    along_wing = right * np.cos(roll) + below * np.sin(roll)
    above_wing = right * np.sin(roll) - below * np.cos(roll)
    toward_pylon = np.multiply(side, along_wing, dtype=np.float64)
    return np.arctan2(along_nose, toward_pylon), np.arctan2(above_wing, np.hypot(along_nose, along_wing))


def bank_through_pylon(
    east: ArrayLike,
    north: ArrayLike,
    height: ArrayLike,
    heading: ArrayLike,
    pitch: ArrayLike = 0.0,
) -> Floats:
    """Return the bank that brings the wing's plane down onto a pylon, right wing down positive [rad].

    Abeam with the nose level it is the pylon's depression, atan(H/d), and the wing line is on the pylon;
    elsewhere the pylon then stands ahead of the wing line or behind it, at the wing's own level.

    Parameters
    ----------
    east, north
        Of the pylon from the airplane [m]
    height
        Of the airplane above the pylon, not negative [m]
    heading
        True [rad]
    pitch
        θ, nose up positive [rad]

    Notes
    -----
    Source: `pylon_from_wing` with nothing above the plane, y sin φ = z cos φ.
    """
    forward, right = along_and_right(east, north, heading)
    nose = np.asarray(pitch, dtype=np.float64)
    below = forward * np.sin(nose) + np.asarray(height, dtype=np.float64) * np.cos(nose)
    return np.arctan(below / right)


def ahead_of_abeam(east: ArrayLike, north: ArrayLike, heading: ArrayLike, side: ArrayLike) -> Floats:
    """Return how far ahead of abeam a pylon lies in the horizontal, behind negative [rad].

    What remains of `pylon_from_wing` without bank and height: it needs a heading and nothing else.

    Parameters
    ----------
    east, north
        Of the pylon from the airplane [m]
    heading
        True [rad]
    side
        +1 for the right wing, −1 for the left.
    """
    forward, right = along_and_right(east, north, heading)
    return np.arctan2(forward, np.multiply(side, right, dtype=np.float64))
