"""The wind measured in a flight, from the JSON that `groundref wind RECORDING --json FILE` writes."""

from __future__ import annotations

import json
from datetime import datetime
from math import hypot, radians
from typing import Any, Final

from groundref.angles import wrap
from groundref.errors import InputError
from groundref.units import knot
from groundref.weather.wind_used import WindUsed

SCHEMAS: Final = ("groundref/wind/1", "groundref/debrief/1")  # a debrief holds the same list

_LARGEST: Final = 1e6  # beyond any wind or angle, and what NaN is not below
_NUMBERS: Final = ("from_deg", "speed_kt", "north_sd_kt", "east_sd_kt")


def from_measured(document: str, where: str) -> WindUsed:
    """Return the best known wind of a flight.

    A flight has one wind for every few minutes. Taken is the one with the least uncertainty: the maneuvers
    themselves, with their many headings, tell the wind best, and climb and approach hardly tell it.

    Parameters
    ----------
    document
        The JSON, as text.
    where
        Name of its file, for messages.

    Raises
    ------
    InputError
        When it is not such JSON, or holds no wind.
    """
    stretches = _stretches(document, where)
    best = min(stretches, key=lambda stretch: hypot(stretch["north_sd_kt"], stretch["east_sd_kt"]))
    speed, sd = best["speed_kt"] * knot, max(best["north_sd_kt"], best["east_sd_kt"]) * knot
    begin, end = (_moment(best, key, where) for key in ("start", "end"))
    how = (
        f"measured in flight on {begin.day} {begin:%B %Y}, {begin:%H:%M} to {end:%H:%M} UTC: "
        f"{best['from_deg']:03.0f}° at {best['speed_kt']:.0f} kt (±{sd / knot:.1f} kt)"
    )
    assumed = ("The wind is taken to be as it was then, at the height flown then.",)
    direction = float(wrap(radians(best["from_deg"]))) if speed > 0.0 else None
    return WindUsed(speed, direction, None, None, how, assumed, sd)


def _stretches(document: str, where: str) -> list[dict[str, Any]]:
    """Return the stretches of flight with a wind, checked."""
    remedy = "write it with groundref wind RECORDING --json FILE"
    try:
        content = json.loads(document)
    except (ValueError, RecursionError) as problem:
        raise InputError("this is not JSON", where, remedy) from problem
    if not isinstance(content, dict) or content.get("schema") not in SCHEMAS:
        raise InputError("this is not the JSON of a wind", where, remedy)
    listed = content.get("wind")
    if not isinstance(listed, list):
        raise InputError("the key `wind` is not a list", where, remedy)
    for number, stretch in enumerate(listed, 1):
        if not (isinstance(stretch, dict) and all(_is_number(stretch.get(key)) for key in _NUMBERS)):
            raise InputError("a number is missing or is none", f"{where}: wind {number}", remedy)
        if stretch["speed_kt"] < 0 or min(stretch["north_sd_kt"], stretch["east_sd_kt"]) < 0:
            raise InputError("a speed or deviation is negative", f"{where}: wind {number}", remedy)
    if not listed:
        raise InputError(
            "no wind could be told from that flight", where, "fly turns on several headings, or type the wind"
        )
    return listed


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < _LARGEST


def _moment(stretch: dict[str, Any], key: str, where: str) -> datetime:
    try:
        return datetime.fromisoformat(stretch[key])
    except (KeyError, TypeError, ValueError) as problem:
        raise InputError(
            f"the key `{key}` of a wind is not a time", where, "write the file anew"
        ) from problem
