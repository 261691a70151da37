"""Whether a flight was as planned: no number off by more than its uncertainty, and no common error found."""

from __future__ import annotations

from typing import Final

from groundref.comparison.row import Row
from groundref.measures import apart, length, speed, speeds_apart
from groundref.units import degree, foot, knot

SDS: Final = 1.96
"""A difference is told when it is outside the 95 % interval."""
BANK_WORTH: Final = 3.0 * degree
"""Who corrects a circle banks some degrees more than it asks for; common practice, no source."""
_RADIUS_SHARE: Final = 0.05
_RADIUS_WORTH: Final = 100.0 * foot
_HEIGHT_WORTH: Final = 100.0 * foot  # that of PA.V.B.S7
_SPEED_WORTH: Final = 5.0 * knot
_WIND_WORTH: Final = 3.0 * knot
_TIME_SHARE: Final = 0.05
_ROLLS: Final = 10.0  # [s]: rolls from one bank to another, which the plan's pieces do not have
_NOT_ALONE: Final = frozenset({"wind from"})  # told with the wind's speed, and loose in little wind


def radius_worth(planned: float, sd: float) -> float:
    """Return by how much a radius must differ to be told [m]."""
    return max(min(_RADIUS_SHARE * planned, _RADIUS_WORTH), SDS * sd)


def bank_worth(sd: float) -> float:
    """Return by how much a steepest bank must differ to be told [rad]."""
    return sd + BANK_WORTH


def differs(row: Row) -> bool:
    """Return whether what was flown is off what was planned by more than can be told and is worth a word."""
    if row.planned is None or row.flown is None or row.name in _NOT_ALONE:
        return False
    sd, off = row.sd or 0.0, abs(row.flown - row.planned)
    match row.quantity:
        case "angle":
            return off > bank_worth(sd)
        case "time":
            return off > _TIME_SHARE * row.planned + _ROLLS
        case "speed":
            return off > max(_WIND_WORTH if row.name == "wind" else _SPEED_WORTH, SDS * sd)
        case _ if row.name == "radius":
            return off > radius_worth(row.planned, sd)
        case _:
            return off > max(_HEIGHT_WORTH, SDS * sd)


def in_short(rows: tuple[Row, ...], *, found: bool) -> str:
    """Return what is said of a flight of which no difference is worth a sentence of its own, measures open.

    Parameters
    ----------
    rows
        Number by number.
    found
        Whether a common error was found.
    """
    off = [
        _told(row, row.planned, row.flown)
        for row in rows
        if row.planned is not None and row.flown is not None and differs(row)
    ]
    if off:
        return f"Not as planned: {'; '.join(off)}."
    if found:
        return "Nothing differs from the plan beyond the findings above."
    return "Flown as planned, as far as the recording can tell."


def _told(row: Row, planned: float, flown: float) -> str:
    """Return a number that differs: what it was, what was planned, and by how much, as they are printed."""
    way = "more" if flown > planned else "less"
    match row.quantity:
        case "length":
            said, other, by = length(flown), length(planned), apart(flown, planned)
        case "speed":
            said, other, by = speed(flown), speed(planned), speeds_apart(flown, planned)
        case "angle":
            said, other, by = _whole(flown / degree, planned / degree, "°")
        case _:
            said, other, by = _whole(flown, planned, " s")
    return f"{row.name} {said} where {other} was planned ({by} {way})"


def _whole(flown: float, planned: float, unit: str) -> tuple[str, str, str]:
    """Return two numbers and how far the two that are printed lie apart."""
    one, other = round(flown), round(planned)
    return f"{one}{unit}", f"{other}{unit}", f"{abs(one - other)}{unit}"
