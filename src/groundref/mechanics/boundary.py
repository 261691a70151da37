"""A rectangle on the ground: its corners, and how far outside of it or of one of its sides a place lies.

East and north are in any one local frame. Numbers or arrays that broadcast together in, their common shape
out, where not said otherwise.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def along_and_right(east: ArrayLike, north: ArrayLike, bearing: ArrayLike) -> tuple[Floats, Floats]:
    """Return a displacement along a bearing and to the right of it [m].

    Parameters
    ----------
    east, north
        Displacement [m]
    bearing
        True [rad]
    """
    x, y = np.asarray(east, dtype=np.float64), np.asarray(north, dtype=np.float64)
    s, c = np.sin(bearing), np.cos(bearing)
    return x * s + y * c, x * c - y * s


def corners(
    east: float, north: float, bearing: float, length: float, width: float, direction: float
) -> tuple[Floats, Floats]:
    """Return the four corners of a rectangle in the order in which they are passed, east and north [m].

    The first side runs along the bearing; the corners are where sides begin, the first one that of the first
    side. Right-hand circuits have the rectangle on their right.

    Parameters
    ----------
    east, north
        Of the middle of the rectangle [m]
    bearing
        Of the first side in the direction flown, true [rad]
    length, width
        Of the first side and of the next [m]
    direction
        +1 for right turns, −1 for left turns.
    """
    along = 0.5 * length * np.array([-1.0, 1.0, 1.0, -1.0])
    right = 0.5 * direction * width * np.array([-1.0, -1.0, 1.0, 1.0])
    s, c = np.sin(bearing), np.cos(bearing)
    return east + along * s + right * c, north + along * c - right * s


def outside_side(
    east: ArrayLike,
    north: ArrayLike,
    corner_east: ArrayLike,
    corner_north: ArrayLike,
    bearing: ArrayLike,
    direction: ArrayLike,
) -> Floats:
    """Return how far outside the line of one side a place lies, inside negative [m].

    Parameters
    ----------
    east, north
        Of the place [m]
    corner_east, corner_north
        Of any point of the side [m]
    bearing
        Of the side in the direction flown, true [rad]
    direction
        +1 for right turns, with the rectangle on the right, −1 for left turns.
    """
    x, y = np.subtract(east, corner_east), np.subtract(north, corner_north)
    _, right = along_and_right(x, y, bearing)
    return -np.multiply(direction, right, dtype=np.float64)


def outside(
    east: ArrayLike,
    north: ArrayLike,
    middle_east: ArrayLike,
    middle_north: ArrayLike,
    bearing: ArrayLike,
    length: ArrayLike,
    width: ArrayLike,
) -> Floats:
    """Return the distance of a place to the nearest point of the rectangle's boundary, inside negative [m].

    Parameters
    ----------
    east, north
        Of the place [m]
    middle_east, middle_north
        Of the middle of the rectangle [m]
    bearing
        Of its length, true [rad]
    length, width
        [m]

    Notes
    -----
    Source: by symmetry one quarter is enough; outside, the excesses over half length and half width are the
    legs of a right triangle where both are positive; inside, the nearer side counts.
    """
    x, y = np.subtract(east, middle_east), np.subtract(north, middle_north)
    along, right = along_and_right(x, y, bearing)
    over_length = np.abs(along) - 0.5 * np.asarray(length, dtype=np.float64)
    over_width = np.abs(right) - 0.5 * np.asarray(width, dtype=np.float64)
    beyond: Floats = np.hypot(np.maximum(over_length, 0.0), np.maximum(over_width, 0.0))
    return beyond + np.minimum(np.maximum(over_length, over_width), 0.0)
