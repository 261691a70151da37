"""How the straight ways between the loops of an elementary eight were flown."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from groundref.assessment.assessed import Profile
from groundref.assessment.course import SETTLING, Side, leg_flown
from groundref.assessment.details import EightFlown, LegFlown
from groundref.assessment.profile import turn_sign
from groundref.detection.maneuver import Lap, Leg, Maneuver
from groundref.estimation.states import States

ROLLED: Final = 2.0  # [s] of rolling out and in that still belong to the loops
LEAST: Final = 4.0  # [s] of straight flight that show a track


def eight_flown(states: States, maneuver: Maneuver, profile: Profile) -> EightFlown:
    """Return the particulars of an elementary eight.

    Parameters
    ----------
    states, maneuver, profile
        What was flown.
    """
    legs = [
        _leg(states, maneuver, number, lap, leg)
        for number, lap in enumerate(maneuver.laps, start=1)
        for leg in lap.legs
        if leg.end - leg.start >= LEAST + 2.0 * ROLLED
    ]
    return EightFlown(tuple(leg for leg in legs if leg is not None))


def _leg(states: States, maneuver: Maneuver, number: int, lap: Lap, leg: Leg) -> LegFlown | None:
    """Return how one way was flown, its rolls left out; None with too few samples."""
    inside = (states.time >= leg.start + ROLLED) & (states.time <= leg.end - ROLLED)
    index = np.flatnonzero(inside)
    if index.size < 3:
        return None
    first, last = int(index[0]), int(index[-1])
    begun = float(states.time[first])
    straight = replace(leg, first=first, last=last, start=begun - SETTLING, end=float(states.time[last]))
    east, north = _middle(maneuver)
    side = Side(east, north, leg.course, turn_sign(lap))
    measured = leg_flown(states, straight, number, side, maneuver.reference, maneuver.wind)
    return replace(measured, start=begun)


def _middle(maneuver: Maneuver) -> tuple[float, float]:
    """Return the place half way between the places turned about, through which the ways lead [m]."""
    one, other = maneuver.laps[0], maneuver.laps[1]
    return 0.5 * (one.about_east + other.about_east), 0.5 * (one.about_north + other.about_north)
