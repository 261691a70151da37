"""Entered eights around pylons against the wind, where the middle is to be flown with it.

Between the pylons the eight is flown on slanting ways, both with the wind behind, and it is entered on one of
them or straight downwind. So the entry is wrong only where its track lies well beyond these ways.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from groundref.angles import half_turn, wrap_signed
from groundref.assessment import places
from groundref.assessment.assessed import Finding
from groundref.assessment.faults.entry_distance import entry_span
from groundref.assessment.faults.mention import supported
from groundref.assessment.flown import Flown
from groundref.assessment.said import degrees
from groundref.mechanics.eights import loop_turn
from groundref.units import degree

NAME: Final = "entry-not-downwind"
THRESHOLD: Final = 20.0 * degree  # beyond the ways between the pylons; common practice, no source


def find(flown: Flown) -> Finding | None:
    """Test the entry track against the wind and the ways between the pylons."""
    measured = flown.entry_off
    if measured is None or not flown.wind_felt:
        return None
    off, sd = measured
    slant = _slant(flown)
    beyond = abs(off) - slant
    wind = flown.maneuver.wind
    if wind is None or not supported(beyond, sd, THRESHOLD):
        return None
    start, end = entry_span(flown)
    return Finding(
        fault=NAME,
        laps=(1,),
        size=abs(off) / degree,
        size_sd=sd / degree,
        size_unit="deg",
        start=start,
        end=end,
        position=places.name(off),
        consequence_ft=None,
        strength=beyond / THRESHOLD,
        says=f"Entry: the track was {degrees(flown.maneuver.entry.track)} where downwind was "
        f"{degrees(wind.direction_to)}, {degrees(abs(off))} (± {degrees(sd)}) off; the ways between these "
        f"pylons are {degrees(slant)} off it at most.",
        cure=f"Come in with the wind, from {degrees(wind.direction_from)}, behind and pass between the "
        "pylons downwind: the steepest bank comes first and only gets shallower over the first half.",
    )


def _slant(flown: Flown) -> float:
    """Return how far the ways between the pylons lie off downwind, the farther one [rad].

    The ways cross at an angle of 2π less the turn of two loops; the line of the pylons may not lie square to
    the wind, which turns one of them farther off.
    """
    one, other = flown.maneuver.laps[0], flown.maneuver.laps[1]
    east, north = other.about_east - one.about_east, other.about_north - one.about_north
    half = max(0.5 * float(np.hypot(east, north)), flown.maneuver.radius)
    slant = half_turn - 0.5 * float(loop_turn(flown.maneuver.radius, half))
    wind = flown.maneuver.wind
    if wind is None:
        return slant
    square = abs(float(wrap_signed(2.0 * (np.arctan2(east, north) - wind.direction_to)))) / 2.0
    return slant + abs(0.5 * half_turn - square)
