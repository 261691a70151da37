"""The trade's words for what a column holds: spellings, and rules from sets of words to quantities.

All of it is common practice, no source: words and abbreviations as they are used for these quantities.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Rule:
    """All of ``needs`` must be there, any of ``may`` can, nothing else but filler words."""

    quantity: str
    needs: frozenset[str]
    may: frozenset[str] = frozenset()
    unit_family: str = ""


def _rule(quantity: str, needs: str, may: str = "", unit_family: str = "") -> Rule:
    return Rule(quantity, frozenset(needs.split()), frozenset(may.split()), unit_family)


_SAME: Final = {
    "altitude": "alt altitude ele elev elevation height hgt",
    "latitude": "lat latitude",
    "longitude": "lon long lng longitude",
    "speed": "speed spd velocity vel",
    "ground": "ground gnd",
    "vertical": "vertical vert",
    "rate": "rate",
    "climb": "climb vario variometer",
    "air": "air",
    "true": "true geographic",
    "indicated": "indicated ind",
    "magnetic": "magnetic mag",
    "track": "track trk course crs cog bearing",
    "heading": "heading hdg yaw psi",
    "bank": "bank roll phi",
    "pitch": "pitch theta",
    "acceleration": "acceleration accel acc ac",
    "lateral": "lateral sideways",
    "normal": "normal norm",
    "temperature": "temperature temp tmp",
    "outside": "outside ambient outer static",
    "pressure": "pressure press baro barometric baroalt std isa 1013 qne",
    "ellipsoid": "ellipsoid ellipsoidal wgs84 hae geo geometric",
    "gps": "gps gnss",
    "msl": "msl amsl orthometric geoid",
    "time": "time tm t",
    "date": "date day",
    "offset": "offset ofs ofst offs",
    "zone": "zone timezone tz",
    "utc": "utc gmt zulu z",
    "epoch": "epoch unix posix unixtime epochtime",
    "stamp": "stamp",
    "elapsed": "elapsed relative since",
    "hemisphere": "hemisphere hemi",
}
# German, French, Spanish: what no recording can do without, and little more.
_ABROAD: Final = {
    "altitude": "höhe hoehe flughöhe flughoehe hauteur altitud altura",
    "latitude": "breite breitengrad latitud",
    "longitude": "länge laenge längengrad laengengrad longitud",
    "speed": "geschwindigkeit vitesse velocidad",
    "ground": "grund sol suelo",
    "track": "kurs rumbo",
    "heading": "steuerkurs cap",
    "bank": "querneigung schräglage schraeglage inclinaison alabeo",
    "pitch": "längsneigung laengsneigung assiette cabeceo",
    "time": "zeit uhrzeit heure hora tiempo",
    "date": "datum fecha",
    "zone": "zeitzone fuseau huso",
}
_COMPOUND: Final = {
    "groundspeed": "ground speed",
    "gs": "ground speed",
    "sog": "ground speed",
    "gndspd": "ground speed",
    "airspeed": "air speed",
    "tas": "true air speed",
    "ias": "indicated air speed",
    "trueairspeed": "true air speed",
    "indicatedairspeed": "indicated air speed",
    "verticalspeed": "vertical speed",
    "vspeed": "vertical speed",
    "vspd": "vertical speed",
    "vertspeed": "vertical speed",
    "verticalrate": "vertical speed",
    "vertrate": "vertical speed",
    "vs": "vertical speed",
    "vsi": "vertical speed",
    "roc": "vertical speed",
    "baroaltitude": "altitude pressure",
    "baroalt": "altitude pressure",
    "pressurealtitude": "altitude pressure",
    "geoaltitude": "altitude ellipsoid",
    "gpsaltitude": "altitude gps",
    "gpsalt": "altitude gps",
    "altmsl": "altitude msl",
    "altgps": "altitude gps",
    "altb": "altitude pressure",
    "oat": "outside air temperature",
    "datetime": "date time",
    "timestamp": "time stamp",
    "ts": "time stamp",
    "utctime": "utc time",
    "utcdate": "utc date",
    "gpstime": "gps time",
    "utcoffset": "utc offset",
    "rollangle": "bank",
    "bankangle": "bank",
    "pitchangle": "pitch",
    "ny": "lateral acceleration",
    "nz": "normal acceleration",
    "onground": "on ground",
    "icao": "icao24",
    "lastposupdate": "position time",
    "truetrack": "true track",
    "ortszeit": "local time",
    "druckhöhe": "altitude pressure",
    "druckhoehe": "altitude pressure",
    "grundgeschwindigkeit": "ground speed",
    "eigengeschwindigkeit": "true air speed",
    "außentemperatur": "outside air temperature",
    "aussentemperatur": "outside air temperature",
    "trueheading": "true heading",
}

SPELLING: Final[dict[str, str]] = {
    word: name for same in (_SAME, _ABROAD) for name, words in same.items() for word in words.split()
} | _COMPOUND

FILLER: Final = frozenset(
    {"position", "pos", "aircraft", "airplane", "sensor", "value", "angle", "over", "of", "the"}
    | {"über", "ueber"}
)

# The order matters: an explicit datum before a receiver's name, the particular before the plain.
RULES: Final = (
    _rule("position_time", "position time", "last update"),
    _rule("position_time", "last position", "update"),
    _rule("lateral_acceleration", "latitude acceleration"),
    _rule("lateral_acceleration", "lateral acceleration", "load factor g"),
    _rule("lateral_acceleration", "lateral", "", "acceleration"),
    _rule("normal_acceleration", "normal acceleration", "load factor g vertical"),
    _rule("normal_acceleration", "vertical acceleration", "g"),
    _rule("normal_acceleration", "load factor", "normal"),
    _rule("normal_acceleration", "normal", "", "acceleration"),
    _rule("normal_acceleration", "vertical", "", "acceleration"),
    _rule("altitude_msl", "altitude msl", "gps"),
    _rule("altitude_msl", "altitude sea level", "mean above gps"),
    _rule("altitude_pressure", "altitude pressure", "25 hpa"),
    _rule("altitude_ellipsoid", "altitude ellipsoid", "gps above"),
    _rule("altitude_gps", "altitude gps"),
    _rule("altitude_indicated", "altitude indicated"),
    _rule("altitude_plain", "altitude"),
    _rule("latitude_side", "latitude hemisphere"),
    _rule("longitude_side", "longitude hemisphere"),
    _rule("latitude", "latitude", "gps ellipsoid true"),
    _rule("longitude", "longitude", "gps ellipsoid true"),
    _rule("vertical_speed", "vertical speed", "rate climb gps"),
    _rule("vertical_speed", "vertical rate", "climb"),
    _rule("vertical_speed", "climb", "rate speed"),
    _rule("true_airspeed", "true air speed"),
    _rule("indicated_airspeed", "indicated air speed"),
    _rule("airspeed_plain", "air speed"),
    _rule("ground_speed", "ground speed", "gps"),
    _rule("speed_plain", "speed", "gps"),
    _rule("track_magnetic", "track magnetic", "gps ground"),
    _rule("track", "track", "true gps ground"),
    _rule("heading_magnetic", "heading magnetic", "compass"),
    _rule("heading", "heading true"),
    _rule("heading_plain", "heading"),
    _rule("bank", "bank", "attitude"),
    _rule("pitch", "pitch", "attitude"),
    _rule("temperature", "outside temperature", "air"),
    _rule("temperature", "air temperature"),
    _rule("on_ground", "on ground"),
    _rule("icao24", "icao24", "address"),
    _rule("callsign", "callsign"),
    _rule("callsign", "call sign"),
    _rule("utc_offset", "utc offset", "time zone"),
    _rule("utc_offset", "offset", "time zone"),
    _rule("utc_offset", "zone", "time"),
    _rule("elapsed", "time elapsed", "start"),
    _rule("elapsed", "elapsed"),
    _rule("elapsed", "seconds"),
    _rule("date_utc", "utc date"),
    _rule("time_utc", "utc date time", "stamp gps"),
    _rule("time_utc", "utc", "time stamp gps"),
    _rule("time_utc", "epoch", "time stamp utc gps"),
    _rule("time", "time date", "stamp gps local"),
    _rule("time", "time", "stamp gps local"),
    _rule("date", "date", "local gps"),
)

FAMILY: Final[dict[str, str]] = {
    "latitude": "angle",
    "longitude": "angle",
    "altitude_msl": "length",
    "altitude_ellipsoid": "length",
    "altitude_pressure": "length",
    "altitude_gps": "length",
    "altitude_indicated": "length",
    "altitude_plain": "length",
    "ground_speed": "speed",
    "speed_plain": "speed",
    "vertical_speed": "speed",
    "true_airspeed": "speed",
    "indicated_airspeed": "speed",
    "airspeed_plain": "speed",
    "track": "angle",
    "heading": "angle",
    "heading_magnetic": "angle",
    "heading_plain": "angle",
    "bank": "angle",
    "pitch": "angle",
    "lateral_acceleration": "acceleration",
    "normal_acceleration": "acceleration",
    "temperature": "temperature",
    "time": "time",
    "time_utc": "time",
    "elapsed": "time",
}
