"""Entered too close to the point: inside the circle flown later, or closer than the bank limit allows."""

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
from groundref.assessment.said import degrees, plus_minus
from groundref.measures import length

NAME: Final = "entry-too-close"


def find(flown: Flown) -> Finding | None:
    """Test the entry distance against the circle flown afterwards and the smallest the bank limit allows."""
    if not flown.maneuver.laps:
        return None
    found = entered(flown)
    distance, radius, sd = found.distance, found.radius, found.sd
    smallest = flown.smallest_radius()
    wanted, geometry = radius, False
    if smallest is not None and smallest > radius:
        wanted, geometry = smallest, True
    short = wanted - distance
    if not supported(short, sd, threshold(wanted)):
        return None
    says = _says(flown, distance, wanted, short, sd, geometry)
    return finding(flown, NAME, wanted, short, sd, says)


def _says(flown: Flown, distance: float, wanted: float, short: float, sd: float, geometry: bool) -> str:
    """Return the sentence, for a circle too tight for the bank limit or for one that was widened later."""
    head = f"Entry: {length(distance)} from the point, {length(short)} ({plus_minus(sd)}) closer than"
    if geometry:
        return (
            f"{head} the {length(wanted)} that this airspeed and wind need to stay within "
            f"{degrees(flown.bank_limit)} of bank."
        )
    return f"{head} the {flown_afterwards(flown, wanted)}."
