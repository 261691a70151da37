"""A stretch of legs that go round one rectangle: what rectangular courses and traffic patterns share."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import wrap_signed
from groundref.detection.rectangle import Fitted, fit_rectangle
from groundref.detection.straights import Chain, Straight
from groundref.estimation.states import States
from groundref.mechanics import boundary
from groundref.units import foot

Floats = NDArray[np.float64]

SAME_LINE: Final = 0.15  # of the rectangle's size, by which legs of one side may lie apart
LEAST_APART: Final = 120.0  # [m] but so much is always allowed
LONGER: Final = 1.15  # times the opposite leg: what is longer belongs to the way in or out
LOW: Final = 300 * foot  # nobody flies a ground reference maneuver so low
DESCENT: Final = 250 * foot  # below the usual height: to land, or to go around


@dataclass(frozen=True, slots=True)
class Circuit:
    """Legs round one rectangle, once and more.

    Attributes
    ----------
    side
        Of the turns, +1 right, −1 left.
    legs
        In the order flown; the last one follows the last corner.
    fitted
        The rectangle.
    """

    side: int
    legs: tuple[Straight, ...]
    fitted: Fitted

    @property
    def corners(self) -> int:
        """How many were flown."""
        return len(self.legs) - 1

    @property
    def first(self) -> int:
        """First sample."""
        return self.legs[0].first

    @property
    def last(self) -> int:
        """Last sample, at the end of the last corner."""
        return self.legs[-1].first

    @property
    def start(self) -> float:
        """When the first leg began [s]."""
        return self.legs[0].start

    @property
    def end(self) -> float:
        """When the last corner was rolled out of [s]."""
        return self.legs[-1].start


def circuits(states: States, chain: Chain, same_line: float = SAME_LINE) -> list[Circuit]:
    """Return the longest stretches of a chain that go round one rectangle once or more.

    Parameters
    ----------
    states, chain
        The flight and one of its chains.
    same_line
        Share of the rectangle's size by which legs of one side may lie apart.
    """
    found: list[Circuit] = []
    reached = 0
    for i in range(len(chain.legs) - 4):
        j = i + 4
        while j < len(chain.legs) and _on_one_line(states, chain, i, j, same_line):
            j += 1
        if j > max(i + 4, reached):
            legs = _trimmed(states, chain.legs[i:j])
            found.append(Circuit(chain.side, legs, fit_rectangle(states, legs, chain.side)))
            reached = j
    return found


def _on_one_line(states: States, chain: Chain, first: int, last: int, share: float) -> bool:
    """Tell whether a leg lies on one line with that four before it, and with the first of its side."""
    size = _apart(states, chain, last - 1, last - 3)
    limit = max(share * size, LEAST_APART)
    befores = {last - 4, first + (last - first) % 4}
    return all(abs(_off_line(states, chain, before, last)) <= limit for before in befores)


def _off_line(states: States, chain: Chain, one: int, other: int) -> float:
    """Return how far the near ends of two legs lie apart across their track [m]."""
    a, b = chain.legs[one], chain.legs[other]
    course = a.track + 0.5 * float(wrap_signed(b.track - a.track))
    east = states.east[b.first] - states.east[a.last]
    north = states.north[b.first] - states.north[a.last]
    return float(boundary.along_and_right(east, north, course)[1])


def _apart(states: States, chain: Chain, one: int, other: int) -> float:
    """Return how far opposite legs lie apart [m]."""
    a, b = chain.legs[one], chain.legs[other]
    east = states.east[a.first] - states.east[b.last]
    north = states.north[a.first] - states.north[b.last]
    return abs(float(boundary.along_and_right(east, north, a.track)[1]))


def _trimmed(states: States, legs: tuple[Straight, ...]) -> tuple[Straight, ...]:
    """Cut from the first and the last leg what is longer than the leg opposite."""
    first = _shortened(states, legs[0], _length(states, legs[2]), from_end=True)
    last = _shortened(states, legs[-1], _length(states, legs[-3]), from_end=False)
    return (first, *legs[1:-1], last)


def _length(states: States, leg: Straight) -> float:
    east = states.east[leg.last] - states.east[leg.first]
    return float(np.hypot(east, states.north[leg.last] - states.north[leg.first]))


def _shortened(states: States, leg: Straight, length: float, *, from_end: bool) -> Straight:
    index = np.arange(leg.first, leg.last + 1)
    at = leg.last if from_end else leg.first
    far = np.hypot(states.east[index] - states.east[at], states.north[index] - states.north[at])
    keep = index[far <= LONGER * length]
    if keep.size == index.size or not keep.size:
        return leg
    if from_end:
        return replace(leg, first=int(keep[0]), start=float(states.time[keep[0]]))
    return replace(leg, last=int(keep[-1]), end=float(states.time[keep[-1]]))


def goes_low(states: States, first: int, last: int) -> bool | None:
    """Tell whether a stretch holds a landing, a touch-and-go or a low approach; None without an altitude.

    Parameters
    ----------
    states
        The flight.
    first, last
        Samples, ``last`` inclusive.
    """
    if states.altitude is None:
        return None
    part = slice(first, last + 1)
    below = float(np.median(states.altitude[part]) - np.min(states.altitude[part]))
    if states.height is None or not np.isfinite(states.height[part]).all():
        return below > 2.0 * DESCENT
    return below > DESCENT and float(np.min(states.height[part])) < LOW
