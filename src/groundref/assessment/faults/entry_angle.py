"""A rectangular course that was not entered at 45° to its downwind leg."""

from __future__ import annotations

from typing import Final

import numpy as np

from groundref.angles import difference
from groundref.assessment.assessed import Finding
from groundref.assessment.details import CourseFlown
from groundref.assessment.faults.mention import supported
from groundref.assessment.flown import Flown
from groundref.assessment.said import degrees
from groundref.units import degree

NAME: Final = "entry-not-downwind"
ANGLE: Final = 45.0 * degree  # FAA-S-ACS-6, PA.V.B.S3a
THRESHOLD: Final = 20.0 * degree  # common practice, no source


def find(flown: Flown) -> Finding | None:
    """Test which leg was entered, and at what angle."""
    course = flown.details
    if not isinstance(course, CourseFlown) or not np.isfinite(course.entry_angle):
        return None
    first, wind = course.legs[0], flown.maneuver.wind
    if wind is not None and flown.wind_felt and first.name != "downwind":
        off, sd = abs(float(difference(first.course, wind.direction_to))), wind.direction_sd
        said = (
            f"Entry: the course was joined on its {first.name} leg, {degrees(off)} (± {degrees(sd)}) off "
            "downwind."
        )
    else:
        off, sd = abs(course.entry_angle - ANGLE), course.entry_angle_sd
        said = (
            f"Entry: the {first.name} leg was joined at {degrees(course.entry_angle)} (± {degrees(sd)}), "
            f"where {degrees(ANGLE)} is asked for."
        ).replace("-", "−")
    if not supported(off, sd, THRESHOLD):
        return None
    entry = flown.maneuver.entry
    return Finding(
        fault=NAME,
        laps=(1,),
        size=off / degree,
        size_sd=sd / degree,
        size_unit="deg",
        start=entry.turn_time,
        end=max(first.start, entry.turn_time),
        position="entry",
        consequence_ft=None,
        strength=off / THRESHOLD,
        says=said,
        cure="Come in from outside at 45° to the downwind leg, at the height to be held, so that the first "
        "turn is onto the downwind leg, as in a traffic pattern.",
    )
