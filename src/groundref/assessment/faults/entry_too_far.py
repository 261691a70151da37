"""Entered too far from the point: outside the circle flown later."""

from __future__ import annotations

from typing import Final

import numpy as np

from groundref.assessment.assessed import Finding
from groundref.assessment.faults.entry_distance import (
    entry_distance,
    entry_span,
    flown_afterwards,
    radius_after,
    threshold,
)
from groundref.assessment.faults.mention import supported
from groundref.assessment.flown import Flown
from groundref.assessment.said import feet, plus_minus
from groundref.units import foot

NAME: Final = "entry-too-far"


def find(flown: Flown) -> Finding | None:
    """Test the entry distance against the circle flown afterwards."""
    if not flown.maneuver.laps:
        return None
    distance, distance_sd = entry_distance(flown)
    radius, radius_sd = radius_after(flown)
    far, sd = distance - radius, float(np.hypot(distance_sd, radius_sd))
    if not supported(far, sd, threshold(radius)):
        return None
    start, end = entry_span(flown)
    return Finding(
        fault=NAME,
        laps=(1,),
        size=far / foot,
        size_sd=sd / foot,
        size_unit="ft",
        start=start,
        end=end,
        position=flown.place(0),
        consequence_ft=far / foot,
        consequence_sd_ft=sd / foot,
        strength=far / threshold(radius),
        says=f"Entry: {feet(distance)} from the point, {feet(far)} ({plus_minus(sd)}) farther than the "
        f"{flown_afterwards(flown, radius)}, so the first turn had to close in.",
        cure=f"Come abeam the point at about {feet(radius)}, and check the distance before rolling in.",
    )
