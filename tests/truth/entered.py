"""How a maneuver was really entered, over what an instructor would mention, as docs/findings.md states it."""

from __future__ import annotations

from collections.abc import Callable
from math import asin, atan2, cos, degrees, hypot, pi, radians, remainder, sin, tan
from typing import Final

import numpy as np

from groundref.simulation.truth import TrueManeuver, Truth

from .sortie import FOOT, KNOT

Size = Callable[[Truth, TrueManeuver], float]

BEFORE: Final = 5.0
"""Time before the turn over which the wind and what was held are taken [s]."""
_FELT: Final = 4.0 * KNOT
"""In less wind no direction is downwind."""
_ROLL: Final = 3.0
_OFF: Final = 20.0
_JOINED: Final = 45.0
_LATE: Final = 2.0
_ALONG_WIND: Final = sin(radians(20.0))
"""A line within 20° of the wind has no downwind side."""
_GRAVITY: Final = 9.80665


def late(truth: Truth, maneuver: TrueManeuver) -> float:
    """Return by how much half of the bank came after the place of the entry was abeam, over 2 s."""
    return (maneuver.start - maneuver.entry_time) / _LATE


def off_downwind(truth: Truth, maneuver: TrueManeuver) -> float:
    """Return how far the track at the entry was off downwind, over 20°."""
    downwind = _downwind(truth, maneuver)
    return 0.0 if downwind is None else _apart(maneuver.entry_track, downwind) / _OFF


def off_square(truth: Truth, maneuver: TrueManeuver) -> float:
    """Return how far the first crossing of a line was off square to it with the wind behind, over 20°."""
    downwind = _downwind(truth, maneuver)
    if downwind is None:
        return 0.0
    square = _bearing(maneuver, 0, 1) + 0.5 * pi
    behind = cos(square - downwind)
    if abs(behind) < _ALONG_WIND:
        return 0.0
    return _apart(maneuver.entry_track, square if behind > 0.0 else square + pi) / _OFF


def beyond_ways(truth: Truth, maneuver: TrueManeuver) -> float:
    """Return how far eights around pylons were entered beyond the ways between the pylons, over 20°.

    The ways make the angle asin(R/c) with the line of the pylons, 2c apart; that line lies some angle off
    square to the wind, which turns one of the ways as much farther off downwind.
    """
    downwind = _downwind(truth, maneuver)
    if downwind is None:
        return 0.0
    (e1, n1), (e2, n2) = maneuver.places
    tilt = asin(min(2.0 * maneuver.radius / hypot(e2 - e1, n2 - n1), 1.0))
    off_square_wind = abs(remainder(_bearing(maneuver, 0, 1) - downwind - 0.5 * pi, pi))
    farthest = degrees(0.5 * pi - tilt + off_square_wind)
    return (_apart(maneuver.entry_track, downwind) - farthest) / _OFF


def off_joining(truth: Truth, maneuver: TrueManeuver) -> float:
    """Return how far a rectangular course was joined off 45° to its first leg, over 20°.

    Where the first leg is none that lies downwind, it is how far that leg lies off downwind.
    """
    first, downwind = _bearing(maneuver, 3, 0), _downwind(truth, maneuver)
    if downwind is not None and _apart(first, downwind) > _JOINED:
        return _apart(first, downwind) / _OFF
    side = 1.0 if maneuver.direction == "right" else -1.0
    joined = side * degrees(remainder(maneuver.entry_track - first, 2.0 * pi))
    return abs(joined - _JOINED) / _OFF


def too_far(truth: Truth, maneuver: TrueManeuver) -> float:
    """Return how much farther from the point the circle was entered than it was flown later."""
    wanted = _later(truth, maneuver)
    return (_abeam(truth, maneuver) - wanted) / _noticed(wanted)


def too_close(truth: Truth, maneuver: TrueManeuver) -> float:
    """Return how much closer it was entered than flown later, or than the limit of bank allows there."""
    inside = truth.during(maneuver.start + _ROLL, maneuver.end - _ROLL)
    needed = truth.ground_speed[inside] ** 2 / np.cos(truth.crab[inside])
    smallest = float(needed.max()) / (_GRAVITY * tan(maneuver.bank_limit))
    wanted = max(_later(truth, maneuver), smallest)
    return (wanted - _abeam(truth, maneuver)) / _noticed(wanted)


def _noticed(distance: float) -> float:
    """Return the error of distance that is worth a word: 15 % of it, and 250 ft on any circle [m]."""
    return min(0.15 * distance, 250.0 * FOOT)


def _abeam(truth: Truth, maneuver: TrueManeuver) -> float:
    """Return the distance abeam the point, or where the turn began when that was earlier [m]."""
    at = np.array([min(maneuver.entry_time, maneuver.start)])
    east, north = truth.at("east", at) - maneuver.east, truth.at("north", at) - maneuver.north
    return float(np.hypot(east, north)[0])


def _later(truth: Truth, maneuver: TrueManeuver) -> float:
    """Return the mean distance from half of the first lap on [m]."""
    half = maneuver.start + 0.5 * (maneuver.boundaries[1] - maneuver.boundaries[0])
    after = truth.during(half, maneuver.end - _ROLL)
    return float(np.hypot(truth.east - maneuver.east, truth.north - maneuver.north)[after].mean())


def _downwind(truth: Truth, maneuver: TrueManeuver) -> float | None:
    """Return the direction that the wind blew to at the entry; None when there was next to none [rad]."""
    before = truth.during(maneuver.start - BEFORE, maneuver.start)
    east, north = float(truth.wind_east[before].mean()), float(truth.wind_north[before].mean())
    return None if hypot(east, north) < _FELT else atan2(east, north)


def _bearing(maneuver: TrueManeuver, one: int, other: int) -> float:
    """Return the direction from one of the places to another [rad]."""
    (e1, n1), (e2, n2) = maneuver.places[one], maneuver.places[other]
    return atan2(e2 - e1, n2 - n1)


def _apart(one: float, other: float) -> float:
    """Return the angle between two directions [deg]."""
    return abs(degrees(remainder(one - other, 2.0 * pi)))


AROUND_A_POINT: Final[dict[str, Size]] = {
    "late-turn-entry": late,
    "entry-not-downwind": off_downwind,
    "entry-too-close": too_close,
    "entry-too-far": too_far,
}
