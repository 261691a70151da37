"""Entered too far from the point: outside the circle flown later."""

from __future__ import annotations

from typing import Final

from groundref.assessment.assessed import Finding
from groundref.assessment.faults.entry_distance import (
    entered,
    finding,
    flown_afterwards,
    threshold,
)
from groundref.assessment.faults.mention import supported
from groundref.assessment.flown import Flown
from groundref.assessment.said import plus_minus
from groundref.measures import length

NAME: Final = "entry-too-far"


def find(flown: Flown) -> Finding | None:
    """Test the entry distance against the circle flown afterwards."""
    if not flown.maneuver.laps:
        return None
    found = entered(flown)
    distance, radius, sd = found.distance, found.radius, found.sd
    far = distance - radius
    if not supported(far, sd, threshold(radius)):
        return None
    says = (
        f"Entry: {length(distance)} from the point, {length(far)} ({plus_minus(sd)}) farther than the "
        f"{flown_afterwards(flown, radius)}, so the first turn had to close in."
    )
    return finding(flown, NAME, radius, far, sd, says)
