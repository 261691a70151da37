"""What is particular to a kind of maneuver, as plain data with the unit in every name."""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from groundref.angles import half_turn
from groundref.assessment.assessed import Assessed
from groundref.assessment.details import (
    CornerFlown,
    CourseFlown,
    Crossing,
    EightFlown,
    LegFlown,
    LineFlown,
    PivotalFlown,
    Segment,
    SteepFlown,
    SteepTurn,
)
from groundref.assessment.pattern import PatternFlown
from groundref.assessment.plain import Clock, bearing, number
from groundref.detection.maneuver import Reference
from groundref.geo.frame import LocalFrame
from groundref.units import degree, foot, knot

Document = dict[str, Any]

_PLACES: Final = 7  # decimals of a degree: a centimetre


def reference_document(reference: Reference, frame: LocalFrame) -> Document:
    """Return what a maneuver was flown about.

    Parameters
    ----------
    reference
        In the frame.
    frame
        Of the track.
    """
    at = [_place(east, north, frame) for east, north in reference.places]
    known = {"sd_m": number(reference.sd), "source": reference.source}
    if reference.type == "point":
        return {"type": "point", "lat": at[0][0], "lon": at[0][1], **known}
    if reference.type == "line":
        along = bearing(reference.bearing)
        return {
            "type": "line",
            "lat": at[0][0],
            "lon": at[0][1],
            "bearing_deg": None if along is None else along % 180.0,
            "bearing_sd_deg": number(reference.bearing_sd, degree, 2),
            "ends": at,
            **known,
        }
    if reference.type == "rectangle":
        return {"type": "rectangle", "corners": at, "bearing_deg": bearing(reference.bearing), **known}
    if reference.type == "pylons":
        elevations = [number(each, foot) for each in reference.elevations] or [None] * len(at)
        return {"type": "pylons", "points": at, "elevations_ft": elevations, **known}
    return {"type": "none", "sd_m": None, "source": reference.source}


def _place(east: float, north: float, frame: LocalFrame) -> list[float | None]:
    latitude, longitude = frame.to_geographic(east, north)
    return [number(float(latitude), degree, _PLACES), number(float(longitude), degree, _PLACES)]


def details_document(assessed: Assessed, stamp: Clock) -> Document:
    """Return what is particular to the kind under keys of its own; empty where nothing is.

    Parameters
    ----------
    assessed
        The maneuver.
    stamp
        Writes times.
    """
    details = assessed.details
    if isinstance(details, LineFlown):
        return {"crossings": [_crossing(each, stamp) for each in details.crossings]}
    if isinstance(details, CourseFlown):
        return {
            "entry_angle_deg": number(details.entry_angle, degree),
            "entry_angle_sd_deg": number(details.entry_angle_sd, degree),
            "corners": [corner_document(each, stamp) for each in details.corners],
        }
    if isinstance(details, PivotalFlown):
        return {"pivotal": _pivotal(details, assessed, stamp)}
    if isinstance(details, SteepFlown):
        return {"turns": [_steep(each) for each in details.turns]}
    return {}


def legs_document(assessed: Assessed, lap: int, stamp: Clock) -> list[Document]:
    """Return the legs of a circuit of a rectangular course, or the way after a loop of an elementary eight.

    Parameters
    ----------
    assessed
        The maneuver.
    lap
        Number of the circuit, from 1.
    stamp
        Writes times.
    """
    details = assessed.details
    legs = details.legs if isinstance(details, CourseFlown | EightFlown) else ()
    return [leg_document(each, stamp) for each in legs if each.lap == lap]


def leg_document(leg: LegFlown, stamp: Clock) -> Document:
    """Return one leg of a rectangular course or a traffic pattern."""
    return {
        "name": leg.name,
        "start": stamp(leg.start),
        "end": stamp(leg.end),
        "course_deg": bearing(leg.course),
        "off_course_deg": number(leg.off_course, degree),
        "off_course_sd_deg": number(leg.off_course_sd, degree),
        "weave_deg": number(leg.weave, degree),
        "distance_ft": number(leg.distance, foot),
        "distance_sd_ft": number(leg.distance_sd, foot),
        "distance_max_ft": number(leg.distance_max, foot),
        "distance_min_ft": number(leg.distance_min, foot),
        "crab_deg": number(leg.crab, degree),
        "crab_needed_deg": number(leg.crab_needed, degree),
        "crab_sd_deg": number(leg.crab_sd, degree),
        "ground_speed_kt": number(leg.ground_speed, knot),
    }


def _crossing(crossing: Crossing, stamp: Clock) -> Document:
    return {
        "time": stamp(crossing.time),
        "off_square_deg": number(crossing.off_square, degree),
        "off_square_sd_deg": number(crossing.off_square_sd, degree),
        "bank_deg": number(crossing.bank, degree),
        "bank_sd_deg": number(crossing.bank_sd, degree),
        "along_ft": number(crossing.along, foot),
    }


def corner_document(corner: CornerFlown, stamp: Clock) -> Document:
    """Return one turn of a rectangular course or a traffic pattern."""
    return {
        "lap": corner.lap,
        "name": corner.name,
        "start": stamp(corner.start),
        "end": stamp(corner.end),
        "track_turn_deg": number(corner.track_turn, degree),
        "heading_turn_deg": number(corner.heading_turn, degree),
        "heading_turn_needed_deg": number(corner.heading_turn_needed, degree),
        "bank_max_deg": number(corner.bank_max, degree),
        "overshoot_ft": number(corner.overshoot, foot),
        "overshoot_sd_ft": number(corner.overshoot_sd, foot),
    }


def patterns_document(patterns: tuple[PatternFlown, ...] | None, stamp: Clock) -> Document:
    """Return the circuits of a runway under a key of their own; empty where no runway was given.

    Parameters
    ----------
    patterns
        In the order flown; None where no runway was given.
    stamp
        Writes times.
    """
    if patterns is None:
        return {}
    return {"traffic_patterns": [_pattern(each, stamp) for each in patterns]}


def _pattern(flown: PatternFlown, stamp: Clock) -> Document:
    return {
        "start": stamp(flown.start),
        "end": stamp(flown.end),
        "direction": flown.direction,
        "runway_bearing_deg": bearing(flown.bearing),
        "ending": flown.ending,
        "lowest_height_ft": number(flown.lowest, foot, 0),
        "wind_from_deg": None if flown.wind is None else bearing(flown.wind.direction_from),
        "wind_speed_kt": None if flown.wind is None else number(flown.wind.speed, knot),
        "downwind_distance_ft": number(flown.width, foot),
        "downwind_distance_sd_ft": number(flown.width_sd, foot),
        "final_overshoot_ft": number(flown.overshoot, foot),
        "final_overshoot_sd_ft": number(flown.overshoot_sd, foot),
        "legs": [leg_document(each, stamp) for each in flown.legs],
        "corners": [corner_document(each, stamp) for each in flown.corners],
    }


def _pivotal(details: PivotalFlown, assessed: Assessed, stamp: Clock) -> Document:
    first = details.first_into_wind
    return {
        "first_turn_off_wind_deg": number(first if first <= half_turn else float("nan"), degree),
        "loops": [_loop(details, assessed, n) for n in range(1, len(assessed.maneuver.laps) + 1)],
        "segments": [_segment(each, stamp) for each in details.segments],
    }


def _loop(details: PivotalFlown, assessed: Assessed, loop: int) -> Document:
    """Return the extremes of one loop: of the pivotal height by both rules, the height, the pylon's angle."""
    inside = assessed.profile.lap == loop
    height = np.full(inside.size, np.nan) if details.height is None else details.height
    columns = {
        "height_above_pylon": (height, foot, "ft"),
        "pivotal_height": (details.pivotal, foot, "ft"),
        "handbook_pivotal_height": (details.handbook, foot, "ft"),
        "pylon_ahead": (details.ahead, degree, "deg"),
    }
    document: Document = {"loop": loop}
    for name, (values, unit, suffix) in columns.items():
        known = values[inside & np.isfinite(values)]
        for what, value in (("max", known.max), ("min", known.min), ("mean", known.mean)):
            document[f"{name}_{what}_{suffix}"] = number(float(value()), unit) if known.size else None
    return document


def _segment(segment: Segment, stamp: Clock) -> Document:
    return {
        "start": stamp(segment.start),
        "end": stamp(segment.end),
        "lasted_s": number(segment.end - segment.start),
        "weave_deg": number(segment.weave, degree),
    }


def _steep(turn: SteepTurn) -> Document:
    return {
        "lap": turn.lap,
        "bank_deg": number(turn.bank, degree),
        "bank_sd_deg": number(turn.bank_sd, degree),
        "heading_in_deg": bearing(turn.heading_in),
        "heading_out_deg": bearing(turn.heading_out),
        "off_heading_deg": number(turn.off_heading, degree),
        "off_heading_sd_deg": number(turn.off_heading_sd, degree),
        "drift_ft": number(turn.drift, foot),
        "drift_expected_ft": number(turn.drift_expected, foot),
    }
