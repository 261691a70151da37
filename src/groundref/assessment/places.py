"""Places in the circle relative to the wind, and their names as an instructor says them."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import circular_mean, difference, full_turn, half_turn, quarter_turn, wrap

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

downwind: Final = 0.0  # [rad]  position where the track is straight downwind
upwind: Final = half_turn  # [rad]  position where the track is straight into the wind
third: Final = full_turn / 6  # [rad]  half the width of a third of the circle
near: Final = full_turn / 18  # [rad]  20°: a place is taken this far to either side

_NAMES: Final = (
    "flying downwind",
    "turning from downwind to crosswind",
    "flying crosswind after downwind",
    "turning from crosswind to upwind",
    "flying upwind",
    "turning from upwind to crosswind",
    "flying crosswind after upwind",
    "turning from crosswind to downwind",
)


def name(position: float) -> str:
    """Return the name of a place, empty where the wind cannot be told.

    Parameters
    ----------
    position
        Place in the circle, as in `Profile.position` [rad]
    """
    if not np.isfinite(position):
        return ""
    return _NAMES[int(np.floor(float(wrap(position)) / (full_turn / 8) + 0.5)) % 8]


def name_of_many(position: Floats) -> str:
    """Return the name of the middle of some places; empty when there are none or the wind cannot be told."""
    known = position[np.isfinite(position)]
    return name(circular_mean(known)) if known.size else ""


def within(position: Floats, middle: float, half_width: float) -> Bools:
    """Return which places lie within ``half_width`` of ``middle``; none where the wind is unknown [rad]."""
    known = np.isfinite(position)
    return known & (np.abs(difference(np.where(known, position, 0.0), middle)) <= half_width)


def crosswind(position: Floats) -> Bools:
    """Return which places belong neither to the downwind nor to the upwind third [rad]."""
    return within(position, quarter_turn, third / 2) | within(position, -quarter_turn, third / 2)
