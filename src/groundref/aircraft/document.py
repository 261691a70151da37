"""Airplanes as the document of the JSON, with the keys and the units of their files."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from groundref.aircraft.aircraft import Aircraft
from groundref.units import degree, knot


def aircraft_document(airplanes: Iterable[Aircraft]) -> dict[str, Any]:
    """Return the document of one airplane or several."""
    return {"schema": "groundref/aircraft/1", "aircraft": [aircraft_dict(each) for each in airplanes]}


def aircraft_dict(airplane: Aircraft) -> dict[str, Any]:
    """Return an airplane by the keys of its file, at its mass; what is not known is None."""
    return {
        "name": airplane.name,
        "title": airplane.title,
        "practice_speed_kt": _in(airplane.practice_speed, knot),
        "stall_speed_kt": _in(airplane.stall_speed, knot),
        "stall_speed_flaps_kt": _in(airplane.stall_speed_flaps, knot),
        "maneuvering_speed_kt": _in(airplane.maneuvering_speed, knot),
        "normal_operating_speed_kt": _in(airplane.normal_operating_speed, knot),
        "never_exceed_speed_kt": _in(airplane.never_exceed_speed, knot),
        "limit_load_factor_g": airplane.limit_load_factor,
        "max_bank_deg": _in(airplane.max_bank, degree),
        "glide_speed_kt": _in(airplane.glide_speed, knot),
        "glide_ratio": airplane.glide_ratio,
        "mass_kg": airplane.mass,
        "mass_min_kg": airplane.mass_min,
        "mass_max_kg": airplane.mass_max,
        "roll_rate_deg_s": _in(airplane.roll_rate, degree),
        "wing_span_m": airplane.wing_span,
        "high_wing": airplane.high_wing,
        "wing_chord_m": airplane.wing_chord,
        "dihedral_deg": _in(airplane.dihedral, degree),
        "eye_to_wing_m": airplane.eye_to_wing,
        "eye_from_centerline_m": airplane.eye_from_centerline,
        "eye_behind_leading_edge_m": airplane.eye_behind_leading_edge,
        "source": airplane.source,
        "assumed": list(airplane.assumed),
    }


def _in(value: float | None, unit: float) -> float | None:
    """Return a value in the unit of the file, without the digits that two conversions leave behind."""
    return None if value is None else round(value / unit, 6)
