"""A stretch of legs that go round one rectangle: what rectangular courses and traffic patterns share."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import full_turn, wrap_signed
from groundref.detection.rectangle import Fitted, fit_rectangle
from groundref.detection.straights import JOINING, ROLLED, Chain, Straight
from groundref.estimation.states import States
from groundref.mechanics import boundary
from groundref.units import degree, foot

Floats = NDArray[np.float64]

SAME_LINE: Final = 0.15  # of the rectangle's size, by which legs of one side may lie apart
LEAST_APART: Final = 120.0  # [m] but so much is always allowed
LONGER: Final = 1.15  # times the opposite leg: what is longer belongs to the way in or out
ASTRAY: Final = 6 * degree  # a leg so far off the track of a circuit before holds some other flying too
PARALLEL: Final = 20 * degree  # farther off it is no leg of the same side
LEAST_SHARE: Final = 0.25  # of the time on opposite sides flown straight: less is a circle or a racetrack
WAY_OUT: Final = 2  # legs that may lie by chance where one of the circuit would
LEAST_STRAIGHT: Final = 4.0  # [s] straight after the last corner to have closed the circuit
TURNED: Final = 27 * degree  # off the first leg: turned onto it, not weaving on it
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
    led
        Samples from the beginning of the first leg to the end of the last, the way in and out with them.
    """

    side: int
    legs: tuple[Straight, ...]
    fitted: Fitted
    led: tuple[int, int]

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

    Its last legs may be those of the way out, so each stretch is returned without them, too.

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
        legs = list(chain.legs[i : i + 4])
        wholes: list[tuple[Straight, ...]] = []
        for leg in chain.legs[i + 4 :]:
            last = _led_onto(states, chain.side, legs[-1], leg, legs[-4])
            if last is None or not _on_one_line(states, [*legs, last], same_line):
                break
            if len(legs) > 4 and _leads_away(states, legs, last):
                break
            wholes.append((*legs, last))
            legs.append(leg)
        if wholes and i + len(legs) > reached:
            found += [
                circuit
                for whole in wholes[-1 - WAY_OUT :]
                if (circuit := _circuit(states, chain.side, whole)) is not None
            ]
            reached = i + len(legs)
    return found


def _circuit(states: States, side: int, whole: tuple[Straight, ...]) -> Circuit | None:
    """Return the circuit of these legs; None when they are no rectangle but round, or turned inside out."""
    own = _trimmed(states, side, whole)
    if straight_share(own) < LEAST_SHARE:
        return None
    fitted = fit_rectangle(states, own, side)
    if min(fitted.rectangle.length, fitted.rectangle.width) <= 0.0:  # opposite legs passed each other
        return None
    return Circuit(side, own, fitted, (whole[0].first, whole[-1].last))


def straight_share(legs: Sequence[Straight]) -> float:
    """Return how much of the time is flown straight on those opposite sides where it is less.

    On a circle it is the time in which the track turns by what counts as straight, a tenth; on the short
    sides of a racetrack likewise.

    Parameters
    ----------
    legs
        In the order flown; the first and the last, which are not flown all the way, are left out.
    """
    start, end = np.array([leg.start for leg in legs]), np.array([leg.end for leg in legs])
    straight, corner = (end - start)[1:-1], start[1:] - end[:-1]
    whole = straight + 0.5 * (corner[1:] + corner[:-1])
    return float(min(straight[k::2].sum() / max(whole[k::2].sum(), 1e-9) for k in (0, 1)))


def _led_onto(states: States, side: int, before: Straight, leg: Straight, like: Straight) -> Straight | None:
    """Return the leg that a corner led onto, along one flown a circuit before; None where none was flown.

    The way home may turn a little farther after some seconds on that leg: then it begins where the track
    first came to that of the leg a circuit before, and is over when the track left it.
    """
    expected = like.track + side * full_turn
    if abs(leg.track - expected) <= ASTRAY:
        return leg
    index = np.arange(before.last, leg.last + 1)
    off = side * (states.track[index] - expected)
    on = index[np.abs(off) <= 2.0 * ROLLED]
    if on.size < 2 or states.time[on[-1]] - states.time[on[0]] < LEAST_STRAIGHT:
        return leg if abs(leg.track - expected) <= PARALLEL else None
    first, last = int(on[0]), int(on[-1])
    return Straight(first, last, float(states.time[first]), float(states.time[last]), expected)


def _leads_away(states: States, legs: list[Straight], leg: Straight) -> bool:
    """Tell whether a leg after a whole circuit is the way home that happens to lie near: long, and beside."""
    long = leg.end - leg.start > 2.0 * (legs[-4].end - legs[-4].start)
    return long and abs(_off_line(states, legs[-4], leg)) > 0.5 * LEAST_APART


def _on_one_line(states: States, legs: list[Straight], share: float) -> bool:
    """Tell whether the last leg lies on one line with that of a circuit before and the first of its side."""
    size = _apart(states, legs[-2], legs[-4])
    limit = max(share * size, LEAST_APART)
    befores = (legs[-5], legs[(len(legs) - 1) % 4])
    return all(abs(_off_line(states, before, legs[-1])) <= limit for before in befores)


def _off_line(states: States, one: Straight, other: Straight) -> float:
    """Return how far the near ends of two legs lie apart across their track [m]."""
    course = one.track + 0.5 * float(wrap_signed(other.track - one.track))
    east = states.east[other.first] - states.east[one.last]
    north = states.north[other.first] - states.north[one.last]
    return float(boundary.along_and_right(east, north, course)[1])


def _apart(states: States, one: Straight, other: Straight) -> float:
    """Return how far opposite legs lie apart [m]."""
    east = states.east[one.first] - states.east[other.last]
    north = states.north[one.first] - states.north[other.last]
    return abs(float(boundary.along_and_right(east, north, one.track)[1]))


def _trimmed(states: States, side: int, legs: tuple[Straight, ...]) -> tuple[Straight, ...]:
    """Cut from the first and the last leg what belongs to the way in or out."""
    first = _joined(states, side, legs[0], legs[4].track - side * full_turn)
    first = _shortened(states, first, leg_length(states, legs[2]), from_end=True)
    last = _shortened(states, legs[-1], leg_length(states, legs[-3]), from_end=False)
    return (first, *legs[1:-1], last)


def _joined(states: States, side: int, leg: Straight, expected: float) -> Straight:
    """Return the first leg from where it was joined: there the track first came to that of a circuit later.

    Parameters
    ----------
    states, side
        The flight, and the side of the turns.
    leg
        The first leg as far as the chain shows it; a weaving or a slanting way in hides its beginning.
    expected
        Its track as flown one circuit later [rad]
    """
    index = np.flatnonzero(
        (states.time > leg.start - JOINING)
        & (states.time <= leg.end)
        & (states.piece == states.piece[leg.last])
    )
    off = side * (states.track[index] - expected)
    # After the last turn the same way there is no joining any more but this leg.
    after = np.flatnonzero(off < -TURNED)
    away = np.flatnonzero(off > TURNED)
    if away.size and not (after.size and after[-1] > away[-1]):
        near = index[away[-1] :][off[away[-1] :] <= ROLLED]
    elif abs(leg.track - expected) > ASTRAY:
        slanting = np.flatnonzero(np.abs(off) > 2.0 * ROLLED)
        near = index[slanting[-1] + 1 :] if slanting.size else index[:0]
    else:
        return leg
    if near.size < 2:
        return leg
    return replace(leg, first=int(near[0]), start=float(states.time[near[0]]), track=expected)


def leg_length(states: States, leg: Straight) -> float:
    """Return how far it is from the beginning of a leg to its end [m]."""
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
