"""Legs of a rectangular course, or ways between loops, that were not straight: the track went to and fro."""

from __future__ import annotations

from typing import Final

import numpy as np

from groundref.assessment.assessed import Finding
from groundref.assessment.details import CourseFlown, EightFlown, LegFlown
from groundref.assessment.faults.mention import laps_that_show
from groundref.assessment.flown import Flown
from groundref.assessment.said import degrees, laps_said
from groundref.units import degree

NAME: Final = "straight-legs-not-straight"
THRESHOLD: Final = 7.0 * degree  # either side, common practice, no source: what a passenger notices
PEAK: Final = np.sqrt(2.0)  # of a to and fro over its root mean square
CORRECTIONS: Final = 1.0 * degree  # sd of the swing that even a steady leg shows


def find(flown: Flown) -> Finding | None:
    """Test how the track swung on the legs."""
    if not isinstance(flown.details, CourseFlown | EightFlown):
        return None
    legs = [leg for leg in flown.details.legs if np.isfinite(leg.weave)]
    noise = float(np.nanmedian(flown.states.velocity_sd[flown.samples]))
    rows = [
        (lap, _swing(own), float(np.hypot(CORRECTIONS, noise / max(own[0].ground_speed, 1.0))))
        for lap in flown.all_laps
        if (own := [leg for leg in legs if leg.lap == lap])
    ]
    laps, size, sd = laps_that_show(rows, THRESHOLD)
    if not laps:
        return None
    shown = [leg for leg in legs if leg.lap in laps]
    worst = max(shown, key=lambda leg: leg.weave)
    return Finding(
        fault=NAME,
        laps=laps,
        size=size / degree,
        size_sd=sd / degree,
        size_unit="deg",
        start=shown[0].start,
        end=shown[-1].end,
        position="",
        consequence_ft=None,
        strength=size / THRESHOLD,
        says=f"{laps_said(laps, flown.words.lap)}: the track swung by {degrees(size)} (± {degrees(sd)}) to "
        f"either side on the straight legs, most on the {worst.name} leg of {flown.words.lap} {worst.lap}.",
        cure="Roll out on a heading with the crab in it and hold that heading against a mark far ahead; "
        f"{_look(flown)}, and correct by a few degrees at a time.",
    )


def _look(flown: Flown) -> str:
    if isinstance(flown.details, CourseFlown):
        return "look at the boundary only to see whether the distance changes"
    return "look to the side only to see whether the place to turn at comes as expected"


def _swing(legs: list[LegFlown]) -> float:
    """Return how far the track swung on the legs of one circuit, the middle one of them [rad]."""
    return float(PEAK * np.median([leg.weave for leg in legs]))
