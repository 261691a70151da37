"""Entered too far from the point: outside the circle flown later."""

from __future__ import annotations

from typing import Final

import numpy as np

from groundref.assessment.assessed import Finding
from groundref.assessment.faults.entry_distance import (
    entry_distance,
    finding,
    flown_afterwards,
    radius_after,
    threshold,
)
from groundref.assessment.faults.mention import supported
from groundref.assessment.flown import Flown
from groundref.assessment.said import feet, plus_minus

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
    says = (
        f"Entry: {feet(distance)} from the point, {feet(far)} ({plus_minus(sd)}) farther than the "
        f"{flown_afterwards(flown, radius)}, so the first turn had to close in."
    )
    return finding(flown, NAME, radius, far, sd, says)
