"""What was computed for safety, as the part `safety` of the plan JSON."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from groundref.planning.daylight import Daylight
from groundref.planning.engine_out import EngineOut, nearest_edge
from groundref.planning.heights import Heights
from groundref.planning.inputs import Inputs
from groundref.planning.margins import Margins
from groundref.planning.quiet import Quiet
from groundref.planning.rounded import angle, column, number
from groundref.planning.rules import load_rules
from groundref.planning.safety import ThinAir
from groundref.planning.schedule import Schedule
from groundref.units import degree, foot, knot

if TYPE_CHECKING:
    from groundref.planning.planned import Plan

Floats = NDArray[np.float64]


def safety_to_dict(plan: Plan) -> dict[str, object]:
    """Return the part `safety` of the plan JSON."""
    inputs, found = plan.inputs, plan.safety
    return {
        "margins": _margins(inputs, found.margins),
        "heights": _heights(inputs, found.heights),
        "engine_out": _engine_out(inputs, plan.schedule, found.engine_out),
        "quiet": None if found.quiet is None else _quiet(plan.schedule, found.quiet),
        "daylight": None if found.daylight is None else _daylight(found.daylight),
        "thin_air": _thin_air(found.thin_air),
    }


def _margins(inputs: Inputs, found: Margins) -> dict[str, object]:
    plane = inputs.aircraft
    return {
        "mass_kg": round(found.mass, 1),
        "bank_max_deg": number(found.bank, degree, 1),
        "bank_limit_of_airplane_deg": number(plane.max_bank, degree, 1),
        "bank_not_possible_deg": number(found.greatest_bank, degree, 1),
        "bank_not_possible_because": "stall" if found.stalls_first else "load factor",
        "load_factor_max": number(found.load_factor, 1.0, 2),
        "load_factor_limit": number(found.limit_load_factor, 1.0, 2),
        "airspeed_kt": number(found.airspeed, knot, 1),
        "stall_speed_kt": number(found.stall_speed, knot, 1),
        "stall_speed_flaps_kt": number(found.stall_speed_flaps, knot, 1),
        "above_stall_kt": number(found.above_stall, knot, 1),
        "maneuvering_speed_kt": number(found.maneuvering_speed, knot, 1),
        "below_maneuvering_speed_kt": number(found.maneuvering_speed - inputs.calibrated_airspeed, knot, 1),
        "bank_max_in_gust_deg": number(found.bank_in_gust, degree, 1),
        "above_stall_in_gust_kt": number(found.above_stall_in_gust, knot, 1),
    }


def _heights(inputs: Inputs, found: Heights) -> dict[str, object]:
    limit, band = found.limit, found.band
    return {
        "lowest_ft": number(found.lowest, foot, 0),
        "highest_ft": number(found.highest, foot, 0),
        "rules": found.rules.name,
        "surroundings": inputs.around.surroundings,
        "obstacle_ft": number(found.obstacle, foot, 0),
        "least_ft": number(found.least, foot, 0),
        "least_asked": None if limit is None else limit.what,
        "least_source": None if limit is None else limit.source,
        "least_confirmed": None if limit is None else limit.confirmed,
        "band_low_ft": number(found.band_low, foot, 0),
        "band_high_ft": number(found.band_high, foot, 0),
        "band_code": None if band is None else band.code,
    }


def _engine_out(inputs: Inputs, schedule: Schedule, found: EngineOut) -> dict[str, object]:
    landing, edge, common = found.landing, nearest_edge(found), found.common_outline()
    anywhere = load_rules(inputs.around.rules).anywhere
    reached = [
        {"name": schedule.name[i], "position": i, **_line(inputs, *found.outline(i))}
        for i in schedule.marked.nonzero()[0].tolist()
    ]
    return {
        "reaction_s": found.reaction_time,
        "bank_deg": number(found.bank, degree, 1),
        "glide_tas_kt": number(found.glide_speed, knot, 1),
        "glide_ratio": number(found.glide_ratio, 1.0, 2),
        "half_turn_loss_ft": number(found.half_turn_loss, foot, 0),
        "rule": anywhere.what,
        "rule_source": anywhere.source,
        "rule_confirmed": anywhere.confirmed,
        "common_outline": None if common is None else _line(inputs, *common),
        "common_nearest_ft": None if edge is None else number(edge[0], foot, 0),
        "common_nearest_toward_deg": None if edge is None else angle(edge[1]),
        "outlines": reached,
        "landing": None
        if landing is None
        else {
            "east_ft": number(landing.place[0], foot, 0),
            "north_ft": number(landing.place[1], foot, 0),
            "within_reach": landing.least >= 0.0,
            "worst_position": landing.worst,
            "worst_name": schedule.name[landing.worst],
            "height_left_ft": number(landing.least, foot, 0),
            "height_left_by_position_ft": column(landing.height, foot, 0),
        },
    }


def _line(inputs: Inputs, east: Floats, north: Floats) -> dict[str, object]:
    """Return an outline, open, in feet and where the origin is known in degrees."""
    shown: dict[str, object] = {"east_ft": column(east, foot, 0), "north_ft": column(north, foot, 0)}
    if inputs.latitude is None or inputs.longitude is None:
        return {**shown, "lat": None, "lon": None}
    from groundref.geo.frame import LocalFrame

    latitude, longitude = LocalFrame(inputs.latitude, inputs.longitude).to_geographic(east, north)
    return {**shown, "lat": column(latitude, degree, 5), "lon": column(longitude, degree, 5)}


def _quiet(schedule: Schedule, found: Quiet) -> dict[str, object]:
    return {
        "distance_ft": number(found.distance, foot, 0),
        "height_ft": number(found.height, foot, 0),
        "slant_ft": number(found.slant, foot, 0),
        "position": found.position,
        "name": schedule.name[found.position],
        "nearer_than_asked": found.too_near,
    }


def _daylight(found: Daylight) -> dict[str, object]:
    return {
        "twilight_begins": _moment(found.twilight_begins),
        "sunrise": _moment(found.sunrise),
        "sunset": _moment(found.sunset),
        "twilight_ends": _moment(found.twilight_ends),
        "sun_elevation_deg": number(found.elevation, degree, 1),
        "sun_azimuth_deg": angle(found.azimuth),
        "night": found.dark,
        "sun_down": found.sun_down,
    }


def _thin_air(found: ThinAir) -> dict[str, object]:
    return {
        "altitude_ft": number(found.altitude, foot, 0),
        "density_altitude_ft": number(found.density_altitude, foot, 0),
        "tas_over_cas": number(found.true_over_calibrated, 1.0, 3),
        "radius_over_sea_level": number(found.true_over_calibrated**2, 1.0, 3),
    }


def _moment(moment: datetime | None) -> str | None:
    return None if moment is None else f"{moment:%Y-%m-%dT%H:%M:%S}.000Z"
