"""Which figures of the JSON stand under a name on the page of a plan, and on that of a student's progress."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from groundref.reports.known.printed import Keys

_HEIGHT: Final = ("height_max_ft",)
_TRACK: Final = ("positions.track_deg",)
_HEADING: Final = ("positions.heading_deg",)
_SIGHT: Final = ("positions.sight_depression_deg",)
_PLACE: Final = ("positions.distance_ft",)
_ENGINE: Final = ("safety.engine_out.half_turn_loss_ft",)
_STALL: Final = ("safety.margins.stall_speed_kt",)

PLAN: Final[Mapping[str, Mapping[str, Keys]]] = {
    "glance": {
        "Fit": ("fit.bank_needed_deg",),
        "Wind at height": ("inputs.wind_kt", "inputs.wind_from_deg"),
        "Airspeed": ("inputs.tas_kt",),
        "Height": ("inputs.height_ft",),
        "Air": ("inputs.oat_c",),
        "Airplane": ("inputs.mass_kg",),
        "Bank": ("bank_max_deg",),
        "Ground speed": ("ground_speed_max_kt",),
        "Stall": _STALL,
        "Time": ("lap_time_s",),
        "Entry": ("entry.track_deg",),
    },
    "to-fly": {
        "after": ("positions.seconds_from_entry",),
        "track…": _TRACK,
        "heading…": _HEADING,
        "crab": ("positions.crab_deg",),
        "ground speed": ("positions.ground_speed_kt",),
        "bank": ("positions.bank_deg",),
        "height": ("positions.height_agl_ft",),
        "by GS²/11.3": ("positions.handbook_height_ft",),
    },
    "landmarks": {"bearing…": _PLACE, "distance": _PLACE, "latitude, longitude": _PLACE},
    "sights": {
        "the point is": _SIGHT,
        "below horizon": _SIGHT,
        "from the wing line": _SIGHT,
        "by the wing": _SIGHT,
        "you, from it…": _PLACE,
        "distance": _PLACE,
        "latitude, longitude": _PLACE,
    },
    "fit": {
        "Bank needed…": ("fit.bank_needed_deg",),
        "if a gust…": ("fit.bank_needed_gust_deg",),
        "Smallest radius…": ("fit.radius_needed_ft",),
        "with …": ("fit.radius_needed_ft",),
        "Fastest…": ("fit.tas_needed_kt",),
        "Strongest wind…": ("fit.wind_limit_kt",),
        "…": ("fit.bank_needed_deg",),
    },
    "corners": {
        "Radius of the corners": ("fit.radius_needed_ft",),
        "Bank in the corners": ("bank_max_deg",),
        "Outside of the field": ("entry.distance_ft",),
        "Straight between corners": ("lap_time_s",),
    },
    "entry": {
        "How": ("entry.track_deg",),
        "Track": ("entry.track_deg",),
        "Heading": ("entry.heading_deg",),
        "Ground speed": ("entry.ground_speed_kt",),
        "Abeam": ("entry.distance_ft",),
        "It sits": ("entry.sight_depression_deg",),
        "Roll to": ("entry.bank_deg",),
        "Begin to roll": ("entry.lead_time_s",),
        "Once through": ("lap_time_s",),
        "In all": ("lap_time_s",),
    },
    "safety": {
        "Leave": ("safety.heights.least_ft", "safety.heights.band_low_ft"),
        "Engine out": _ENGINE,
        "Stall": _STALL,
    },
    "made-from": {
        "Wind at height": ("inputs.wind_kt", "inputs.wind_from_deg"),
        "Airspeed": ("inputs.tas_kt",),
        "Height": ("inputs.height_ft",),
        "Air": ("inputs.oat_c",),
        "Airplane": ("inputs.mass_kg",),
        "Variation": ("inputs.variation_deg",),
    },
}
PLAN_NOT_FIGURES: Final = frozenset({"Clear", "Scan"})

PROGRESS: Final[Mapping[str, Mapping[str, Keys]]] = {
    "lead": {
        "flown": ("flown",),
        "last": ("lessons",),
        "wind": ("wind_least_kt",),
    },
    "standing": {
        "Last three": ("last_three.verdicts",),
        "Asked": ("limit",),
        "Now": ("trend.now",),
        "Change a lesson": ("trend.a_lesson",),
    },
    "lessons": {
        "wind": ("figures.wind_kt",),
        "mean radius": ("figures.radius_ft",),
        "…": ("figures.worst",),
    },
    "errors": {"…": ("faults.lessons",)},
}
