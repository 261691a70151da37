"""Circuits of a runway that is given by its two ends: which leg of the flight is which leg of the pattern.

Straight legs with turns one way between them are taken from the whole flight. A leg flown against the
runway's direction beside it is a downwind leg when a base leg and a final follow it; what came before it,
crosswind and upwind leg, belongs to the circuit when it was flown the same way round. Direction and side are
those flown.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, hypot
from typing import Final

import numpy as np

from groundref.angles import difference, full_turn, quarter_turn, wrap
from groundref.detection.candidate import Place
from groundref.detection.maneuver import Leg
from groundref.detection.straights import Chain, Straight, chains
from groundref.errors import UsageError
from groundref.estimation.states import States
from groundref.mechanics import boundary
from groundref.mechanics.rectangle import pattern_legs
from groundref.units import degree, knot, nautical_mile

SHORTEST: Final = 150.0  # [m]
LONGEST: Final = 6000.0  # [m]
AROUND: Final = 150 * degree  # of turn from downwind to final, with room
ALONG: Final = 35 * degree  # by which a leg's track may be off that of its name
BESIDE: Final = (250.0, 2.0 * nautical_mile)  # [m] from runway to downwind leg
LINED_UP: Final = 300.0  # [m] off the centreline that a final ends within
LONGEST_FINAL: Final = 300.0  # [s]
FLYING: Final = 40 * knot  # slower is no downwind leg


@dataclass(frozen=True, slots=True)
class Runway:
    """A runway in the direction it was used.

    Attributes
    ----------
    threshold, end
        East and north of its two ends [m]
    """

    threshold: Place
    end: Place

    @property
    def bearing(self) -> float:
        """Direction of takeoff and landing, [0, 2π) [rad]."""
        east, north = self.end[0] - self.threshold[0], self.end[1] - self.threshold[1]
        return atan2(east, north) % full_turn

    @property
    def length(self) -> float:
        """From end to end [m]."""
        return hypot(self.end[0] - self.threshold[0], self.end[1] - self.threshold[1])

    def along_and_right(self, states: States, part: slice) -> tuple[np.ndarray, np.ndarray]:
        """Return where samples are, along from the threshold and right of the centreline [m]."""
        return boundary.along_and_right(
            states.east[part] - self.threshold[0], states.north[part] - self.threshold[1], self.bearing
        )


@dataclass(frozen=True, slots=True)
class PatternFound:
    """One circuit of a runway.

    Attributes
    ----------
    runway
        In the direction it was used.
    side
        +1 right-hand, −1 left-hand.
    legs
        Those that were flown, in the order flown, the last one the final.
    """

    runway: Runway
    side: int
    legs: tuple[Leg, ...]


def checked_runway(one: Place, other: Place) -> Runway:
    """Return a runway by its two ends, in any order.

    Parameters
    ----------
    one, other
        East and north of the ends [m]

    Raises
    ------
    UsageError
        When they lie too near together or too far apart.
    """
    runway = Runway(one, other)
    if not SHORTEST <= runway.length <= LONGEST:
        raise UsageError(
            f"the two ends of the runway lie {runway.length:,.0f} m apart",
            "runway",
            f"give the ends of one runway, {SHORTEST:.0f} to {LONGEST:,.0f} m apart",
        )
    return runway


def circuits_of(states: States, runway: Runway) -> list[PatternFound]:
    """Find the circuits of a runway, in the order flown.

    Parameters
    ----------
    states
        The flight.
    runway
        Its ends in any order.
    """
    both = (runway, Runway(runway.end, runway.threshold))
    found = [
        circuit
        for chain in chains(states, AROUND)
        for k in range(len(chain.legs) - 2)
        for way in both
        if (circuit := _circuit(states, chain, k, way)) is not None
    ]
    return sorted(found, key=lambda circuit: circuit.legs[0].start)


def _circuit(states: States, chain: Chain, k: int, runway: Runway) -> PatternFound | None:
    """Return the circuit whose downwind leg is a certain leg of a chain; None when it is none."""
    named = dict(zip(("downwind", "base", "final"), chain.legs[k : k + 3], strict=True))
    if not all(_runs_like(leg, name, chain.side, runway) for name, leg in named.items()):
        return None
    if not _beside(states, named["downwind"], chain.side, runway):
        return None
    final = _final(states, named["final"], runway)
    if final is None:
        return None
    before: list[Leg] = []
    if k >= 1 and _runs_like(chain.legs[k - 1], "crosswind", chain.side, runway):
        before = [_as_leg(chain.legs[k - 1], "crosswind", chain.side, runway)]
        if k >= 2 and (upwind := _upwind(states, chain, k - 2, runway)) is not None:
            before = [upwind, *before]
    legs = (
        *before,
        _as_leg(named["downwind"], "downwind", chain.side, runway),
        _as_leg(named["base"], "base", chain.side, runway),
        final,
    )
    return PatternFound(runway, chain.side, legs)


def _course(name: str, side: int, runway: Runway) -> float:
    """Return the course of a leg of the pattern, [0, 2π) [rad]."""
    return float(wrap(runway.bearing + side * quarter_turn * pattern_legs.index(name)))


def _runs_like(leg: Straight, name: str, side: int, runway: Runway) -> bool:
    return abs(float(difference(leg.track, _course(name, side, runway)))) <= ALONG


def _beside(states: States, leg: Straight, side: int, runway: Runway) -> bool:
    """Tell whether a leg passes beside the runway, on the side of the pattern, in flight."""
    part = slice(leg.first, leg.last + 1)
    along, right = runway.along_and_right(states, part)
    passes = float(along.max()) > 0.0 and float(along.min()) < runway.length
    away = side * float(np.median(right))
    return passes and BESIDE[0] <= away <= BESIDE[1] and float(np.median(states.ground_speed[part])) > FLYING


def _as_leg(leg: Straight, name: str, side: int, runway: Runway) -> Leg:
    return Leg(name, leg.first, leg.last, leg.start, leg.end, _course(name, side, runway))


def _final(states: States, leg: Straight, runway: Runway) -> Leg | None:
    """Return the final: from the turn to the threshold; None where it leads elsewhere.

    After an overshoot the track comes back the other way, so the leg may end before the runway is reached.
    """
    to = int(np.searchsorted(states.time, states.time[leg.first] + LONGEST_FINAL))
    index = np.arange(leg.first, to)
    along, right = runway.along_and_right(states, slice(leg.first, to))
    passed = np.flatnonzero((along >= 0.0) | (states.piece[index] != states.piece[leg.first]))
    count = int(passed[0]) if passed.size else index.size
    if count < 2 or abs(float(right[count - 1])) > LINED_UP:
        return None
    if float(along[count - 1]) < -0.5 * nautical_mile:  # broken off before the runway
        return None
    off = np.abs(difference(states.track[index[:count]], runway.bearing))
    if float(np.max(off)) > ALONG:
        return None
    last = int(index[count - 1])
    return Leg("final", leg.first, last, leg.start, float(states.time[last]), runway.bearing)


def _upwind(states: States, chain: Chain, k: int, runway: Runway) -> Leg | None:
    """Return the upwind leg: from the runway's end to the turn onto crosswind."""
    leg = chain.legs[k]
    if not _runs_like(leg, "upwind", chain.side, runway):
        return None
    index = np.arange(leg.first, leg.last + 1)
    along, _ = runway.along_and_right(states, slice(leg.first, leg.last + 1))
    beyond = index[(along > runway.length) & (states.ground_speed[index] > 0.5 * FLYING)]
    if beyond.size < 2:
        return None
    first = int(beyond[0])
    return Leg("upwind", first, leg.last, float(states.time[first]), leg.end, runway.bearing)
