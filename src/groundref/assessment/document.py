"""What was concluded, as plain data with the unit in every name: the parts of the debrief's JSON."""

from __future__ import annotations

from math import isfinite
from typing import Any

from groundref.assessment.assessed import Assessed, ElementResult, Finding, Held
from groundref.assessment.by_side import LEFT, RIGHT, mean_radius
from groundref.assessment.held import lap_bank
from groundref.assessment.particulars_document import details_document, legs_document, reference_document
from groundref.assessment.plain import Clock, bearing, number
from groundref.assessment.profile import turn_sign
from groundref.detection.maneuver import Lap, Maneuver
from groundref.estimation.states import States
from groundref.estimation.wind_value import Wind
from groundref.geo.frame import LocalFrame
from groundref.units import degree, foot, knot

Document = dict[str, Any]


def wind_document(wind: Wind | None) -> Document | None:
    """Return a wind without its times."""
    if wind is None:
        return None
    return {
        "from_deg": bearing(wind.direction_from),
        "speed_kt": number(wind.speed, knot, 2),
        "from_sd_deg": number(wind.direction_sd, degree),
        "north_sd_kt": number(wind.north_sd, knot, 2),
        "east_sd_kt": number(wind.east_sd, knot, 2),
        "north_east_covariance_kt2": number(wind.covariance, knot**2, 3),
        "tas_kt": number(wind.true_airspeed, knot, 2),
        "tas_sd_kt": number(wind.true_airspeed_sd, knot, 2),
    }


def maneuver_document(assessed: Assessed, states: States, frame: LocalFrame, stamp: Clock) -> Document:
    """Return a maneuver with everything that was concluded about it."""
    maneuver = assessed.maneuver
    return {
        "kind": maneuver.kind,
        "start": stamp(maneuver.start),
        "end": stamp(maneuver.end),
        "direction": maneuver.direction,
        "confidence": number(maneuver.confidence, digits=3),
        "alternatives": [
            {"kind": kind, "confidence": number(p, digits=3)} for kind, p in maneuver.alternatives
        ],
        "reference": reference_document(maneuver.reference, frame),
        # To a thousandth: it is printed from here too, where a second rounding would say another whole foot.
        "radius_ft": number(maneuver.radius, foot, digits=3),
        "radius_sd_ft": number(maneuver.radius_sd, foot, digits=3),
        **_by_side(maneuver),
        "wind": wind_document(maneuver.wind),
        "entry": _entry(assessed, states, stamp),
        "laps": [
            _lap(lap, maneuver, states, frame, stamp) | _legs(assessed, n, stamp)
            for n, lap in enumerate(maneuver.laps, 1)
        ],
        "drift": {
            "east_ft_per_lap": number(maneuver.drift_east, foot),
            "north_ft_per_lap": number(maneuver.drift_north, foot),
            "sd_ft_per_lap": number(maneuver.drift_sd, foot),
            "laps_drift_downwind": maneuver.drifts,
        },
        **details_document(assessed, stamp),
        "altitude": _altitude(assessed, states, stamp),
        "airspeed": _airspeed(assessed.airspeed, stamp),
        "bank": _bank(assessed, stamp),
        "elements": [_element(element, stamp) for element in assessed.elements],
        "findings": [_finding(finding, stamp) for finding in assessed.findings],
        "not_looked_for": list(assessed.not_looked_for),
        "notes": [*maneuver.notes, *assessed.notes],
    }


def _entry(assessed: Assessed, states: States, stamp: Clock) -> Document:
    maneuver, entry = assessed.maneuver, assessed.maneuver.entry
    known = assessed.entry_recorded
    height, height_sd = states.height, states.height_sd
    at = maneuver.first if assessed.height_reference is not None else None
    return {
        "recorded": known,
        "time": stamp(entry.turn_time),
        "abeam_time": stamp(entry.abeam_time) if known else None,
        "height_agl_ft": None if height is None or at is None else number(float(height[at]), foot),
        "height_agl_sd_ft": (None if height_sd is None or at is None else number(float(height_sd[at]), foot)),
        "track_deg": bearing(entry.track) if known else None,
        "off_downwind_deg": number(assessed.entry_off_downwind, degree),
        "off_downwind_sd_deg": number(assessed.entry_off_downwind_sd, degree),
        "distance_ft": number(entry.distance, foot) if known else None,
        "distance_sd_ft": number(entry.distance_sd, foot) if known else None,
    }


def _legs(assessed: Assessed, lap: int, stamp: Clock) -> Document:
    """Return the legs of a circuit under their key; nothing for laps that have none."""
    return {"legs": legs_document(assessed, lap, stamp)} if assessed.maneuver.laps[lap - 1].legs else {}


def _lap(lap: Lap, maneuver: Maneuver, states: States, frame: LocalFrame, stamp: Clock) -> Document:
    center = _center(lap, frame)
    part = slice(lap.first, lap.last + 1)
    altitude = states.altitude
    sign = turn_sign(lap)
    most, least = lap_bank(states, maneuver, lap) or (None, None)
    return {
        "start": stamp(lap.start),
        "end": stamp(lap.end),
        "turn_deg": number(lap.turn, degree),
        "lat": center[0],
        "lon": center[1],
        "center_sd_ft": number(lap.center_sd, foot),
        "radius_ft": number(lap.radius, foot),
        "radius_sd_ft": number(lap.radius_sd, foot),
        "radial_rms_ft": number(lap.radial_rms, foot),
        "radial_max_ft": number(lap.radial_max, foot),
        "radial_min_ft": number(lap.radial_min, foot),
        "altitude_max_ft": None if altitude is None else number(float(altitude[part].max()), foot),
        "altitude_min_ft": None if altitude is None else number(float(altitude[part].min()), foot),
        "bank_max_deg": None if most is None else number(sign * most, degree),
        "bank_min_deg": None if least is None else number(sign * least, degree),
    }


def _center(lap: Lap, frame: LocalFrame) -> tuple[float | None, float | None]:
    """Return latitude and longitude of a lap's own centre; None where it has none."""
    if not isfinite(lap.center_east + lap.center_north):
        return None, None
    latitude, longitude = frame.to_geographic(lap.center_east, lap.center_north)
    return number(float(latitude), degree, 7), number(float(longitude), degree, 7)


def _by_side(maneuver: Maneuver) -> Document:
    """Return the mean radius of the turns to each side; null where it does not turn both ways."""
    both = [mean_radius(maneuver.laps, side) for side in (RIGHT, LEFT)]
    told = all(isfinite(radius) for radius, _ in both)
    return {
        name: number(value, foot, digits=3) if told else None
        for side, (radius, sd) in zip(("right", "left"), both, strict=True)
        for name, value in ((f"radius_{side}_ft", radius), (f"radius_{side}_sd_ft", sd))
    }


def _altitude(assessed: Assessed, states: States, stamp: Clock) -> Document:
    held = assessed.altitude
    if held is None:
        names = (
            "datum",
            "reference_ft",
            "reference_from",
            "max_ft",
            "min_ft",
            "sd_ft",
            "height_agl_ft",
            "height_agl_sd_ft",
        )
        return dict.fromkeys(names)
    return {
        "datum": states.altitude_datum,
        "reference_ft": number(held.reference, foot),
        "reference_from": held.reference_from,
        "max_ft": number(held.maximum, foot),
        "max_at": stamp(held.maximum_time),
        "min_ft": number(held.minimum, foot),
        "min_at": stamp(held.minimum_time),
        "sd_ft": number(held.sd, foot),
        "height_agl_ft": number(assessed.height_reference, foot),
        "height_agl_sd_ft": number(assessed.height_sd, foot),
        "height_source": states.height_source or None,
    }


def _airspeed(held: Held | None, stamp: Clock) -> Document:
    if held is None:
        return dict.fromkeys(("source", "reference_kt", "reference_from", "max_kt", "min_kt", "sd_kt"))
    return {
        "source": held.source,
        "reference_kt": number(held.reference, knot),
        "reference_from": held.reference_from,
        "max_kt": number(held.maximum, knot),
        "max_at": stamp(held.maximum_time),
        "min_kt": number(held.minimum, knot),
        "min_at": stamp(held.minimum_time),
        "sd_kt": number(held.sd, knot, 2),
    }


def _bank(assessed: Assessed, stamp: Clock) -> Document:
    held = assessed.bank
    limit = {"limit_deg": number(assessed.bank_limit, degree), "limit_source": assessed.bank_limit_source}
    if held is None:
        return {**dict.fromkeys(("source", "max_deg", "max_at", "sd_deg")), **limit}
    top, bottom = _sign_at(assessed, held.maximum_time), _sign_at(assessed, held.minimum_time)
    mean = top if assessed.maneuver.direction != "both" else 1.0
    return {
        "source": held.source,
        "max_deg": number(top * held.maximum, degree),
        "max_at": stamp(held.maximum_time),
        "min_deg": number(bottom * held.minimum, degree),
        "mean_deg": number(mean * held.reference, degree),
        "sd_deg": number(held.sd, degree, 2),
        **limit,
    }


def _sign_at(assessed: Assessed, time: float) -> float:
    """Return +1 where the maneuver turns right at a time, −1 where it turns left."""
    laps = assessed.maneuver.laps
    return turn_sign(next((lap for lap in reversed(laps) if lap.start <= time), laps[0]))


def _element(element: ElementResult, stamp: Clock) -> Document:
    return {
        "code": element.code,
        "what": element.what,
        "quantity": element.quantity,
        "verdict": element.verdict,
        "limit": element.limit,
        "minimum": element.minimum,
        "target": element.target,
        "unit": element.unit,
        "published": element.published,
        "basis": element.basis,
        "worst": number(element.worst, digits=2),
        "worst_sd": number(element.worst_sd, digits=2),
        "at": stamp(element.time),
        "why": element.why,
    }


def _finding(finding: Finding, stamp: Clock) -> Document:
    return {
        "fault": finding.fault,
        "laps": list(finding.laps),
        "size": number(finding.size, digits=2),
        "size_unit": finding.size_unit,
        "size_sd": number(finding.size_sd, digits=2),
        "from": stamp(finding.start),
        "to": stamp(finding.end),
        "position": finding.position or None,
        "consequence_ft": number(finding.consequence_ft, digits=0),
        "consequence_sd_ft": number(finding.consequence_sd_ft, digits=0),
        "consequence_at_least": finding.consequence_at_least,
        "strength": number(finding.strength, digits=2),
        "says": finding.says,
        "cure": finding.cure,
        "says_metric": finding.says_metric,
        "cure_metric": finding.cure_metric,
    }
