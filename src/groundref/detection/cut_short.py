"""Turns that stopped short of what a maneuver needs: how far round they went, for when none was found."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from groundref.angles import full_turn
from groundref.detection.candidate import Ground, Place
from groundref.detection.segments import Turning, turning_stretches
from groundref.estimation.states import States
from groundref.units import degree, knot

_LEAST: Final = 45.0 * degree  # less is a turn like any other
_AT_THE_END: Final = 3.0  # [s] from the first or last sample within which a turn was cut by it
_SLOWEST: Final = 25.0 * knot  # over the ground; what turns slower taxis (common practice, no source)
_REACH: Final = 3.0  # times its middle distance: farther from the point a turn is about something else


@dataclass(frozen=True, slots=True)
class CutShort:
    """A turn that stopped short.

    Attributes
    ----------
    start, end
        When it was flown [s]
    turn
        How far the track turned; about a point no more than the bearing from it went round, since once round
        takes both. Right positive [rad]
    by
        What cut it: `point` where it stopped short of once round the point given; `begins` where the
        recording or a piece of it begins in it, `ends` where it ends in it.
    """

    start: float
    end: float
    turn: float
    by: str


def cut_short(states: States, ground: Ground) -> tuple[CutShort, ...]:
    """Return the turns that stopped short of once round.

    Parameters
    ----------
    states
        The flight, in which no maneuver was found.
    ground
        What was said of places on the ground.

    Returns
    -------
    tuple
        Where a point was given, the longest turn about it; else what is cut by the beginning or end of a
        gapless piece. Empty where nothing is.
    """
    turnings = [one for one in turning_stretches(states, _LEAST) if _flies(states, one)]
    if ground.point is not None:
        about = [each for one in turnings for each in _about(states, one, ground.point)]
        longest = max(about, key=lambda each: abs(each.turn), default=None)
        return () if longest is None or abs(longest.turn) >= full_turn else (longest,)
    return tuple(each for one in turnings for each in _at_an_end(states, one))


def _flies(states: States, turning: Turning) -> bool:
    """Whether a turn was flown, and not taxied or only the receiver's noise while the airplane stood."""
    return float(np.median(states.ground_speed[turning.first : turning.last + 1])) >= _SLOWEST


def _about(states: States, turning: Turning, point: Place) -> Iterator[CutShort]:
    """Yield how far round the point a turn went, where it went round it at all."""
    inside = slice(turning.first, turning.last + 1)
    east, north = states.east[inside] - point[0], states.north[inside] - point[1]
    distance = np.hypot(east, north)
    near = np.flatnonzero(distance <= _REACH * np.median(distance))
    azimuth = np.unwrap(np.arctan2(east[near], north[near]))
    swept = float(azimuth[-1] - azimuth[0])
    if abs(swept) >= _LEAST and np.sign(swept) == turning.direction:
        first, last = turning.first + int(near[0]), turning.first + int(near[-1])
        # Close by the point the bearing from it runs ahead of the turn, far from it behind.
        turned = float(np.ptp(np.unwrap(states.track[first : last + 1])[[0, -1]]))
        turn = turning.direction * min(abs(swept), turned)
        yield CutShort(float(states.time[first]), float(states.time[last]), turn, "point")


def _at_an_end(states: States, turning: Turning) -> Iterator[CutShort]:
    """Yield a turn that the beginning or the end of a gapless piece cuts."""
    if abs(turning.turn) >= full_turn:
        return
    piece = np.flatnonzero(states.piece == states.piece[turning.first])
    start, end = float(states.time[turning.first]), float(states.time[turning.last])
    if start - states.time[piece[0]] <= _AT_THE_END:
        yield CutShort(start, end, turning.turn, "begins")
    elif states.time[piece[-1]] - end <= _AT_THE_END:
        yield CutShort(start, end, turning.turn, "ends")
