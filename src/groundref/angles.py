"""Arithmetic on angles: the only module that knows where a circle closes."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

full_turn: Final = 2.0 * np.pi
half_turn: Final = np.pi
quarter_turn: Final = 0.5 * np.pi


def wrap(angle: ArrayLike) -> Floats:
    """Bring an angle into [0, 2π).

    Parameters
    ----------
    angle
        Any angle [rad]
    """
    wrapped = np.mod(np.asarray(angle, dtype=np.float64), full_turn)
    # A tiny negative angle rounds up to 2π itself: north is 0, never 360.
    return np.where(wrapped >= full_turn, 0.0, wrapped)


def wrap_signed(angle: ArrayLike) -> Floats:
    """Bring an angle into [−π, π).

    Parameters
    ----------
    angle
        Any angle [rad]
    """
    return wrap(np.asarray(angle, dtype=np.float64) + half_turn) - half_turn


def difference(to: ArrayLike, start: ArrayLike) -> Floats:
    """Return the shortest way round from ``start`` to ``to``, positive clockwise, in [−π, π) [rad]."""
    return wrap_signed(np.asarray(to, dtype=np.float64) - np.asarray(start, dtype=np.float64))


def unwrap(angle: ArrayLike) -> Floats:
    """Undo the jumps of a sampled angle at the closure of the circle [rad]."""
    return np.unwrap(np.asarray(angle, dtype=np.float64))


def circular_mean(angle: ArrayLike) -> float:
    """Return the direction of the mean unit vector, in [0, 2π) [rad]."""
    values = np.asarray(angle, dtype=np.float64)
    return float(wrap(np.arctan2(np.sin(values).mean(), np.cos(values).mean())))


def direction_of(east: ArrayLike, north: ArrayLike) -> Floats:
    """Return the direction of a vector, clockwise from north, in [0, 2π) [rad].

    Parameters
    ----------
    east, north
        Components of the vector, any one unit
    """
    return wrap(np.arctan2(np.asarray(east, dtype=np.float64), np.asarray(north, dtype=np.float64)))
