"""Which maneuvers came to nothing: so far from what was to be flown that no name fits, found or not.

The lessons order errors that students make, and an airplane with its own physics does with them what it will;
now and then the intention is lost with it. This is asked of the truth alone, of every kind where it has
sense:

* **bank**: more than 60° is aerobatics, for which parachutes are worn (14 CFR 91.307(c), from memory), and
  not work about a place; steep turns are at 45 or 50°, and steeper where the order is to hold it badly;
* **the place**: point or pylon lies on the side of the turn, within 45° of abeam the nose, for two thirds of
  each loop or lap; the middle of a field anywhere on that side, since it is not abeam in a corner; of half
  circles and loops by a road as much lies on one side of it in those to the left, on the other in those to
  the right.

Who is told to hold the bank, or to change the distance, is to be carried off the place, and is not asked for
it. Loops are the stretches banked one way, since where one ends is less sure in turbulence than which wing is
down. The figures are our own.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.simulation.truth import TrueManeuver, Truth

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Stretch = tuple[float, Bools]

_AEROBATIC: Final = np.radians(60.0)
_ABEAM: Final = np.radians(45.0)
_BESIDE: Final = np.radians(90.0)
_PART: Final = 2.0 / 3.0
_SECONDS: Final = 31
"""Samples of a tenth of a second that the bank is averaged over."""
_LOOP: Final = np.radians(90.0)
_TURNING: Final = np.radians(12.0)
_CARRIED_OFF: Final = {"bank-held-constant", "radius-changed"}
STEEP, ELSEWHERE = "banked beyond 60°", "turned about another place"


def astray(truth: Truth, maneuver: TrueManeuver) -> str:
    """Return why a maneuver was none of its kind; empty where it was.

    Parameters
    ----------
    truth, maneuver
        The flight, and what was to be flown.
    """
    if maneuver.reference == "none":
        return ""
    inside = truth.during(maneuver.start, maneuver.end)
    if float(np.abs(truth.bank[inside]).max()) > _AEROBATIC:
        return STEEP
    if _CARRIED_OFF & set(maneuver.faults):
        return ""
    return "" if min(about_place(truth, maneuver), default=1.0) >= _PART else ELSEWHERE


def about_place(truth: Truth, maneuver: TrueManeuver) -> list[float]:
    """Return for each loop or lap the part of it that was about its place.

    Parameters
    ----------
    truth, maneuver
        The flight, and what was to be flown about a place.
    """
    loops = _loops(truth, maneuver)
    if maneuver.reference == "line":
        return _beside_line(truth, maneuver, loops)
    places, limit = np.array(maneuver.places), _ABEAM
    if maneuver.reference == "rectangle":
        places, limit = places.mean(axis=0, keepdims=True), _BESIDE
    orders = (places, places[::-1])
    shares = [
        [float(np.mean(_abeam(truth, loop, order[int(loop[0] > 0) % len(order)], limit))) for loop in loops]
        for order in orders
    ]
    return max(shares, key=sum)


def _loops(truth: Truth, maneuver: TrueManeuver) -> list[Stretch]:
    """Return which way each loop turned, +1 right, and its samples."""
    bank = np.convolve(truth.bank, np.full(_SECONDS, 1.0 / _SECONDS), mode="same")
    turning = np.flatnonzero(truth.during(maneuver.start, maneuver.end) & (np.abs(bank) > _TURNING))
    side, track = np.sign(bank), np.unwrap(truth.track)
    found = []
    for part in np.split(turning, np.flatnonzero(np.diff(side[turning])) + 1):
        if part.size and abs(track[part[-1]] - track[part[0]]) > _LOOP:
            inside = np.zeros(bank.size, dtype=np.bool_)
            inside[part] = True
            found.append((float(side[part[0]]), inside))
    return found


def _abeam(truth: Truth, loop: Stretch, place: Floats, limit: float) -> Bools:
    """Return at each sample of a loop whether a place lies within a limit of the inner wing."""
    side, inside = loop
    bearing = np.arctan2(place[0] - truth.east[inside], place[1] - truth.north[inside])
    off = np.angle(np.exp(1j * (bearing - truth.heading[inside] - 0.5 * np.pi * side)))
    return np.asarray(np.abs(off) < limit)


def _beside_line(truth: Truth, maneuver: TrueManeuver, loops: list[Stretch]) -> list[float]:
    """Return for each loop or half circle the part of it on the side of the line where those its way lie."""
    (east, north), (other_east, other_north) = maneuver.places
    right = (truth.east - east) * (other_north - north) - (truth.north - north) * (other_east - east)
    sides = [side * np.sign(right[inside]) for side, inside in loops]
    usual = np.sign(sum(float(side.mean()) for side in sides))
    return [float(np.mean(side == usual)) for side in sides]
