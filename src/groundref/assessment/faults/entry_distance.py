"""How far from the point the circle was entered, shared by entering too close and too far."""

from __future__ import annotations

from typing import Final

import numpy as np

from groundref.assessment.assessed import Finding
from groundref.assessment.flown import Flown
from groundref.assessment.said import feet, whole
from groundref.units import foot

# The pilot's choice of distance shows in what was flown afterwards: a circle that had to be widened or
# tightened from the entry was entered at the wrong distance. Fifteen per cent is what the eye tells at
# the usual sight-line angles: common practice, no source.
SHARE: Final = 0.15  # of the distance wanted
noticed: Final = 250.0 * foot  # [m]  which is noticed on any circle; common practice, no source


def threshold(wanted: float) -> float:
    """Return the error of distance worth mentioning [m]."""
    return min(SHARE * wanted, noticed)


def entry_distance(flown: Flown) -> tuple[float, float]:
    """Return the distance abeam the point, or where the turn began if that was not passed, and its sd [m]."""
    entry, states, point = flown.maneuver.entry, flown.states, flown.maneuver.reference
    if entry.abeam_time is None or entry.abeam_time > entry.turn_time:
        return entry.distance, entry.distance_sd
    east = float(np.interp(entry.abeam_time, states.time, states.east)) - point.east
    north = float(np.interp(entry.abeam_time, states.time, states.north)) - point.north
    return float(np.hypot(east, north)), entry.distance_sd


def entry_span(flown: Flown) -> tuple[float, float]:
    """Return the moments of passing abeam and of half the bank, the earlier one first [s]."""
    entry = flown.maneuver.entry
    abeam = entry.turn_time if entry.abeam_time is None else entry.abeam_time
    return min(abeam, entry.turn_time), max(abeam, entry.turn_time)


def flown_afterwards(flown: Flown, radius: float) -> str:
    """Say the distance held after the entry, and beside it the radius of all laps, which is another [m]."""
    after, over_all = feet(radius), f"{whole(flown.maneuver.radius / foot)} ft"
    return f"{after} flown after half a lap" + (f" ({over_all} over all laps)" if over_all != after else "")


def half_of_first_lap(flown: Flown) -> float:
    """Return when half of the first lap was over [s]."""
    first = flown.maneuver.laps[0]
    return 0.5 * (first.start + first.end)


def radius_after(flown: Flown) -> tuple[float, float]:
    """Return the distance held after the entry, from half of the first lap on, and its sd [m].

    Half a lap is what it takes to regain the circle without a jerk.
    """
    used = (flown.time > half_of_first_lap(flown)) & (flown.profile.lap > 0)
    if not used.any():
        return flown.maneuver.radius, flown.maneuver.radius_sd
    return float(flown.profile.distance[used].mean()), flown.maneuver.radius_sd


def finding(flown: Flown, fault: str, wanted: float, off: float, sd: float, says: str) -> Finding:
    """Return the finding of a circle entered ``off`` (± ``sd``) from the distance ``wanted`` [m]."""
    start, end = entry_span(flown)
    return Finding(
        fault=fault,
        laps=(1,),
        size=off / foot,
        size_sd=sd / foot,
        size_unit="ft",
        start=start,
        end=end,
        position=flown.place(0),
        consequence_ft=off / foot,
        consequence_sd_ft=sd / foot,
        strength=off / threshold(wanted),
        says=says,
        cure=f"Come abeam the point at about {feet(wanted)}, and check the distance before rolling in.",
    )
