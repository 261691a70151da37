"""Values as plain data: times as text, numbers in a unit of the edge, None where it could not be told."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from math import isfinite

from groundref.units import degree

Clock = Callable[[float | None], str | None]


def clock(epoch: datetime) -> Clock:
    """Return a function from seconds after ``epoch`` to `2026-05-01T12:00:00.000Z`."""

    start = epoch.astimezone(UTC)

    def stamp(seconds: float | None) -> str | None:
        if seconds is None:
            return None
        moment = start + timedelta(seconds=round(seconds, 3))
        return moment.strftime("%Y-%m-%dT%H:%M:%S.") + f"{moment.microsecond // 1000:03d}Z"

    return stamp


def number(value: float | None, unit: float = 1.0, digits: int = 1) -> float | None:
    """Return a value in a unit of the edge, rounded; None where it could not be determined."""
    if value is None or not isfinite(value):
        return None
    return round(float(value) / unit, digits) + 0.0


def bearing(value: float | None) -> float | None:
    """Return a direction in degrees, rounded; north is 0, also where it is rounded up to it."""
    rounded = number(value, degree)
    return None if rounded is None else rounded % 360.0
