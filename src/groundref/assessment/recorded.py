"""What the recording can carry: whether the entry is in it, and whether it was sampled often enough."""

from __future__ import annotations

from dataclasses import dataclass
from math import radians
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.assessment.profile import turn_sign
from groundref.detection.laps import INBOUND
from groundref.detection.maneuver import Maneuver
from groundref.estimation.states import States
from groundref.units import knot

least_before: Final = 4.0  # [s]  of flight before the turn that must be recorded to speak of a start
still_straight: Final = 0.5  # share of the turn's own rate from which the flight before it is no straight one
no_turn: Final = radians(
    1.5
)  # [rad s⁻¹]  what still counts as straight on the way in to a rectangular course
settled: Final = (4.0, 12.0)  # [s]  after the start: the stretch that shows the turn's own rate
# [s] A roll takes about two seconds and a lap about a minute; with longer intervals neither speed nor bank
# between two samples is known. Own figure: simulated lessons thinned to 10 s give wrong banks and speeds.
too_seldom: Final = 5.0
# [m s⁻¹] Standard deviation of the speed over the ground at which the worst of a lap's samples is off by half
# of the usual 10 kt by chance alone (three of them). Own figure: receivers give 0.1 to 0.9 kt, positions
# rounded to three decimals of a degree 3 kt and more.
too_coarse: Final = 1.5 * knot


@dataclass(frozen=True, slots=True)
class Beginning:
    """How much of the flight before the turn is in the recording.

    Attributes
    ----------
    recorded
        Whether some seconds before the turn were recorded and it really began then: the values at the start
        are known.
    straight
        Whether, besides, the flight before it was straight: there is an entry track.
    """

    recorded: bool
    straight: bool


def beginning(states: States, maneuver: Maneuver) -> Beginning:
    """Return whether the start and a straight entry were recorded.

    A recording, or a piece of it, that begins inside the turn has a first sample but no start.

    Parameters
    ----------
    states, maneuver
        What was flown.
    """
    # A rectangular course starts with its first leg; the turn onto it came before.
    turned_first = maneuver.kind == "rectangular-course"
    begun = min(maneuver.start, maneuver.entry.turn_time) if turned_first else maneuver.start
    clock, piece = states.time - begun, states.piece == states.piece[maneuver.first]
    before = piece & (clock >= -INBOUND[0]) & (clock <= -INBOUND[1])
    if not before.any() or clock[before][0] > -least_before:
        return Beginning(recorded=False, straight=False)
    after = piece & (clock >= settled[0]) & (clock <= settled[1])
    own = _rate(states, after if after.any() else piece & (clock >= 0.0))
    was = _rate(states, before)
    if turned_first:  # whatever way the first turn went, or none
        return Beginning(recorded=True, straight=bool(abs(was) < no_turn))
    recorded = turn_sign(maneuver.laps[0]) * was < still_straight * abs(own)
    straight = recorded and abs(was) < still_straight * abs(own)
    if maneuver.direction == "both" and not straight and clock[piece][0] > -_lasted(maneuver):
        recorded = False  # a turn the other way that the recording begins in was a lap before this one
    return Beginning(recorded=bool(recorded), straight=bool(straight))


def _lasted(maneuver: Maneuver) -> float:
    """Return how long the first lap took [s]."""
    return maneuver.laps[0].end - maneuver.laps[0].start


def _rate(states: States, which: NDArray[np.bool_]) -> float:
    """Return the mean rate of turn [rad s⁻¹]."""
    return float(np.mean(states.track_rate[which]))


def coarse(states: States, maneuver: Maneuver) -> bool:
    """Return whether positions are so coarse that speed, and what is derived from it, cannot be judged."""
    return speed_sd(states, maneuver) > too_coarse


def speed_sd(states: States, maneuver: Maneuver) -> float:
    """Return the usual standard deviation of the ground velocity at a sample of the maneuver [m s⁻¹]."""
    return float(np.nanmedian(states.velocity_sd[maneuver.first : maneuver.last + 1]))


def usual_interval(states: States, maneuver: Maneuver) -> float:
    """Return the usual time between the samples of the maneuver [s]."""
    time = states.time[maneuver.first : maneuver.last + 1]
    return float(np.median(np.diff(time))) if time.size > 1 else 0.0
