"""Lengths offered in place of one that is refused, in feet and in meters, each rounded so that it is taken.

A sentence of a plan is read in either unit. A limit that is rounded to the nearest foot or turned from that
into meters may lie on its wrong side, and whoever types what was offered is refused again.
"""

from __future__ import annotations

from math import ceil, floor
from typing import Final

from groundref.units import foot

_ROUNDING: Final = 1e-6  # of a foot or a meter: a whole one stays itself


def or_more(least: float, metric: float | None = None) -> str:
    """Return the least length that is taken, rounded up in each unit, such as `3,000 ft (915 m) or more`.

    Parameters
    ----------
    least
        [m]
    metric
        That for who reads meters, where it is another one [m]
    """
    meters = least if metric is None else metric
    return f"{ceil(least / foot - _ROUNDING):,} ft ({ceil(meters - _ROUNDING):,} m) or more"


def or_less(most: float) -> str:
    """Return the greatest length that is taken, rounded down in each unit.

    Parameters
    ----------
    most
        [m]
    """
    return f"{floor(most / foot + _ROUNDING):,} ft ({floor(most + _ROUNDING):,} m) or less"


def both(length: float) -> str:
    """Return a length that is refused, with a decimal where a whole number would hide why.

    Parameters
    ----------
    length
        [m]
    """
    return f"{figure(length / foot)} ft ({figure(length)} m)"


def figure(value: float) -> str:
    """Return a number without a decimal where it has none."""
    return f"{value:,.1f}".removesuffix(".0")
