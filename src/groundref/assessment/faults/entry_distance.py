"""How far from the point the circle was entered, shared by entering too close and too far."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from groundref.assessment.assessed import Finding
from groundref.assessment.faults.settled import settled
from groundref.assessment.flown import Flown
from groundref.measures import in_us, length
from groundref.units import foot

# The pilot's choice of distance shows in what was flown afterwards: a circle that had to be widened or
# tightened from the entry was entered at the wrong distance. Fifteen per cent is what the eye tells at
# the usual sight-line angles: common practice, no source.
SHARE: Final = 0.15  # of the distance wanted
noticed: Final = 250.0 * foot  # [m]  which is noticed on any circle; common practice, no source


def threshold(wanted: float) -> float:
    """Return the error of distance worth mentioning [m]."""
    return min(SHARE * wanted, noticed)


@dataclass(frozen=True, slots=True)
class Entered:
    """Where the circle was entered, beside the one that was held later.

    Attributes
    ----------
    distance
        From the middle of that circle, abeam of it, or where the turn began if abeam was not passed [m]
    radius
        Of that circle [m]
    sd
        Standard deviation of the difference of the two [m]
    """

    distance: float
    radius: float
    sd: float


def entered(flown: Flown) -> Entered:
    """Return where the circle was entered, measured from the circle that was held later."""
    states, circle = flown.states, settled(flown)
    time, _ = entry_span(flown)
    east = float(np.interp(time, states.time, states.east)) - circle.east
    north = float(np.interp(time, states.time, states.north)) - circle.north
    position = float(states.position_sd[flown.maneuver.first])
    sd = np.hypot(circle.outside_sd(float(np.arctan2(east, north))), position)
    return Entered(float(np.hypot(east, north)), circle.radius, float(sd))


def entry_span(flown: Flown) -> tuple[float, float]:
    """Return the moments of passing abeam and of half the bank, the earlier one first [s]."""
    entry = flown.maneuver.entry
    abeam = entry.turn_time if entry.abeam_time is None else entry.abeam_time
    return min(abeam, entry.turn_time), max(abeam, entry.turn_time)


def flown_afterwards(flown: Flown, radius: float) -> str:
    """Say the distance held after the entry, and beside it the radius of all laps, which is another [m]."""
    after, over_all = length(radius), length(flown.maneuver.radius)
    beside = f" ({over_all} over all laps)" if in_us(over_all) != in_us(after) else ""
    return f"{after} flown after half a lap{beside}"


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
        cure=f"Come abeam the point at about {length(wanted)}, and check the distance before rolling in.",
    )
