"""The turn begun after passing abeam the point: the airplane is already past it when the bank comes on.

A circle touches the straight entry track abeam the point, and a roll at an even rate acts like a bank that is
there from its middle on. So the turn is in time when half the bank is reached abeam, and the size is how much
later it was. What that did over the ground is measured: how much farther from the point the airplane was when
the turn began than it was abeam.

With d the distance from the point, u the unit vector from it to the airplane and v the ground velocity, the
growth is d(t₂) − d(t₁). A point off by δp changes it by (u₁ − u₂)·δp, positions off by their own errors
change it by those, and a turn begun δt later by (u₂·v) δt; abeam u₁·v is nothing: its time does not matter.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.assessment.assessed import Finding
from groundref.assessment.faults.mention import change_sd, supported, visible
from groundref.assessment.flown import Flown
from groundref.assessment.said import plus_minus
from groundref.measures import length
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
    grown, grown_sd = _grown(flown, entry.abeam_time)
    # The roll may have taken back what flying on straight would have added: then nothing is said of it.
    seen = grown > visible
    farther = (
        f"; meanwhile the distance from it grew by {length(grown)} ({plus_minus(grown_sd)}), to "
        f"{length(entry.distance)}"
        if seen
        else ""
    )
    return Finding(
        fault=NAME,
        laps=(1,),
        size=late,
        size_sd=sd,
        size_unit="s",
        start=entry.abeam_time,
        end=entry.turn_time,
        position=flown.place(0),
        consequence_ft=grown / foot if seen else None,
        consequence_sd_ft=grown_sd / foot if seen else None,
        strength=late / THRESHOLD,
        says=f"Entry: the turn came {late:.1f} s (± {sd:.1f} s) after passing abeam the point, "
        f"{length(past)} ({plus_minus(speed * sd)}) beyond it{farther}.",
        cure="Begin to roll in just before the point comes abeam, so that half the bank is on there: ground "
        "speed is highest here.",
    )


def _grown(flown: Flown, abeam: float) -> tuple[float, float]:
    """Return how much the distance from the point grew from abeam to where the turn began, and its sd [m]."""
    begun = flown.maneuver.entry.turn_time
    first, second = _from_point(flown, abeam), _from_point(flown, begun)
    before, after = float(np.hypot(*first)), float(np.hypot(*second))
    toward = second / max(after, 1.0)
    point = flown.maneuver.reference.sd * float(np.hypot(*(toward - first / max(before, 1.0))))
    velocity = np.array(
        [
            np.interp(begun, flown.states.time, v)
            for v in (flown.states.velocity_east, flown.states.velocity_north)
        ]
    )
    moment = float(toward @ velocity) * _moment_sd(flown)
    return after - before, float(np.sqrt(change_sd(flown) ** 2 + point**2 + moment**2))


def _from_point(flown: Flown, time: float) -> NDArray[np.float64]:
    """Return where the airplane was at a time, east and north from the point [m]."""
    states, point = flown.states, flown.maneuver.reference
    return np.array(
        [
            np.interp(time, states.time, states.east) - point.east,
            np.interp(time, states.time, states.north) - point.north,
        ]
    )


def _sd(flown: Flown) -> float:
    """Return the sd of the time from abeam to turning: sampling, smoothing, and the point's place [s]."""
    place = np.hypot(flown.maneuver.reference.sd, flown.states.position_sd[flown.maneuver.first])
    point = place / _ground_speed(flown, flown.maneuver.entry.turn_time)
    return float(np.hypot(_moment_sd(flown), point))


def _moment_sd(flown: Flown) -> float:
    """Return the sd of the moment of half bank: smoothing and sampling [s]."""
    return float(np.hypot(timing_sd, flown.interval / np.sqrt(12.0)))


def _ground_speed(flown: Flown, time: float) -> float:
    """Return the ground speed at a time [m s⁻¹]."""
    return float(np.interp(time, flown.states.time, flown.states.ground_speed))
