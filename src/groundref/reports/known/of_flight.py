"""How the figures of a flight and of every maneuver are known."""

from __future__ import annotations

from typing import Final

from groundref.reports.known.entry import CHOSEN, COUNTED, DERIVED, GIVEN, MEASURED, Known

_NOT_WORKED_OUT: Final = "No uncertainty of its own is worked out"
_IN_STEP: Final = "the airspeed rises and falls once a lap, which looks like a wind"
_NO_WIND: Final = "the direction of flight changed too little for the wind to be told"
_WIND_SD: Final = ("wind.from_sd_deg", "wind.north_sd_kt", "wind.east_sd_kt")
_COORDINATED: Final = "the turn was not coordinated, climbed or sank steeply"
_AS_POSITIONS: Final = "As sure as positions are between themselves, some meters"
_DATUM: Final = "the datum of the altitude is not the one that it is taken for, or its setting was wrong"

FLIGHT: Final = (
    Known(
        ("flight.samples", "flight.samples_used"),
        COUNTED,
        "the samples in the recording, and those that were used",
    ),
    Known(
        ("flight.interval_s",),
        MEASURED,
        "by the recorder's clock, the usual time from one sample to the next",
    ),
    Known(
        ("flight.altimeter_setting_hpa",),
        GIVEN,
        "the altimeter setting that pressure altitude is read with",
        cannot="it was not given",
    ),
    Known(
        (
            "start",
            "end",
            "laps.start",
            "laps.end",
            "flight.start",
            "entry.time",
            "elements.at",
            "findings.from",
        ),
        MEASURED,
        "by the recorder's clock; when a turn begins and ends is derived from the path",
        "the recorder's clock was wrong",
        sure="Told to about the time between two samples",
    ),
)

WIND: Final = (
    Known(
        ("wind.speed_kt", "wind.from_deg"),
        GIVEN,
        "the wind, which the recording is taken to have been flown in",
        "another wind blew at that height",
        when="wind=given",
    ),
    Known(
        ("wind.speed_kt", "wind.from_deg"),
        DERIVED,
        "one wind and one airspeed that explain the ground velocity on all headings flown, heights and banks"
        " counted in (the wind circle)",
        _IN_STEP,
        when="tas=derived",
        sd=_WIND_SD,
        cannot=_NO_WIND,
    ),
    Known(
        ("wind.speed_kt", "wind.from_deg"),
        DERIVED,
        "ground velocity less the airspeed recorded, on all headings flown (the wind triangle)",
        "the airspeed recorded was wrong",
        when="tas=measured",
        sd=_WIND_SD,
        cannot=_NO_WIND,
    ),
    Known(
        ("wind.tas_kt",),
        DERIVED,
        "the radius of the wind circle: how fast the air was flown through for the ground velocities to fit",
        _IN_STEP,
        when="tas=derived",
        cannot=_NO_WIND,
    ),
    Known(
        ("wind.tas_kt",),
        MEASURED,
        "airspeed as recorded, averaged, together with ground velocity and wind",
        "the airspeed recorded was indicated and not true, or out of adjustment",
        when="tas=measured",
        cannot=_NO_WIND,
    ),
)

_OFF_WIND: Final = ", how far it lies off the direction that the wind blows to"

WHOLE: Final = (
    Known(
        ("confidence", "alternatives.confidence"),
        DERIVED,
        "the probability that it is this kind, against every other kind and ordinary flying, by what"
        " each does"
        " to a track in wind",
        "something else was flown",
    ),
    Known(
        ("radius_ft",),
        DERIVED,
        "the mean distance from the place turned about, whole laps, rolling in and out left out (circle fit)",
        "the place was not where it is taken to have been",
        cannot="no distance is held in this maneuver",
    ),
    Known(
        ("radius_right_ft", "radius_left_ft"),
        DERIVED,
        "the mean of the circles fitted to the laps, half circles or loops of each side",
        "the laps of a side were far from round",
        cannot="it turns one way only, or no distance is held in this maneuver",
    ),
    Known(
        ("reference.sd_m", "reference.lat", "reference.lon"),
        GIVEN,
        "where it is",
        "another place was flown about",
        when="place=given",
        sure="Taken as exact",
    ),
    Known(
        ("reference.sd_m", "reference.lat", "reference.lon"),
        DERIVED,
        "the place that explains the path best; the path does not tell where the pilot meant to be",
        "all of it was flown to one side, which shows nowhere in a path",
        when="place=fitted",
        sd=("reference.sd_m",),
        cannot="nothing on the ground is flown about",
    ),
    Known(
        ("reference.bearing_deg",),
        DERIVED,
        "the direction that the crossings, loops or legs have between them",
        "they were all flown askew alike",
        when="place=fitted",
    ),
    Known(("reference.bearing_deg",), GIVEN, "by its two ends", when="place=given"),
    Known(
        ("reference.corners", "reference.ends", "reference.points"), GIVEN, "the places", when="place=given"
    ),
    Known(
        ("reference.corners", "reference.ends", "reference.points"),
        DERIVED,
        "the places that explain the path best, of a rectangle the middle of the legs that were flown"
        " and not the"
        " field",
        "all of it was flown to one side, which shows nowhere in a path",
        when="place=fitted",
        sd=("reference.sd_m",),
    ),
    Known(
        ("reference.elevations_ft",),
        GIVEN,
        "the elevation of the ground at each pylon",
        cannot="no elevation was given",
    ),
    *(
        Known(
            ("entry.track_deg", "entry.off_downwind_deg", "entry.distance_ft", "entry.abeam_time"),
            DERIVED,
            f"the track just before the turn{what}",
            "the turn began earlier than it seems",
            when=f"entry={against}",
            cannot="the straight flight before the turn is not in the recording, or the wind could not be"
            " told",
        )
        for against, what in (
            ("wind and place", f"{_OFF_WIND}, and the distance from the place"),
            ("wind", _OFF_WIND),
            ("leg", " and its angle to the first leg"),
            ("first turn", ", how far the first turn lay off the wind, and the distance from the place"),
            ("nothing", ""),
        )
    ),
    Known(
        ("altitude.height_agl_ft", "entry.height_agl_ft"),
        DERIVED,
        "altitude less the elevation of the ground ({altitude.height_source})",
        "the ground lies higher or lower there",
        cannot="no elevation of the ground is known",
    ),
    Known(
        ("altitude.max_ft", "altitude.min_ft", "altitude.reference_ft"),
        MEASURED,
        "altitude as recorded, smoothed; how far it is from the start is surer than the altitude,"
        " as a common offset drops out",
        _DATUM,
        sd=("altitude.sd_ft",),
        cannot="no altitude was recorded",
    ),
    Known(
        ("bank.max_deg", "bank.min_deg", "bank.mean_deg"),
        DERIVED,
        "how sharply the path bends at this wind and ground speed, the turn taken as coordinated and level"
        " (tan bank = ground speed × airspeed turn rate ÷ g)",
        _COORDINATED,
        when="bank=derived",
        sd=("bank.sd_deg",),
    ),
    Known(
        ("bank.max_deg", "bank.min_deg", "bank.mean_deg"),
        MEASURED,
        "bank as recorded, smoothed",
        "the sensor was not level with the airplane",
        when="bank=measured",
        sd=("bank.sd_deg",),
    ),
    Known(
        ("bank.limit_deg",),
        CHOSEN,
        "the limit of the standard, else the handbook's ceiling of 45°",
        cannot="no limit of bank is set",
    ),
    Known(
        ("airspeed.max_kt", "airspeed.min_kt", "airspeed.reference_kt"),
        DERIVED,
        "ground velocity less the wind, moment by moment",
        _IN_STEP,
        when="airspeed=derived",
        sd=("airspeed.sd_kt",),
    ),
    Known(
        ("airspeed.max_kt", "airspeed.min_kt", "airspeed.reference_kt"),
        MEASURED,
        "airspeed as recorded, smoothed",
        "the airspeed recorded was out of adjustment",
        when="airspeed=measured",
        sd=("airspeed.sd_kt",),
    ),
)

LAPS: Final = (
    Known(
        ("laps.radius_ft",),
        DERIVED,
        "a circle fitted to this lap alone",
        "the lap was far from round",
        cannot="no distance is held in this maneuver",
    ),
    Known(
        ("laps.radial_rms_ft", "laps.radial_max_ft", "laps.radial_min_ft"),
        DERIVED,
        "distance from the place turned about, less the radius; outside is positive",
        "the place was not where it is taken to have been",
        sure=_AS_POSITIONS,
        cannot="no distance is held in this maneuver",
    ),
    Known(
        ("laps.lat", "laps.lon"),
        DERIVED,
        "the middle of the circle fitted to this lap alone, as seen from the place turned about",
        "the lap was far from round",
        sd=("laps.center_sd_ft",),
        cannot="no distance is held in this maneuver",
    ),
    Known(
        ("laps.turn_deg",),
        DERIVED,
        "the change of track from beginning to end",
        sure=_NOT_WORKED_OUT,
    ),
    Known(
        ("laps.altitude_max_ft", "laps.altitude_min_ft"),
        MEASURED,
        "altitude as recorded, smoothed",
        _DATUM,
        sd=("altitude.sd_ft",),
        cannot="no altitude was recorded",
    ),
    Known(
        ("laps.bank_max_deg", "laps.bank_min_deg"),
        DERIVED,
        "how sharply the path bends at this wind and ground speed, between rolling in and rolling out",
        _COORDINATED,
        when="bank=derived",
        sd=("bank.sd_deg",),
        cannot="bank is too poorly known here",
    ),
    Known(
        ("laps.bank_max_deg", "laps.bank_min_deg"),
        MEASURED,
        "bank as recorded, between rolling in and rolling out",
        "the sensor was not level with the airplane",
        when="bank=measured",
        sd=("bank.sd_deg",),
        cannot="bank is too poorly known here",
    ),
    Known(
        ("drift.east_ft_per_lap", "drift.north_ft_per_lap"),
        DERIVED,
        "how far the middles of the laps lie apart, and which way",
        sd=("drift.sd_ft_per_lap",),
        cannot="there are too few laps",
    ),
)
