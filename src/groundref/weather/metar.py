"""A METAR or SPECI, pasted as it is, in SI.

The `metar` library decodes the groups. What it would guess is settled here first, since a guess about the
wind is worse than a question: a wind without its unit is refused (the library takes meters a second outside
the United States), groups of slashes are nothing (it takes a missing visibility for 10 km), and a group that
it does not know is set aside and said. Remarks and trends are left out. Values are taken in the unit of the
report and converted with this project's exact constants.

Source of the code form: WMO-No. 306, Manual on Codes, FM 15 METAR; Federal Meteorological Handbook No. 1.
"""

from __future__ import annotations

import re
import warnings
from dataclasses import dataclass
from math import radians
from typing import TYPE_CHECKING, Final

from groundref.angles import wrap
from groundref.errors import InputError
from groundref.units import (
    celsius_zero,
    foot,
    hectopascal,
    hour,
    inch_hg,
    kilometre,
    kilometre_per_hour,
    knot,
    minute,
    statute_mile,
)

if TYPE_CHECKING:
    from metar.Datatypes import direction, distance, pressure, speed, temperature
    from metar.Metar import Metar

WHERE: Final = "METAR"
EXAMPLE: Final = "METAR KXYZ 121753Z 24014G22KT 10SM SCT045 22/12 A2992"

_LONGEST: Final = 1000  # characters; the longest reports with remarks have about half of it
_STATION: Final = re.compile(r"[A-Z][A-Z0-9]{3}")
_GROUP: Final = re.compile(r"[A-Z0-9/+.-]+")
_LETTER: Final = "O"  # typed for a nought
_REPORTS: Final = re.compile(r"(?<!\S)(?!NEXT |LAST )[A-Z][A-Z0-9]{3} \d{6}Z(?!\S)")
_NUMBER: Final = r"P?[\dO]{2,3}|//|///|MM"
_WIND: Final = re.compile(rf"(?:[\dO]{{3}}|VRB|///|MMM)(?:{_NUMBER})(?:G(?:{_NUMBER}))?(KTS?|MPS|KMH)")
_WIND_WITHOUT_UNIT: Final = re.compile(r"(?:\d{3}|VRB)\d{2,3}(?:G\d{2,3})?")
_NOTHING: Final = re.compile(r"/{2,}[A-Z]*")
_SPEEDS: Final = {"KT": knot, "KTS": knot, "MPS": 1.0, "KMH": kilometre_per_hour}
_HEADS: Final = {"METAR", "SPECI", "COR", "AUTO"}
_ENDS: Final = {"RMK", "RMKS", "TEMPO", "BECMG", "NOSIG", "INTER", "PROB30", "PROB40", "FCST"}
_CLOUDED: Final = {"BKN", "OVC", "VV"}
_SETTINGS: Final = (850 * hectopascal, 1090 * hectopascal)  # beyond all ever observed near sea level [Pa]


@dataclass(frozen=True, slots=True)
class SurfaceReport:
    """What a METAR or SPECI says. None is what it does not say.

    Attributes
    ----------
    station
        Its four letters.
    day
        Of the month, UTC.
    time_of_day
        Since midnight UTC [s]
    wind_speed
        Mean over the minutes before the report (2 or 10 of them), at 10 m; 0 is calm [m s⁻¹]
    wind_from
        True; None also in a calm and in a variable wind [rad]
    gust
        [m s⁻¹]
    wind_between
        The directions that a wind varied between, true, clockwise from the first [rad]
    temperature, dew_point
        [K]
    altimeter_setting
        QNH [Pa]
    visibility
        The least; 10 km stands for 10 km or more [m]
    ceiling
        Height of the lowest broken or overcast layer, or vertical visibility, above the ground [m]
    notes
        What of the report was not understood, a sentence each.
    raw
        As pasted, in one line.
    """

    station: str
    day: int | None
    time_of_day: float | None
    wind_speed: float | None
    wind_from: float | None
    gust: float | None
    wind_between: tuple[float, float] | None
    temperature: float | None
    dew_point: float | None
    altimeter_setting: float | None
    visibility: float | None
    ceiling: float | None
    notes: tuple[str, ...]
    raw: str


def read_metar(text: str) -> SurfaceReport:
    """Read a METAR or SPECI.

    Parameters
    ----------
    text
        As pasted: in any case, over several lines, with or without `METAR`, `=` and remarks.

    Raises
    ------
    InputError
        When it is something else, more than one, empty, or its wind cannot be read. A wind that the report
        says is missing is no error.
    """
    raw = " ".join(text.split())
    words = _words(raw)
    wind, scale = _wind_group(words)
    report, unread = _decoded([word for word in words if word == wind or not _NOTHING.fullmatch(word)])
    if wind and report.wind_speed is None and "//" not in wind and "MM" not in wind:
        raise InputError(f"the wind group {wind} stands in the wrong place", WHERE, f"compare with {EXAMPLE}")
    notes = [f"The group {group} of the METAR was not understood." for group in dict.fromkeys(unread)]
    if any(cover in _CLOUDED and height is None for cover, height, _ in report.sky):
        notes.append("The METAR tells of a ceiling without its height.")
    mean, gust = _speed(report.wind_speed, scale), _speed(report.wind_gust, scale)
    if gust is not None and (mean is None or gust < mean):
        raise InputError(f"the gust in {wind} is less than the wind", WHERE, "check that group")
    if mean and wind.startswith("000"):
        raise InputError(f"000 in {wind} is the direction of a calm", WHERE, "north is 360: check that group")
    temperature, dew_point = _kelvin(report.temp), _kelvin(report.dewpt)
    if temperature is not None and dew_point is not None and dew_point > temperature:
        raise InputError(
            f"the dew point of {_celsius(dew_point)} is above the temperature of {_celsius(temperature)}",
            WHERE,
            "check that group: the temperature stands first, as in 22/12",
        )
    return SurfaceReport(
        station=report.station_id or "",
        day=report.time.day if report.time else None,
        time_of_day=report.time.hour * hour + report.time.minute * minute if report.time else None,
        wind_speed=mean,
        wind_from=_direction(report.wind_dir) if mean else None,
        gust=gust,
        wind_between=_sector(report),
        temperature=temperature,
        dew_point=dew_point,
        altimeter_setting=_setting(report.press),
        visibility=_meters(report.vis),
        ceiling=_ceiling(report),
        notes=tuple(notes),
        raw=raw,
    )


def _words(raw: str) -> list[str]:
    """Return the groups from the station to the end of the observation itself."""
    words = raw[: _LONGEST + 1].upper().replace("=", " = ").split()
    while words and words[-1] == "=":
        words.pop()
    if not words:
        raise InputError("there is no report", WHERE, f"paste one, such as {EXAMPLE}")
    if len(raw) > _LONGEST or "=" in words or _several(words):
        raise InputError("this is more than one report", WHERE, "give one, that of the nearest airfield")
    if words[0] == "TAF":
        raise InputError("this is a TAF, a forecast", WHERE, f"paste an observation, such as {EXAMPLE}")
    start = next((at for at, word in enumerate(words) if word not in _HEADS), len(words) - 1)
    if not _STATION.fullmatch(words[start]):
        raise InputError(
            f"{words[start][:20]!r} is not the four letters of a station", WHERE, f"begin as in {EXAMPLE}"
        )
    end = next((at for at, word in enumerate(words) if at > start and word in _ENDS), len(words))
    if "NIL" in words[start:end]:
        raise InputError("the report is NIL: nothing was observed", WHERE, "take an earlier one or another")
    return words[:end]


def _several(words: list[str]) -> bool:
    """Return whether there is more than one report: their names, or a station with its time, again."""
    named = sum(word in ("METAR", "SPECI") for word in words)
    return named > 1 or len(_REPORTS.findall(" ".join(words))) > 1


def _wind_group(words: list[str]) -> tuple[str, float]:
    """Return the wind group, empty when slashes stand for it, and its unit [m s⁻¹]."""
    for word in words:
        if matched := _WIND.fullmatch(word):
            if _LETTER in word:
                raise InputError(
                    f"the wind group {word} has the letter O among its digits", WHERE, "check it, and write 0"
                )
            return word, _SPEEDS[matched[1]]
    for word in words[1:]:
        if _WIND_WITHOUT_UNIT.fullmatch(word):
            raise InputError(f"the wind group {word} has no unit", WHERE, "write KT, MPS or KMH behind it")
    if any(re.fullmatch(r"/{3,}", word) for word in words):
        return "", 1.0
    raise InputError("there is no wind group", WHERE, "one looks like 24014G22KT, or /////KT when missing")


def _decoded(words: list[str]) -> tuple[Metar, list[str]]:
    """Return the library's reading, and the groups that had to be set aside for it."""
    from metar.Metar import Metar

    unread = [word for word in words if not _GROUP.fullmatch(word)]
    words = [word for word in words if _GROUP.fullmatch(word)]
    while True:
        with warnings.catch_warnings(record=True) as said:
            warnings.simplefilter("always")
            # The month is of no consequence: only day and time are taken, and this one has all days.
            report = Metar(" ".join(words), month=1, year=2025, strict=False)
        problems = [str(each.message) for each in said if each.category is RuntimeWarning]
        if not problems:
            return report, unread
        group = problems[0].split("'")[1].split()[0]
        if "failed while processing" in problems[0]:
            raise InputError(f"the group {group} makes no sense", WHERE, "check it, or leave it out")
        words.remove(group)
        unread.append(group)


def _speed(value: speed | None, scale: float) -> float | None:
    return None if value is None else value.value() * scale


def _direction(value: direction | None) -> float | None:
    return None if value is None else float(wrap(radians(value.value())))


def _sector(report: Metar) -> tuple[float, float] | None:
    begin, end = _direction(report.wind_dir_from), _direction(report.wind_dir_to)
    return None if begin is None or end is None else (begin, end)


def _kelvin(value: temperature | None) -> float | None:
    return None if value is None else value.value() + celsius_zero


def _celsius(temperature: float) -> str:
    return f"{temperature - celsius_zero:.0f} °C".replace("-", "−")


def _setting(value: pressure | None) -> float | None:
    """Return the altimeter setting, which the library keeps in inches or in hectopascals [Pa]."""
    if value is None:
        return None
    number = value.value()
    setting = number * (inch_hg if number < 50 else hectopascal)
    if not _SETTINGS[0] <= setting <= _SETTINGS[1]:
        raise InputError(
            f"an altimeter setting of {number:g} is out of range", WHERE, "one looks like A2992 or Q1013"
        )
    return setting


def _meters(value: distance | None) -> float | None:
    if value is None:
        return None
    number = value.value()
    scales = (statute_mile, value.value("SM")), (kilometre, value.value("KM")), (foot, value.value("FT"))
    return number * next((scale for scale, other in scales if other == number), 1.0)


def _ceiling(report: Metar) -> float | None:
    heights = [_meters(height) for cover, height, _ in report.sky if cover in _CLOUDED]
    return min((height for height in heights if height is not None), default=None)
