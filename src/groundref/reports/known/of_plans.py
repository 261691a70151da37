"""How the figures of a plan are known: given, chosen where nothing was said, or worked out from those."""

from __future__ import annotations

from typing import Final

from groundref.reports.known.entry import DERIVED, GIVEN, Known

_EXACT: Final = "No uncertainty of its own: it is as sure as wind and airspeed as given"
_WIND: Final = "the wind at that height is another, gusts, or changes over the maneuver"
_FILE: Final = "the airplane's file, which holds the handbook's numbers, is not this airplane's"
_PRACTICE: Final = "these are common practice, no source"

INPUTS: Final = (
    Known(
        (
            "inputs.wind_from_deg",
            "inputs.wind_from_magnetic_deg",
            "inputs.wind_kt",
            "inputs.gust_kt",
            "inputs.wind_sd_kt",
        ),
        GIVEN,
        "{inputs.wind_how}",
        "another wind blows at that height",
        sd=("inputs.wind_sd_kt",),
        sure="How surely was not said",
        cannot="it was not given",
    ),
    Known(
        ("inputs.ias_kt", "inputs.tas_kt", "tas_kt"),
        DERIVED,
        "the airspeed given, or the airplane's usual one; true airspeed from it by pressure altitude and"
        " temperature (the standard atmosphere), indicated taken as calibrated",
        "the airspeed indicator has an error",
        sure="About 1% for an error of 5 °C or 500 ft",
    ),
    Known(
        ("inputs.height_ft", "inputs.elevation_ft", "height_max_ft", "height_min_ft"),
        GIVEN,
        "height and elevation, or what the standard's band and sea level make of nothing said; of"
        " eights on pylons"
        " true airspeed × ground speed × cos(crab) ÷ g",
        "the ground lies higher there",
        sure="Taken as exact",
    ),
    Known(
        ("inputs.oat_c", "inputs.altimeter_inhg"),
        GIVEN,
        "by you or the METAR, else the standard atmosphere",
        "the air is another",
        sure="Taken as exact",
    ),
    Known(
        ("inputs.mass_kg",),
        GIVEN,
        "the mass, else that of the airplane's file",
        "the airplane is loaded otherwise",
        sure="Taken as exact",
    ),
    Known(
        ("inputs.variation_deg",),
        DERIVED,
        "the World Magnetic Model at the point and day",
        sure="The model is good to about half a degree",
        cannot="without a point the variation is not known",
    ),
    Known(
        (
            "inputs.radius_ft",
            "radius_ft",
            "inputs.spacing_ft",
            "inputs.course_deg",
            "inputs.laps",
            "inputs.max_bank_deg",
        ),
        GIVEN,
        "by you, else the usual one for this maneuver, which the assumptions name",
        sure="Taken as exact",
        cannot="it is not held in this maneuver",
    ),
    Known(("inputs.lat", "inputs.lon", "reference.places"), GIVEN, "the point", cannot="no point was given"),
    Known(
        ("reference.east_ft", "reference.north_ft"),
        DERIVED,
        "from radius or spacing and the course",
        sure="Taken as exact",
    ),
)

FLOWN: Final = (
    Known(
        ("bank_max_deg", "bank_min_deg", "positions.bank_deg", "entry.bank_deg"),
        DERIVED,
        "tan(bank) = ground speed² ÷ (g × radius × cos crab), level and coordinated",
        _WIND,
        sure=_EXACT,
    ),
    Known(
        ("load_factor_max", "positions.load_factor"),
        DERIVED,
        "1 ÷ cos(bank)",
        "the turn is not level",
        sure=_EXACT,
    ),
    Known(
        (
            "ground_speed_max_kt",
            "ground_speed_min_kt",
            "positions.ground_speed_kt",
            "positions.tas_kt",
            "entry.ground_speed_kt",
        ),
        DERIVED,
        "true airspeed and wind along the track (the wind triangle)",
        _WIND,
        sure=_EXACT,
    ),
    Known(
        (
            "crab_max_deg",
            "positions.crab_deg",
            "entry.crab_deg",
            "positions.heading_deg",
            "positions.heading_magnetic_deg",
            "entry.heading_deg",
            "entry.heading_magnetic_deg",
        ),
        DERIVED,
        "sin(crab) = wind across the track ÷ true airspeed; heading is track and crab (the wind triangle)",
        _WIND,
        sure=_EXACT,
        cannot="without a point the variation is not known",
    ),
    Known(
        (
            "positions.track_deg",
            "positions.track_magnetic_deg",
            "entry.track_deg",
            "entry.track_magnetic_deg",
            "positions.bearing_from_point_deg",
            "positions.bearing_from_origin_deg",
            "positions.distance_ft",
            "positions.distance_from_origin_ft",
            "positions.east_ft",
            "positions.north_ft",
            "positions.lat",
            "positions.lon",
            "entry.lat",
            "entry.lon",
        ),
        DERIVED,
        "by the geometry of the maneuver, at the radius and about the place that are planned",
        "the place on the ground is another",
        sure="As exact as the place",
        cannot="nothing on the ground is flown about, or no point was given",
    ),
    Known(
        ("positions.height_agl_ft",),
        GIVEN,
        "the height, the same all the way; of eights on pylons true airspeed × ground speed × cos(crab) ÷ g",
        "the ground lies higher there",
        sure=_EXACT,
    ),
    Known(
        ("positions.handbook_height_ft",),
        DERIVED,
        "ground speed² ÷ 11.3, in knots and feet: the handbook's rule, exact in still air only",
        "there is wind",
        sure=_EXACT,
        cannot="it belongs to eights on pylons",
    ),
    Known(
        ("lap_time_s", "positions.seconds_from_entry", "positions.piece"),
        DERIVED,
        "the way over the ground summed up at the ground speed of each place",
        _WIND,
        sure=_EXACT,
    ),
    Known(
        (
            "positions.sight_depression_deg",
            "positions.point_ahead_of_abeam_deg",
            "positions.point_above_wing_deg",
            "positions.point_ahead_of_wing_deg",
            "entry.sight_depression_deg",
        ),
        DERIVED,
        "direction to the place from height, distance, heading and bank, the nose level, seen from the"
        " left seat",
        "you sit otherwise, or the nose is not level",
        sure="Some degrees from one pilot to another",
        cannot="nothing on the ground is flown about here",
    ),
    Known(
        ("entry.distance_ft", "entry.distance_wing_spans"),
        DERIVED,
        "the radius, at which the circle touches the way in; in wing spans of the airplane's file",
        sure=_EXACT,
        cannot="nothing on the ground is flown about here",
    ),
    Known(
        ("entry.roll_time_s", "entry.lead_time_s", "entry.lead_distance_ft"),
        DERIVED,
        "bank ÷ the airplane's ordinary roll rate; half of the roll is done abeam",
        "you roll faster or slower",
        sure="As sure as the roll rate, which is an assumption",
        cannot="nothing on the ground is flown about here",
    ),
)

FIT: Final = (
    Known(
        (
            "fit.bank_needed_deg",
            "fit.bank_needed_still_air_deg",
            "fit.bank_needed_gust_deg",
            "fit.bank_limit_deg",
        ),
        DERIVED,
        "the steepest bank of the circle: tan(bank) = (airspeed + wind)² ÷ (g × radius)",
        _WIND,
        sure=_EXACT,
        cannot="no gust was given",
    ),
    Known(
        (
            "fit.radius_needed_ft",
            "fit.radius_needed_still_air_ft",
            "fit.wider_ft",
            "fit.radius_at_30_deg_ft",
            "fit.radius_at_45_deg_ft",
        ),
        DERIVED,
        "radius = (airspeed + wind)² ÷ (g × tan bank), the bank being the limit",
        _WIND,
        sure=_EXACT,
    ),
    Known(
        ("fit.tas_needed_kt", "fit.tas_needed_still_air_kt", "fit.wind_limit_kt"),
        DERIVED,
        "the same turned about: ground speed² = g × radius × tan(bank), the bank being the limit",
        _WIND,
        sure=_EXACT,
        cannot="there is no such airspeed or wind",
    ),
)

SAFETY: Final = (
    Known(
        (
            "stall_speed_at_bank_max_kt",
            "stall_margin_kt",
            "safety.margins.stall_speed_kt",
            "safety.margins.stall_speed_flaps_kt",
            "safety.margins.above_stall_kt",
            "safety.margins.above_stall_in_gust_kt",
            "safety.margins.airspeed_kt",
        ),
        DERIVED,
        "stall speed of the airplane's file × √(load factor × mass ÷ largest mass)",
        _FILE,
        sure="As sure as the handbook's stall speed",
    ),
    Known(
        (
            "safety.margins.maneuvering_speed_kt",
            "safety.margins.below_maneuvering_speed_kt",
            "safety.margins.load_factor_limit",
            "safety.margins.bank_limit_of_airplane_deg",
            "safety.margins.mass_kg",
        ),
        GIVEN,
        "the airplane's file; the maneuvering speed shrinks with √mass",
        _FILE,
        sure="Taken as exact",
        cannot="the airplane's file does not say it",
    ),
    Known(
        (
            "safety.margins.bank_max_deg",
            "safety.margins.bank_max_in_gust_deg",
            "safety.margins.bank_not_possible_deg",
            "safety.margins.load_factor_max",
        ),
        DERIVED,
        "the steepest bank of the plan, and the bank from which stall or limit load stand in the way",
        _WIND,
        sure=_EXACT,
    ),
    Known(
        (
            "safety.heights.lowest_ft",
            "safety.heights.highest_ft",
            "safety.heights.obstacle_ft",
            "safety.heights.least_ft",
            "safety.heights.band_low_ft",
            "safety.heights.band_high_ft",
        ),
        DERIVED,
        "the heights of the plan beside the least ones of rule and standard",
        "the rule was misread or does not apply here: local rules decide",
        sure="Taken as exact",
        cannot="no surroundings were stated, or the standard prints no band",
    ),
    Known(
        (
            "safety.engine_out.reaction_s",
            "safety.engine_out.bank_deg",
            "safety.engine_out.glide_tas_kt",
            "safety.engine_out.glide_ratio",
            "safety.engine_out.half_turn_loss_ft",
            "safety.engine_out.common_nearest_ft",
            "safety.engine_out.common_nearest_toward_deg",
            "safety.engine_out.common_outline.east_ft",
            "safety.engine_out.common_outline.north_ft",
            "safety.engine_out.common_outline.lat",
            "safety.engine_out.common_outline.lon",
            "safety.engine_out.outlines.east_ft",
            "safety.engine_out.outlines.north_ft",
            "safety.engine_out.outlines.lat",
            "safety.engine_out.outlines.lon",
            "safety.engine_out.outlines.position",
            "safety.engine_out.landing.east_ft",
            "safety.engine_out.landing.north_ft",
            "safety.engine_out.landing.worst_position",
            "safety.engine_out.landing.height_left_ft",
            "safety.engine_out.landing.height_left_by_position_ft",
        ),
        DERIVED,
        "4 s to react, a turn at 30° of bank at best glide, then straight at the glide ratio of the"
        " airplane's"
        f" file, moved by the wind; {_PRACTICE}",
        "the glide is worse, the wind changes lower down, or there is no field",
        sure="No reserve is in it",
        cannot="no landing place was said",
    ),
    Known(
        (
            "safety.quiet.distance_ft",
            "safety.quiet.height_ft",
            "safety.quiet.slant_ft",
            "safety.quiet.position",
        ),
        DERIVED,
        "how near the path comes to the quiet place",
        sure="As exact as the place",
        cannot="no quiet place was said",
    ),
    Known(
        ("safety.daylight.sun_elevation_deg", "safety.daylight.sun_azimuth_deg"),
        DERIVED,
        "where the sun stands at the point and moment",
        sure="To a minute of time; hills and haze are not in it",
        cannot="no place and moment were given",
    ),
    Known(
        (
            "safety.thin_air.altitude_ft",
            "safety.thin_air.density_altitude_ft",
            "safety.thin_air.tas_over_cas",
            "safety.thin_air.radius_over_sea_level",
        ),
        DERIVED,
        "density altitude from pressure and temperature (the standard atmosphere), dry air",
        "the air is another; moist air is thinner still",
        sure="As sure as temperature and pressure as given",
    ),
)
