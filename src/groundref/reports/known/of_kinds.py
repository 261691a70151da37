"""How figures are known that one kind of maneuver has, a traffic pattern, or a plan beside its flight."""

from __future__ import annotations

from typing import Final

from groundref.reports.known.entry import CHOSEN, DERIVED, GIVEN, Known

_FITTED: Final = "the sides, fitted to the flight, are not those of the field"
_SMOOTHED: Final = "As sure as the smoothed path, which is some meters"
_NOT_WORKED_OUT: Final = "No uncertainty of its own is worked out"

LEGS: Final = (
    Known(
        ("laps.legs.course_deg", "traffic_patterns.legs.course_deg"),
        DERIVED,
        "the direction of the side, the runway or the way between the places",
        sure="As sure as those places",
    ),
    Known(
        ("laps.legs.off_course_deg", "traffic_patterns.legs.off_course_deg"),
        DERIVED,
        "mean track of the straight part less the course that it should have run along",
        _FITTED,
    ),
    Known(
        ("laps.legs.weave_deg", "pivotal.segments.weave_deg", "traffic_patterns.legs.weave_deg"),
        DERIVED,
        "how far the track swings about its mean, root mean square",
        sure=_NOT_WORKED_OUT,
    ),
    Known(
        ("laps.legs.distance_ft", "traffic_patterns.legs.distance_ft"),
        DERIVED,
        "mean distance outside the boundary, or the mean of what was flown where no boundary is given",
        _FITTED,
    ),
    Known(
        (
            "laps.legs.distance_max_ft",
            "laps.legs.distance_min_ft",
            "traffic_patterns.legs.distance_max_ft",
            "traffic_patterns.legs.distance_min_ft",
        ),
        DERIVED,
        "farthest and nearest of the smoothed path on the straight part",
        _FITTED,
        sure=_SMOOTHED,
    ),
    Known(
        ("laps.legs.crab_deg", "traffic_patterns.legs.crab_deg"),
        DERIVED,
        "heading less the leg's course: the heading recorded, else the one that the wind triangle gives",
        "the wind was another",
        sd=("laps.legs.crab_sd_deg",),
        cannot="the wind could not be told",
    ),
    Known(
        ("laps.legs.crab_needed_deg", "traffic_patterns.legs.crab_needed_deg"),
        DERIVED,
        "sin(crab) = wind across the course ÷ true airspeed (the wind triangle)",
        "the wind was another",
        sd=("laps.legs.crab_sd_deg",),
        cannot="the wind could not be told",
    ),
    Known(
        ("laps.legs.ground_speed_kt", "traffic_patterns.legs.ground_speed_kt"),
        DERIVED,
        "mean of the smoothed motion over the ground",
        sure=_NOT_WORKED_OUT,
    ),
    Known(
        (
            "corners.track_turn_deg",
            "corners.heading_turn_deg",
            "traffic_patterns.corners.track_turn_deg",
            "traffic_patterns.corners.heading_turn_deg",
        ),
        DERIVED,
        "track, and heading, after the turn less before it",
        sure="The heading is as sure as the wind",
        cannot="the wind could not be told",
    ),
    Known(
        ("corners.heading_turn_needed_deg", "traffic_patterns.corners.heading_turn_needed_deg"),
        DERIVED,
        "from the crab that one leg needs to the crab that the next one needs (the wind triangle)",
        "the wind was another",
        sure="As sure as the crab needed",
        cannot="the wind could not be told",
    ),
    Known(
        ("corners.bank_max_deg", "traffic_patterns.corners.bank_max_deg"),
        DERIVED,
        "the steepest bank of the turn: as recorded, else from how sharply the path bends",
        "the turn was not coordinated",
        sd=("bank.sd_deg",),
    ),
    Known(
        ("corners.overshoot_ft", "traffic_patterns.corners.overshoot_ft"),
        DERIVED,
        "how far beyond the line of the next leg the path went, short of it negative",
        _FITTED,
    ),
    Known(
        ("entry_angle_deg",),
        DERIVED,
        "track of the entry against the first leg",
        cannot="the entry was not straight",
    ),
)

KINDS: Final = (
    Known(
        ("crossings.off_square_deg",),
        DERIVED,
        "track at the crossing against the direction square to the line",
        "the line, where it was fitted, lies askew",
    ),
    Known(
        ("crossings.bank_deg",),
        DERIVED,
        "bank at the moment of the crossing; with the line fitted, an error of a second of flight is"
        " some 10° of bank",
        "the line lies elsewhere",
    ),
    Known(("crossings.along_ft",), DERIVED, "from the first end of the line", sure=_SMOOTHED),
    Known(("crossings.time",), DERIVED, "when the smoothed path crosses the line", "the line lies elsewhere"),
    Known(
        ("pivotal.first_turn_off_wind_deg",),
        DERIVED,
        "the direction of the first turn against the wind",
        sure="As sure as the direction of the wind",
        cannot="the wind could not be told",
    ),
    Known(
        (
            "pivotal.loops.height_above_pylon_max_ft",
            "pivotal.loops.height_above_pylon_min_ft",
            "pivotal.loops.height_above_pylon_mean_ft",
        ),
        DERIVED,
        "altitude less the elevation of the ground at the pylon",
        "that elevation is another",
        sd=("altitude.height_agl_sd_ft",),
        cannot="no elevation of the ground is known",
    ),
    Known(
        (
            "pivotal.loops.pivotal_height_max_ft",
            "pivotal.loops.pivotal_height_min_ft",
            "pivotal.loops.pivotal_height_mean_ft",
        ),
        DERIVED,
        "true airspeed × ground speed × cos(crab) ÷ g, moment by moment",
        "the airspeed or the wind was another",
        sure="It is higher by 1% for each 1% of either",
        cannot="the wind could not be told",
    ),
    Known(
        (
            "pivotal.loops.handbook_pivotal_height_max_ft",
            "pivotal.loops.handbook_pivotal_height_min_ft",
            "pivotal.loops.handbook_pivotal_height_mean_ft",
        ),
        DERIVED,
        "ground speed² ÷ 11.3, in knots and feet: the handbook's rule, exact in still air only",
        "there is wind",
        sure="It hangs on the ground speed alone",
    ),
    Known(
        (
            "pivotal.loops.pylon_ahead_max_deg",
            "pivotal.loops.pylon_ahead_min_deg",
            "pivotal.loops.pylon_ahead_mean_deg",
        ),
        DERIVED,
        "direction to the pylon against the wing line, by place, heading and bank",
        "the pylon, where it was fitted, stands elsewhere",
        sure="Its standard deviation stands beside it",
    ),
    Known(
        ("pivotal.segments.lasted_s",),
        DERIVED,
        "how long the wings were level",
        sure=_NOT_WORKED_OUT,
    ),
    Known(
        ("turns.bank_deg",),
        DERIVED,
        "mean bank between rolling in and rolling out",
        "the turn was not coordinated",
    ),
    Known(
        ("turns.heading_in_deg", "turns.heading_out_deg", "turns.off_heading_deg"),
        DERIVED,
        "heading in straight flight before and after the turn: as recorded, else the track corrected by"
        " the wind",
        "the wind was another",
        sd=("turns.off_heading_sd_deg",),
    ),
    Known(
        ("turns.drift_ft",),
        DERIVED,
        "how far the end of the turn lies from its beginning, over the ground",
        sure=_SMOOTHED,
    ),
    Known(
        ("turns.drift_expected_ft",),
        DERIVED,
        "wind × time of the turn",
        "the wind was another",
        sure="As sure as the wind",
        cannot="the wind could not be told",
    ),
)

PATTERN: Final = (
    Known(("traffic_patterns.runway_bearing_deg",), GIVEN, "by the two ends of the runway"),
    Known(
        ("traffic_patterns.lowest_height_ft",),
        DERIVED,
        "least altitude over the runway less the elevation of the ground",
        "that elevation is another",
        sure="As sure as the height above the ground",
        cannot="no elevation of the ground is known",
    ),
    Known(
        ("traffic_patterns.wind_speed_kt", "traffic_patterns.wind_from_deg"),
        DERIVED,
        "the mean over the circuit of the wind along the flight",
        sure="As sure as the wind along the flight",
        cannot="the wind could not be told",
    ),
    Known(
        ("traffic_patterns.downwind_distance_ft",),
        DERIVED,
        "mean distance of the downwind leg from the runway's centerline",
    ),
    Known(
        ("traffic_patterns.final_overshoot_ft",),
        DERIVED,
        "how far beyond the centerline the path went in the turn to final, short of it negative",
    ),
)

BESIDE_PLAN: Final = (
    Known(
        (
            "plan.compared.planned_kt",
            "plan.compared.planned_deg",
            "plan.compared.planned_ft",
            "plan.compared.planned_s",
        ),
        CHOSEN,
        "as the plan has it, for the wind and air that were planned with",
    ),
    Known(
        (
            "plan.compared.flown_kt",
            "plan.compared.flown_deg",
            "plan.compared.flown_ft",
            "plan.compared.flown_s",
        ),
        DERIVED,
        "as flown; what is said of it elsewhere in this debrief holds, and its ± is one standard deviation",
        cannot="it was not flown, or could not be told",
    ),
    Known(("plan.bank_limit_deg",), CHOSEN, "the limit of bank that was planned with"),
    Known(
        ("plan.bank_needed_in_this_wind_deg", "plan.radius_needed_in_this_wind_ft"),
        DERIVED,
        "the planned maneuver worked out anew in the wind measured",
        "the wind was another",
        sure="As sure as the wind",
    ),
)
