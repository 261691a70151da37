"""Numbers of the plan JSON: in a unit, rounded, and never a negative zero or NaN."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from groundref.units import degree

Floats = NDArray[np.float64]


def number(value: float | None, unit: float, digits: int) -> float | None:
    """Return a value in a unit, rounded; None stays None."""
    return None if value is None else round(value / unit, digits) + 0.0


def angle(value: float) -> float:
    """Return a direction [rad] in degrees, 0 up to less than 360, rounded to a tenth."""
    return round(value / degree % 360.0, 1) % 360.0


def column(values: Floats, unit: float, digits: int) -> list[object]:
    """Return values in a unit, rounded; what is not known as None."""
    rounded = np.round(values / unit, digits) + 0.0
    return [
        float(value) if known else None for value, known in zip(rounded, np.isfinite(values), strict=True)
    ]
