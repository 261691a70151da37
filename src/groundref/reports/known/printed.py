"""Which figures of the JSON stand under a name on a page, block by block."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

Keys = tuple[str, ...]

NOT_FIGURES: Final = frozenset(
    {
        "recording",
        "measured",
        "derived",
        "standard",
        "airplane",
        "student",
        "Verdict",
        "Element",
        "Why",
        "first turn",
    }
)
"""Names under which words stand, though there be a digit in them."""

# A name ending in “…” begins so; of several the longest counts. A block's “…” alone is for all of its names.
BLOCKS: Final[Mapping[str, Mapping[str, Keys]]] = {
    "facts": {
        "wind": ("wind.speed_kt", "wind.from_deg"),
        "true airspeed": ("wind.tas_kt",),
        "radius…": ("radius_ft",),
        "radius held, right and left": ("radius_right_ft", "radius_left_ft"),
        "radius when begun, right and left": ("radius_right_ft", "radius_left_ft"),
        "pivotal height, exact": ("pivotal.loops.pivotal_height_max_ft",),
        "mean bank": ("turns.bank_deg",),
        "distance outside the boundary": ("laps.legs.distance_ft",),
        "farthest from the mean of a side": ("laps.legs.distance_max_ft",),
        "the point": ("reference.lat",),
        "the line": ("reference.bearing_deg",),
        "the rectangle": ("reference.corners",),
        "pylon…": ("reference.points",),
        "entry": ("entry.track_deg", "entry.off_downwind_deg", "entry.distance_ft"),
        "height above the ground": ("altitude.height_agl_ft",),
        "altitude…": ("altitude.reference_ft",),
        "pressure altitude": ("altitude.reference_ft",),
        "indicated altitude": ("altitude.reference_ft",),
        "largest bank": ("bank.max_deg",),
        "kind": ("confidence",),
    },
    "laps": {
        "began…": ("laps.start",),
        "lasted": ("laps.end",),
        "straight before it": ("laps.end",),
        "turned": ("laps.turn_deg",),
        "radius": ("laps.radius_ft",),
        "off the…": ("laps.radial_rms_ft",),
        "farthest outside": ("laps.radial_max_ft",),
        "farthest inside": ("laps.radial_min_ft",),
        "highest…": ("laps.altitude_max_ft",),
        "lowest…": ("laps.altitude_min_ft",),
        "largest bank": ("laps.bank_max_deg",),
        "smallest bank": ("laps.bank_min_deg",),
        "fastest…": ("airspeed.max_kt",),
        "slowest…": ("airspeed.min_kt",),
        "center…": ("laps.lat",),
        "height above the pylon": ("pivotal.loops.height_above_pylon_max_ft",),
        "pivotal height, exact": ("pivotal.loops.pivotal_height_max_ft",),
        "by the handbook": ("pivotal.loops.handbook_pivotal_height_max_ft",),
        "farthest above exact": ("pivotal.loops.height_above_pylon_max_ft",),
        "farthest below exact": ("pivotal.loops.height_above_pylon_min_ft",),
        "pylon farthest…": ("pivotal.loops.pylon_ahead_max_deg",),
        "mean bank": ("turns.bank_deg",),
        "heading before": ("turns.heading_in_deg",),
        "heading after": ("turns.heading_out_deg",),
        "rolled out": ("turns.off_heading_deg",),
        "carried over the ground": ("turns.drift_ft",),
        "by the wind alone": ("turns.drift_expected_ft",),
    },
    "places": {
        "bank flown": ("series.bank_deg",),
        "bank required": ("series.bank_required_deg",),
        "off the…": ("series.radial_ft",),
        "ground speed": ("series.ground_speed_kt",),
        "crab": ("series.crab_deg",),
    },
    "crossings": {
        "UTC": ("crossings.time",),
        "track off square": ("crossings.off_square_deg",),
        "bank at the line": ("crossings.bank_deg",),
        "along the line": ("crossings.along_ft",),
    },
    "ways": {
        "course": ("laps.legs.course_deg",),
        "track off course": ("laps.legs.off_course_deg",),
        "crab flown": ("laps.legs.crab_deg",),
        "crab needed": ("laps.legs.crab_needed_deg",),
        "ground speed": ("laps.legs.ground_speed_kt",),
    },
    "legs": {
        "track off course": ("laps.legs.off_course_deg",),
        "crab flown": ("laps.legs.crab_deg",),
        "crab needed": ("laps.legs.crab_needed_deg",),
        "mean distance": ("laps.legs.distance_ft",),
        "nearest": ("laps.legs.distance_min_ft",),
        "farthest": ("laps.legs.distance_max_ft",),
        "ground speed": ("laps.legs.ground_speed_kt",),
    },
    "corners": {
        "track turned": ("corners.track_turn_deg",),
        "heading turned": ("corners.heading_turn_deg",),
        "heading needed": ("corners.heading_turn_needed_deg",),
        "largest bank": ("corners.bank_max_deg",),
        "next leg": ("corners.overshoot_ft",),
    },
    "segments": {
        "began…": ("laps.start",),
        "wings level for": ("pivotal.segments.lasted_s",),
        "track to and fro": ("pivotal.segments.weave_deg",),
    },
    "planned": {
        "planned": ("plan.compared.planned_kt",),
        "flown": ("plan.compared.flown_kt",),
    },
    "circuits": {
        "began…": ("laps.start",),
        "over the threshold": ("laps.end",),
        "landing direction": ("traffic_patterns.runway_bearing_deg",),
        "lowest over the runway": ("traffic_patterns.lowest_height_ft",),
        "downwind leg…": ("traffic_patterns.downwind_distance_ft",),
        "turn onto final": ("traffic_patterns.final_overshoot_ft",),
        "wind": ("traffic_patterns.wind_speed_kt",),
    },
    "flight": {
        "flown": ("flight.start",),
        "samples": ("flight.samples",),
        "height above the ground": ("altitude.height_agl_ft",),
    },
    "compared": {
        "flown": ("flight.start",),
        "turned": ("laps.turn_deg",),
        "wind": ("wind.speed_kt", "wind.from_deg"),
        "true airspeed": ("wind.tas_kt",),
        "mean radius": ("radius_ft",),
    },
    "winds": {"…": ("wind.speed_kt", "wind.from_deg")},
}

# What stands beside the track of the entry, by what it is measured against there.
ENTRY: Final[Mapping[str, Keys]] = {
    "wind and place": BLOCKS["facts"]["entry"],
    "wind": ("entry.track_deg", "entry.off_downwind_deg"),
    "leg": ("entry.track_deg", "entry_angle_deg"),
    "first turn": ("entry.track_deg", "entry.distance_ft"),
    "nothing": ("entry.track_deg",),
}


def keys(names: Mapping[str, Keys], name: str) -> Keys:
    """Return the keys of what stands under a name; none where it is no figure.

    Parameters
    ----------
    names
        Of the block.
    name
        As printed.
    """
    if name in names:
        return names[name]
    begins = [each for each in names if each.endswith("…") and name.startswith(each[:-1])]
    return names[max(begins, key=len)] if begins else ()
