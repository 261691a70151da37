"""What was really flown in a maneuver: which errors were made, and whether an element's limit was kept.

An error that a lesson orders is not always made at its size, and others are made without being ordered: a
slip slows the airplane, a gust lifts it. So what can be seen in the truth itself is taken from there, over
what an instructor would mention (the thresholds that docs/findings.md states), and only the rest from what
was ordered.
"""

from __future__ import annotations

from itertools import pairwise
from math import degrees, nan, radians
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.simulation.truth import TrueManeuver, Truth
from groundref.standards.standard import Element

from . import entered
from .entered import BEFORE, Size
from .kept_off import bank_at_line, uneven_circuits, uneven_sides
from .sortie import FOOT, KNOT

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

_GRAVITY: Final = 9.80665
_RATE: Final = 10.0
"""Samples a second of the truth."""
_ROLL: Final = 3.0

MADE, NOT_MADE, MARGINAL = "made", "not made", "marginal"
_SURELY, _HARDLY, _AS_ORDERED = 1.3, 0.7, 1.0


def calm(values: Floats, seconds: float) -> Floats:
    """Return the running mean over some seconds: what one sees in shaking air."""
    width = 2 * int(0.5 * seconds * _RATE) + 1
    padded = np.pad(values, width // 2, mode="edge")
    return np.convolve(padded, np.full(width, 1.0 / width), mode="valid")


def altitude_off(truth: Truth, maneuver: TrueManeuver) -> float:
    """Return the largest deviation from the altitude before the turn [ft]."""
    return _off(truth, maneuver, calm(truth.altitude, 1.0)) / FOOT


def airspeed_off(truth: Truth, maneuver: TrueManeuver) -> float:
    """Return the largest deviation from the airspeed before the turn, gusts of a moment left out [kt]."""
    return _off(truth, maneuver, calm(truth.true_airspeed, 3.0)) / KNOT


def _off(truth: Truth, maneuver: TrueManeuver, values: Floats) -> float:
    before = truth.during(maneuver.start - BEFORE, maneuver.start)
    inside = truth.during(maneuver.start, maneuver.end)
    return float(np.abs(values[inside] - values[before].mean()).max())


def steepest(truth: Truth, maneuver: TrueManeuver) -> float:
    """Return the steepest bank [deg]."""
    inside = truth.during(maneuver.start, maneuver.end)
    return float(np.degrees(np.abs(calm(truth.bank, 1.0)[inside])).max())


def heights(truth: Truth, maneuver: TrueManeuver) -> tuple[float, float]:
    """Return the least and the greatest height above the ground [ft]."""
    height = truth.height[truth.during(maneuver.start, maneuver.end)] / FOOT
    return float(height.min()), float(height.max())


def uncoordinated(truth: Truth, maneuver: TrueManeuver) -> float:
    """Return the largest lateral acceleration over five seconds [g]."""
    felt = calm(truth.lateral_acceleration, 5.0)[truth.during(maneuver.start, maneuver.end)]
    return float(np.abs(felt).max()) / _GRAVITY


def off_bank(truth: Truth, maneuver: TrueManeuver, target: float) -> float:
    """Return the largest deviation of the mean bank of three seconds, the rolling left aside [deg]."""
    bank = np.abs(np.degrees(calm(truth.bank, 3.0)))
    worst = 0.0
    for first, last in _turns(truth, maneuver, 0.5 * target):
        inside = truth.during(truth.time[first] + _ROLL, truth.time[last] - _ROLL)
        if inside.any():
            worst = max(worst, float(np.abs(bank[inside] - target).max()))
    return worst


def off_heading(truth: Truth, maneuver: TrueManeuver, target: float) -> float:
    """Return by how much a roll-out missed the heading before the turn at most [deg].

    The heading after it is the mean of two seconds with wings level, or that at the moment between two turns.
    """
    bank, heading = calm(truth.bank, 1.0), np.unwrap(truth.heading)
    level = np.abs(bank) < radians(4.0)
    level[1:] |= bank[1:] * bank[:-1] < 0
    worst = 0.0
    for first, last in _turns(truth, maneuver, 0.5 * target):
        before, after = np.flatnonzero(level[:first])[-1], last + np.flatnonzero(level[last:])[0]
        straightened = slice(after, after + int(2.0 * _RATE))
        rolled_out = heading[straightened][level[straightened]].mean()
        worst = max(worst, abs(abs(degrees(rolled_out - heading[before])) - 360.0))
    return worst


def _turns(truth: Truth, maneuver: TrueManeuver, half: float) -> list[tuple[int, int]]:
    """Return first and last sample of each stretch with more than half of the bank, one way each."""
    inside = truth.during(maneuver.start - 1.0, maneuver.end + 1.0)
    bank = np.degrees(calm(truth.bank, 1.0))
    side = np.where(inside & (np.abs(bank) > half), np.sign(bank), 0.0)
    edges = np.flatnonzero(np.diff(side)) + 1
    ends = [0, *edges.tolist(), side.size]
    return [(a, b - 1) for a, b in pairwise(ends) if side[a] and b - a > 5 * _RATE]


def straight(truth: Truth, maneuver: TrueManeuver) -> tuple[float, float]:
    """Return the shortest and the longest time with wings level between two loops [s]."""
    inside = truth.during(maneuver.start, maneuver.end)
    level = inside & (np.abs(np.degrees(calm(truth.bank, 1.0))) < 5.0)
    edges = np.flatnonzero(np.diff(np.concatenate(([False], level, [False])).astype(int)))
    spans = [(b - a) / _RATE for a, b in edges.reshape(-1, 2) if b - a > 0.5 * _RATE]
    return (min(spans), max(spans)) if spans else (nan, nan)


_HELD: Final[dict[str, Size]] = {
    "altitude-not-held": lambda truth, flown: altitude_off(truth, flown) / 75.0,
    "airspeed-not-held": lambda truth, flown: airspeed_off(truth, flown) / 7.5,
    "uncoordinated": lambda truth, flown: uncoordinated(truth, flown) / 0.05,
    "outside-height-band": lambda truth, flown: (
        max(600.0 - heights(truth, flown)[0], heights(truth, flown)[1] - 1000.0) / 50.0
    ),
    "bank-over-limit": lambda truth, flown: max(steepest(truth, flown) - degrees(flown.bank_limit), 0.0),
}
SEEN: Final[dict[str, dict[str, Size]]] = {
    "turns-around-a-point": _HELD | entered.AROUND_A_POINT,
    "s-turns": _HELD | {"entry-not-downwind": entered.off_square, "not-level-at-line": bank_at_line},
    "rectangular-course": _HELD
    | {"entry-not-downwind": entered.off_joining, "leg-distance-uneven": uneven_circuits},
    "eights-along-a-road": _HELD,
    "eights-across-a-road": _HELD,
    "eights-around-pylons": _HELD | {"entry-not-downwind": entered.beyond_ways},
    "eights-on-pylons": {name: _HELD[name] for name in ("uncoordinated", "bank-over-limit")},
    "steep-turns": {
        "altitude-not-held": _HELD["altitude-not-held"],
        "airspeed-not-held": _HELD["airspeed-not-held"],
        "uncoordinated": _HELD["uncoordinated"],
        "bank-not-held": lambda truth, flown: off_bank(truth, flown, degrees(flown.bank_limit)) / 4.0,
        "rollout-heading-missed": lambda truth, flown: (
            off_heading(truth, flown, degrees(flown.bank_limit)) / 8.0
        ),
    },
}
"""What the truth shows of each error, over what an instructor would mention, the places not being known."""
_WITH_PLACES: Final[dict[str, dict[str, Size]]] = {
    "rectangular-course": {"leg-distance-uneven": uneven_sides},
}
"""What else it shows to those who know the places."""


def made(fault: str, truth: Truth, maneuver: TrueManeuver, *, placed: bool = False) -> str:
    """Return whether an error was made: `made`, `not made`, or `marginal`, which no one can be blamed for.

    What was ordered and came out as large as is worth mentioning was made; what was not ordered
    was made from 1.3 times that on, and not made below 0.7 of it.

    Parameters
    ----------
    fault, truth, maneuver
        What is asked, and where.
    placed
        Whether the places on the ground are known, so that what was flown off them shows too.
    """
    ordered = fault in maneuver.faults
    size = SEEN[maneuver.kind].get(fault)
    if placed:
        size = _WITH_PLACES.get(maneuver.kind, {}).get(fault, size)
    if size is None:
        return MADE if ordered else NOT_MADE
    flown = size(truth, maneuver)
    if ordered:
        return MADE if flown >= _AS_ORDERED else MARGINAL
    return MADE if flown >= _SURELY else NOT_MADE if flown < _HARDLY else MARGINAL


def kept(element: Element, truth: Truth, maneuver: TrueManeuver) -> bool | None:
    """Return whether an element's limit was kept; None where the truth is not asked."""
    if element.limit is None:
        return None
    limit, least = element.limit, element.minimum
    target = 45.0 if element.target is None else element.target
    match element.quantity:
        case "altitude":
            return altitude_off(truth, maneuver) <= limit
        case "airspeed":
            return airspeed_off(truth, maneuver) <= limit
        case "bank":
            return steepest(truth, maneuver) <= limit
        case "bank-held":
            return off_bank(truth, maneuver, target) <= limit
        case "rollout-heading":
            return off_heading(truth, maneuver, target) <= limit
        case "height-band":
            lowest, highest = heights(truth, maneuver)
            return (least is None or lowest >= least) and highest <= limit
        case "straight-segment":
            shortest, longest = straight(truth, maneuver)
            return bool(shortest >= (least or 0.0) and longest <= limit)
    return None
