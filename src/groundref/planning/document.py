"""The plan as JSON: `groundref/plan/1`, units in every name."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from groundref.planning.cautions import STANDING
from groundref.planning.fit import Fit
from groundref.planning.inputs import Inputs, geographic
from groundref.planning.layout import Layout
from groundref.planning.rounded import angle, column, number
from groundref.planning.safety_document import safety_to_dict
from groundref.units import celsius_zero, degree, foot, inch_hg, knot

if TYPE_CHECKING:
    from groundref.planning.planned import Plan

Floats = NDArray[np.float64]


def to_dict(plan: Plan) -> dict[str, object]:
    """Return the plan JSON of the contract."""
    inputs, found = plan.inputs, plan.extremes
    margins = plan.safety.margins
    return {
        "schema": "groundref/plan/1",
        "maneuver": inputs.kind,
        "inputs": _inputs(inputs),
        "tas_kt": number(inputs.true_airspeed, knot, 1),
        "radius_ft": number(plan.layout.radius, foot, 0),
        "bank_max_deg": number(found.bank_max, degree, 1),
        "bank_min_deg": number(found.bank_min, degree, 1),
        "ground_speed_max_kt": number(found.ground_speed_max, knot, 1),
        "ground_speed_min_kt": number(found.ground_speed_min, knot, 1),
        "crab_max_deg": number(found.crab_max, degree, 1),
        "height_max_ft": number(found.height_max, foot, 0),
        "height_min_ft": number(found.height_min, foot, 0),
        "lap_time_s": number(found.time, 1.0, 1),
        "load_factor_max": number(margins.load_factor, 1.0, 2),
        "stall_speed_at_bank_max_kt": number(margins.stall_speed, knot, 1),
        "stall_margin_kt": number(margins.above_stall, knot, 1),
        "fit": None if plan.fit is None else _fit(plan.fit),
        "reference": _reference(inputs, plan.layout),
        "entry": _entry(plan),
        "positions": _positions(plan),
        "safety": safety_to_dict(plan),
        "notes": list(plan.notes),
        "ladder": [asdict(step) for step in plan.ladder],
        "cautions": [*(caution.says for caution in plan.cautions), STANDING],
        "cautions_ranked": [
            {**asdict(caution), "weight": caution.weight.name.lower()} for caution in plan.cautions
        ],
    }


def _inputs(inputs: Inputs) -> dict[str, object]:
    return {
        "aircraft": inputs.aircraft.name,
        "mass_kg": number(inputs.aircraft.mass, 1.0, 0),
        "ias_kt": number(inputs.calibrated_airspeed, knot, 1),
        "tas_kt": number(inputs.true_airspeed, knot, 1),
        "wind_from_deg": angle(inputs.wind_from),
        "wind_from_magnetic_deg": _magnetic(inputs.wind_from, inputs.variation),
        "wind_kt": number(inputs.wind_speed, knot, 1),
        "wind_sd_kt": number(inputs.wind_sd, knot, 1),
        "gust_kt": number(inputs.wind_speed + inputs.gust if inputs.gust else None, knot, 1),
        "wind_how": inputs.wind_how,
        "height_ft": number(inputs.height, foot, 0),
        "elevation_ft": number(inputs.elevation, foot, 0),
        "oat_c": round(inputs.temperature - celsius_zero, 1),
        "altimeter_inhg": number(inputs.altimeter, inch_hg, 2),
        "direction": "right" if inputs.side > 0 else "left",
        "laps": inputs.laps,
        "max_bank_deg": number(inputs.bank_limit, degree, 1),
        "max_bank_given": inputs.bank_limit_given,
        "radius_ft": number(inputs.radius, foot, 0),
        "course_deg": None if inputs.course is None else angle(inputs.course),
        "spacing_ft": number(inputs.spacing, foot, 0),
        "lat": number(inputs.latitude, degree, 6),
        "lon": number(inputs.longitude, degree, 6),
        "variation_deg": number(inputs.variation, degree, 1),
        "day": None if inputs.day is None else f"{inputs.day:%Y-%m-%d}",
        "when": None if inputs.when is None else f"{inputs.when:%Y-%m-%dT%H:%M:%S}.000Z",
        "standard": inputs.standard,
        "assumptions": list(inputs.assumptions),
    }


def _fit(fit: Fit) -> dict[str, object]:
    return {
        "works": fit.works,
        "bank_limit_deg": number(fit.bank_limit, degree, 1),
        "bank_needed_deg": number(fit.bank_needed, degree, 1),
        "bank_needed_still_air_deg": number(fit.bank_needed_still, degree, 1),
        "bank_needed_gust_deg": number(fit.bank_needed_gust, degree, 1),
        "radius_needed_ft": number(fit.radius_needed, foot, 0),
        "radius_needed_still_air_ft": number(fit.radius_needed_still, foot, 0),
        "wider_ft": number(max(fit.wider, 0.0), foot, 0),
        "radius_at_30_deg_ft": number(fit.radius_at_teaching, foot, 0),
        "radius_at_45_deg_ft": number(fit.radius_at_ceiling, foot, 0),
        "tas_needed_kt": number(fit.airspeed_needed, knot, 1),
        "tas_needed_still_air_kt": number(fit.airspeed_needed_still, knot, 1),
        "wind_limit_kt": number(fit.wind_limit, knot, 1),
    }


def _reference(inputs: Inputs, layout: Layout) -> dict[str, object]:
    places = np.array(layout.places, dtype=np.float64).reshape(-1, 2)
    known = _geographic(inputs, places[:, 0], places[:, 1])
    return {
        "type": layout.reference,
        "east_ft": column(places[:, 0], foot, 0),
        "north_ft": column(places[:, 1], foot, 0),
        "places": None if known is None else [list(pair) for pair in zip(*known, strict=True)],
    }


def _entry(plan: Plan) -> dict[str, object]:
    entry, roll_in = plan.layout.entry, plan.roll_in
    variation = plan.inputs.variation
    place = np.array(entry.place)[:, np.newaxis]
    known = _geographic(plan.inputs, place[0], place[1])
    return {
        "lat": known[0][0] if known else None,
        "lon": known[1][0] if known else None,
        "track_deg": angle(entry.track),
        "track_magnetic_deg": _magnetic(entry.track, variation),
        "heading_deg": angle(roll_in.heading),
        "heading_magnetic_deg": _magnetic(roll_in.heading, variation),
        "crab_deg": number(roll_in.crab, degree, 1),
        "ground_speed_kt": number(roll_in.ground_speed, knot, 1),
        "distance_ft": number(entry.distance, foot, 0),
        "distance_wing_spans": number(roll_in.spans, 1.0, 0),
        "sight_depression_deg": number(roll_in.depression, degree, 1),
        "hidden_by_wing": roll_in.hidden,
        "bank_deg": number(entry.bank, degree, 1),
        "roll_time_s": number(roll_in.roll_time, 1.0, 1),
        "lead_time_s": number(roll_in.lead_time, 1.0, 1),
        "lead_distance_ft": number(roll_in.lead_distance, foot, 0),
        "how": entry.how,
    }


def _positions(plan: Plan) -> list[dict[str, object]]:
    inputs, schedule = plan.inputs, plan.schedule
    known = _geographic(inputs, schedule.east, schedule.north)
    nowhere: list[float | None] = [None] * schedule.time.size
    columns: dict[str, list[object]] = {
        "name": list(schedule.name),
        "marked": schedule.marked.tolist(),
        "piece": schedule.piece.tolist(),
        "bearing_from_origin_deg": column(schedule.origin_bearing, degree, 1),
        "distance_from_origin_ft": column(schedule.origin_distance, foot, 0),
        "bearing_from_point_deg": column(schedule.bearing, degree, 1),
        "distance_ft": column(schedule.distance, foot, 0),
        "east_ft": column(schedule.east, foot, 0),
        "north_ft": column(schedule.north, foot, 0),
        "lat": list(known[0] if known else nowhere),
        "lon": list(known[1] if known else nowhere),
        "track_deg": column(schedule.track, degree, 1),
        "track_magnetic_deg": _magnetics(schedule.track, inputs.variation),
        "heading_deg": column(schedule.heading, degree, 1),
        "heading_magnetic_deg": _magnetics(schedule.heading, inputs.variation),
        "crab_deg": column(schedule.crab, degree, 1),
        "ground_speed_kt": column(schedule.ground_speed, knot, 1),
        "tas_kt": column(schedule.true_airspeed, knot, 1),
        "bank_deg": column(schedule.bank, degree, 1),
        "load_factor": column(schedule.load_factor, 1.0, 2),
        "height_agl_ft": column(schedule.height, foot, 0),
        "seconds_from_entry": column(schedule.time, 1.0, 1),
        "sight_depression_deg": column(schedule.depression, degree, 1),
        "point_ahead_of_abeam_deg": column(schedule.ahead, degree, 1),
        "point_above_wing_deg": column(schedule.above_wing, degree, 1),
        "point_ahead_of_wing_deg": column(schedule.ahead_of_wing, degree, 1),
        "hidden_by_wing": [
            bool(hidden) if known else None
            for hidden, known in zip(plan.hidden, np.isfinite(schedule.distance), strict=True)
        ],
        "handbook_height_ft": [None] * schedule.time.size
        if plan.handbook_height is None
        else column(plan.handbook_height, foot, 0),
    }
    return [dict(zip(columns, row, strict=True)) for row in zip(*columns.values(), strict=True)]


def _geographic(inputs: Inputs, east: Floats, north: Floats) -> tuple[list[float], list[float]] | None:
    """Return latitudes and longitudes [deg]; None where the origin is not known."""
    found = geographic(inputs, east, north)
    if found is None:
        return None
    return np.round(found[0] / degree, 6).tolist(), np.round(found[1] / degree, 6).tolist()


def _magnetic(direction: float, variation: float | None) -> float | None:
    """Return a true direction as a magnetic one, as `angle`; None where the variation is not known."""
    return None if variation is None else angle(direction - variation)


def _magnetics(directions: Floats, variation: float | None) -> list[object]:
    return [_magnetic(direction, variation) for direction in directions.tolist()]
