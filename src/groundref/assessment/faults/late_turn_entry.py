"""The turn begun after passing abeam the point: the airplane is already past it when the bank comes on.

A circle touches the straight entry track abeam the point, and a roll at an even rate acts like a bank that is
there from its middle on. So the turn is in time when half the bank is reached abeam, and the size is how much
later it was.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from groundref.assessment.assessed import Finding
from groundref.assessment.faults.mention import supported
from groundref.assessment.flown import Flown
from groundref.assessment.said import feet, plus_minus
from groundref.units import foot

NAME: Final = "late-turn-entry"
# [s]  common practice, no source: beginning to roll abeam, which many teach, is about one second late.
THRESHOLD: Final = 2.0
timing_sd: Final = 0.3  # [s]  of the moment of half bank in a smoothed bank, besides the sampling


def find(flown: Flown) -> Finding | None:
    """Test for time lost between passing abeam the point and rolling in."""
    entry = flown.maneuver.entry
    if entry.abeam_time is None:
        return None
    late = entry.turn_time - entry.abeam_time
    sd = _sd(flown)
    if not supported(late, sd, THRESHOLD):
        return None
    speed = _ground_speed(flown, entry.turn_time)
    past = speed * late
    # From a place `past` metres beyond abeam on a straight track, the distance has grown by Pythagoras.
    wider = float(np.hypot(flown.maneuver.radius, past) - flown.maneuver.radius)
    wider_sd = past / float(np.hypot(flown.maneuver.radius, past)) * speed * sd
    return Finding(
        fault=NAME,
        laps=(1,),
        size=late,
        size_sd=sd,
        size_unit="s",
        start=entry.abeam_time,
        end=entry.turn_time,
        position=flown.place(0),
        consequence_ft=wider / foot,
        consequence_sd_ft=wider_sd / foot,
        strength=late / THRESHOLD,
        says=f"Entry: the turn came {late:.1f} s (± {sd:.1f} s) after passing abeam the point, {feet(past)} "
        f"({plus_minus(speed * sd)}) beyond it, which puts the start of the circle about {feet(wider)} "
        f"({plus_minus(wider_sd)}) too far out.",
        cure="Begin to roll in just before the point comes abeam, so that half the bank is on there: ground "
        "speed is highest here.",
    )


def _sd(flown: Flown) -> float:
    """Return the sd of the time from abeam to turning: sampling, smoothing, and the point's place [s]."""
    sampling = flown.interval / np.sqrt(12.0)
    place = np.hypot(flown.maneuver.reference.sd, flown.states.position_sd[flown.maneuver.first])
    point = place / _ground_speed(flown, flown.maneuver.entry.turn_time)
    return float(np.sqrt(timing_sd**2 + sampling**2 + point**2))


def _ground_speed(flown: Flown, time: float) -> float:
    """Return the ground speed at a time [m s⁻¹]."""
    return float(np.interp(time, flown.states.time, flown.states.ground_speed))
