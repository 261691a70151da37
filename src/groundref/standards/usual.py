"""What each kind of maneuver is usually flown with, where nothing else is asked for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import radians
from typing import Final

from groundref.units import foot, statute_mile

CROSSING: Final = radians(45)
"""Angle at which eights across a road cross it; common practice, no source."""
APART: Final = 3.0
"""Distance between the pylons of eights around pylons over the radius; common practice, no source."""
# A rectangle with sides of about a mile, flown a quarter to half a mile outside of it (AC 61-21, chapter 11,
# as quoted in common copies); 0.3 miles where the corners leave the choice.
LONGER_SIDE: Final = statute_mile
OUTSIDE: Final = 0.3 * statute_mile
FARTHEST_OUTSIDE: Final = 0.5 * statute_mile
CORNER_BANK: Final = radians(35)
"""Of a rectangle's corners where they are steepest; common practice, no source."""
STRAIGHT: Final = 10.0
"""Least time straight between two corners, flown straight downwind; common practice, no source [s]."""
ENTRY_ANGLE: Final = radians(45)
"""Between the way in and the first leg of a rectangular course: PA.V.B.S3a."""
DIRECTLY: Final = radians(48)
"""From this bank on, that of commercial applicants, one steep turn is rolled directly into the next."""
PAUSE: Final = 8.0
"""Straight flight between two steep turns of less bank; common practice, no source [s]."""


@dataclass(frozen=True, slots=True)
class Usual:
    """Usual figures of one kind; common practice, no source, but for the heights: see `docs/simulate.md`.

    Attributes
    ----------
    laps
        Laps, half circles, eights of two loops, circuits or turns.
    radius
        As in an exercise [m]
    height
        Above the ground [m]
    bank
        Bank that is not exceeded to correct; of steep turns the bank to hold [rad]
    """

    laps: int
    radius: float
    height: float
    bank: float


_LOW: Final = 800 * foot  # amid the 600 to 1,000 ft of FAA-H-8083-3C, chapter 7
_ANY: Final = radians(45)  # FAA-H-8083-3C, p. 7-5

USUAL: Final[Mapping[str, Usual]] = {
    "turns-around-a-point": Usual(3, 1200 * foot, _LOW, _ANY),
    "s-turns": Usual(6, 1200 * foot, _LOW, _ANY),
    "rectangular-course": Usual(2, 1500 * foot, _LOW, _ANY),
    "eights-along-a-road": Usual(2, 1200 * foot, _LOW, _ANY),
    "eights-across-a-road": Usual(2, 1200 * foot, _LOW, _ANY),
    "eights-around-pylons": Usual(2, 1200 * foot, _LOW, _ANY),
    # The height follows from the speed; the bank is that of CA.V.E.S5.
    "eights-on-pylons": Usual(2, 1200 * foot, 900 * foot, radians(40)),
    # High enough to recover: FAA-H-8083-3C, chapter 10, from memory; the private pilot's bank.
    "steep-turns": Usual(2, 1200 * foot, 2500 * foot, radians(45)),
}


def usual(kind: str) -> Usual:
    """Return the usual figures of a kind; those of turns around a point for one that has none.

    Parameters
    ----------
    kind
        Such as `s-turns`.
    """
    return USUAL.get(kind, USUAL["turns-around-a-point"])
