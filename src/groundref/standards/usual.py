"""What each kind of maneuver is usually flown with, where nothing else is asked for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import radians
from typing import Final

from groundref.units import foot


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
