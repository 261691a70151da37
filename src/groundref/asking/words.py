"""One thing each that is asked for in words: a number in its range, wind, place, day."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime
from math import cos, radians, sin
from typing import Final

from groundref.errors import OutOfRangeError, UsageError
from groundref.units import hectopascal, inch_hg, kilometre_per_hour, knot

STRONGEST_WIND_KT: Final = 99
# How places are asked for, by their number: what is wanted and an example.
_PLACES: Final = {
    1: ("latitude,longitude", "40.1,-90.2"),
    2: ("latitude,longitude of two places", "40.1,-90.2,40.11,-90.2"),
    4: ("latitude,longitude of four places", "40.1,-90.2,40.11,-90.2,40.11,-90.18,40.1,-90.18"),
}
_SPEED: Final = r"\d{1,4}(?:\.\d+)?"
_SPEEDS: Final = {
    "": knot, "KT": knot, "KTS": knot, "M/S": 1.0, "MPS": 1.0,
    "KM/H": kilometre_per_hour, "KMH": kilometre_per_hour,
}  # fmt: skip
# As it is typed, 240/14G22, or with its unit behind it as a report has it, 24014G22KT or 24008MPS.
_WIND: Final = re.compile(
    rf"(?:(?P<whence>\d{{1,3}}(?:\.\d+)?)/(?P<mean>{_SPEED})(?:G(?P<gust>{_SPEED}))?\s*(?P<unit>[A-Z/]*)"
    r"|(?P<from>\d{3})(?P<there>\d{2,3})(?:G(?P<gusting>\d{2,3}))?(?P<own>[A-Z/]+))"
)
_FORMS: Final = "240/14, 240/14G22, 24014G22KT or calm"
_DAY: Final = re.compile(r"\d{4}-\d{2}-\d{2}")


def within(value: float, low: float, high: float, option: str) -> float:
    """Return the value of an option when it lies in its range, and refuse it otherwise, NaN included."""
    if not low <= value <= high:
        raise OutOfRangeError(value, low, high, option)
    return value


def altimeter_setting(inhg: float | None, hpa: float | None) -> float | None:
    """Return the altimeter setting from one of two options, None when neither is given [Pa].

    Parameters
    ----------
    inhg, hpa
        As given in inches of mercury and in hectopascals.
    """
    if inhg is not None and hpa is not None:
        raise UsageError(
            "the altimeter setting is given twice",
            "--altimeter-hpa",
            "give --altimeter-inhg or --altimeter-hpa",
        )
    if inhg is not None:
        return within(inhg, 25, 32, "--altimeter-inhg") * inch_hg
    return None if hpa is None else within(hpa, 850, 1083, "--altimeter-hpa") * hectopascal


def wind_velocity(text: str, option: str = "--wind") -> tuple[float, float]:
    """Return the velocity the air moves to, from `FROM/KT` such as `240/12`, degrees true.

    Returns
    -------
    tuple
        East and north [m s⁻¹]
    """
    from_deg, speed_kt = stated_wind(text, option)
    toward, speed = radians(from_deg + 180), speed_kt * knot
    return speed * sin(toward), speed * cos(toward)


def stated_wind(text: str, option: str = "--wind") -> tuple[float, float]:
    """Return direction from and speed of a wind such as `240/12`, `240/8m/s` or `calm` [deg true, kt]."""
    whence, mean, gust = _read_wind(text, option)
    if gust is not None:
        raise UsageError(f"{text!r} has gusts, and a mean wind is asked for", option, "write it as 240/12")
    return whence, mean


def gusty_wind(text: str, option: str = "--wind") -> tuple[float, float, float | None]:
    """Return a wind with gusts or without, such as `240/14G22`, `240/8m/s`, `24008MPS` or `calm`.

    Returns
    -------
    tuple
        Direction from [rad], speed and gust, None without one [m s⁻¹]
    """
    whence, mean, gust = _read_wind(text, option)
    return radians(whence), mean * knot, None if gust is None else gust * knot


def _read_wind(text: str, option: str) -> tuple[float, float, float | None]:
    """Return direction from [deg], speed and gust [kt]: the one place where a wind that was typed is read."""
    said = text.strip().upper()
    if said == "CALM":
        return 0.0, 0.0, None
    if said.startswith("VRB"):
        raise UsageError(
            f"{text!r} has no direction, and bank and crab hang on it",
            option,
            "give the one that smoke, water or a windsock shows, such as 240/5, or calm",
        )
    found = _wind(text)
    if found is None:
        raise UsageError(
            f"{text!r} is not a wind", option, f"write it as direction from / knots, such as {_FORMS}"
        )
    # Stronger winds are a slip of the finger: no trainer circles a point in them.
    mean = within(found[1], 0, STRONGEST_WIND_KT, option)
    return found[0], mean, None if found[2] is None else within(found[2], mean, 150, f"{option}, gust")


def _wind(text: str) -> tuple[float, float, float | None] | None:
    """Return direction [deg], speed and gust [kt] in whichever unit stands behind them, else in knots."""
    matched = _WIND.fullmatch(text.strip().upper())
    if matched is None:
        return None
    said = matched.groupdict()
    size = _SPEEDS.get(said["unit"] or said["own"] or "")
    whence, gust = float(said["whence"] or said["from"]), said["gust"] or said["gusting"]
    if size is None or whence > 360:
        return None
    times = size / knot  # 1 exactly where knots are said
    return whence, float(said["mean"] or said["there"]) * times, None if gust is None else float(gust) * times


def instant(text: str, option: str) -> date | datetime:
    """Return a day from `2026-05-01`, or a moment from `2026-05-01T14:05Z`; UTC unless it says its zone."""
    try:
        if _DAY.fullmatch(text.strip()):
            return date.fromisoformat(text.strip())
        stated = datetime.fromisoformat(text.strip())
    except ValueError as problem:
        raise UsageError(
            f"{text!r} is not a day", option, "write 2026-05-01 or 2026-05-01T14:05Z, in UTC"
        ) from problem
    return stated.replace(tzinfo=UTC) if stated.tzinfo is None else stated.astimezone(UTC)


def point(text: str, option: str = "--point") -> tuple[float, float]:
    """Return latitude and longitude from `LAT,LON` in degrees, north and east positive [rad]."""
    return positions(text, 1, option)[0]


def positions(text: str, count: int, option: str) -> tuple[tuple[float, float], ...]:
    """Return latitude and longitude of each place from `LAT,LON` one after the other, in degrees.

    Parameters
    ----------
    text
        North and east positive.
    count
        Number of places wanted.
    option
        The option that states them.

    Returns
    -------
    tuple
        Latitude and longitude [rad]
    """
    wanted, example = _PLACES[count]
    remedy = f"write {wanted} in degrees, north and east positive, such as {example}"
    try:
        numbers = [float(part) for part in text.split(",")]
    except ValueError as problem:
        raise UsageError(f"{text!r} is not a position", option, remedy) from problem
    if len(numbers) != 2 * count:
        what = "is not a position" if count == 1 else f"has {len(numbers)} numbers in place of {2 * count}"
        raise UsageError(f"{text!r} {what}", option, remedy)
    found = tuple(zip(numbers[::2], numbers[1::2], strict=True))
    for latitude, longitude in found:
        if not (abs(latitude) <= 90 and abs(longitude) <= 180):
            raise UsageError(f"'{latitude:g},{longitude:g}' does not lie on the earth", option, remedy)
    return tuple((radians(latitude), radians(longitude)) for latitude, longitude in found)
