"""How the figures of single samples are known: in tables by place, in the replay and in the series."""

from __future__ import annotations

from typing import Final

from groundref.reports.known.entry import DERIVED, MEASURED, Known

_COORDINATED: Final = "the turn was not coordinated, climbed or sank steeply"
_WIND: Final = "the wind was another"

SERIES: Final = (
    Known(
        ("series.bank_deg",),
        DERIVED,
        "how sharply the path bends at this wind and ground speed",
        _COORDINATED,
        when="bank=derived",
        sure="Single moments are less sure than the largest bank, whose own line says how much",
    ),
    Known(
        ("series.bank_deg",),
        MEASURED,
        "bank as recorded, smoothed",
        "the sensor was not level with the airplane",
        when="bank=measured",
        sd=("bank.sd_deg",),
    ),
    Known(
        ("series.bank_required_deg",),
        DERIVED,
        "tan(bank) = ground speed² ÷ (g × radius × cos crab), at the ground speed and crab really flown",
        "another radius was meant",
        sure="As sure as radius, ground speed and wind; the band in the picture shows it",
    ),
    Known(
        ("series.radial_ft",),
        DERIVED,
        "distance from the place turned about, less the radius",
        "the place was not where it is taken to have been",
        sure="As sure as positions are between themselves, some meters",
    ),
    Known(
        ("series.ground_speed_kt", "series.track_deg"),
        DERIVED,
        "the motion of the smoothed path over the ground",
        "the receiver was in the shade",
        sure="No uncertainty of its own is worked out",
    ),
    Known(
        ("series.crab_deg", "series.heading_deg"),
        DERIVED,
        "heading less track: the heading recorded, else the one that wind and ground velocity give",
        _WIND,
        sure="As sure as the wind",
    ),
    Known(
        ("series.altitude_ft",),
        MEASURED,
        "altitude as recorded, smoothed",
        "its datum or setting was another",
        sd=("altitude.sd_ft",),
    ),
    Known(
        ("series.height_agl_ft",),
        DERIVED,
        "altitude less the elevation of the ground",
        "the ground lies higher or lower there",
        sd=("altitude.height_agl_sd_ft",),
    ),
    Known(
        ("series.tas_kt",),
        DERIVED,
        "as recorded, else ground velocity less the wind",
        _WIND,
        sd=("wind.tas_sd_kt",),
    ),
    Known(
        ("series.wind_from_deg", "series.wind_kt"),
        DERIVED,
        "the wind along the flight, as it changes slowly",
        "the airspeed rises and falls once a lap, which looks like a wind",
        sure="As sure as the wind along the flight",
    ),
    Known(
        ("series.bank_sd_deg",),
        DERIVED,
        "the standard deviation that the smoothing works out for bank, with a common error of 0.5°"
        " (derived) or 1° (recorded)",
    ),
    Known(
        ("series.lat", "series.lon"),
        MEASURED,
        "positions as recorded, smoothed",
        "the receiver was in the shade",
        sure="Some meters",
    ),
    Known(("series.maneuver", "series.lap"), DERIVED, "which maneuver and lap a sample belongs to, from 1"),
)
