"""Options that are more than a word: wind, point, moments, and the names of recordings."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time, timedelta
from math import cos, radians, sin
from typing import TYPE_CHECKING, Final

from cyclopts import Parameter

from groundref.errors import UsageError
from groundref.units import hectopascal, inch_hg, knot

if TYPE_CHECKING:
    from groundref.track.recording import Recording

_WIND: Final = re.compile(r"(\d{1,3}(?:\.\d+)?)/(\d{1,3}(?:\.\d+)?)(?:kt)?", re.IGNORECASE)
STRONGEST_WIND_KT: Final = 99
# How places are asked for, by their number: what is wanted and an example.
_PLACES: Final = {
    1: ("latitude,longitude", "40.1,-90.2"),
    2: ("latitude,longitude of two places", "40.1,-90.2,40.11,-90.2"),
    4: ("latitude,longitude of four places", "40.1,-90.2,40.11,-90.2,40.11,-90.18,40.1,-90.18"),
}
_GUSTY: Final = re.compile(
    r"(?P<whence>\d{1,3}(?:\.\d+)?)/(?P<mean>\d{1,3}(?:\.\d+)?)(?:G(?P<gust>\d{1,3}(?:\.\d+)?))?(?:KT)?"
)
_DAY: Final = re.compile(r"\d{4}-\d{2}-\d{2}")
_CLOCK: Final = re.compile(r"(\d{1,2}):(\d{2})(?::(\d{2})(?:\.\d+)?)?Z?", re.IGNORECASE)


def taking(shape: str, name: str | list[str] | None = None) -> Parameter:
    """Return what the command line needs to know of an option that takes a value.

    Parameters
    ----------
    shape
        The value as the help shows it.
    name
        Name of the option where it is not that of the parameter.
    """
    # A value may start with a hyphen: `-` is standard output, and south and west are negative.
    return Parameter(name=name, metavar=shape, allow_leading_hyphen=True, negative=())


def within(value: float, low: float, high: float, option: str) -> float:
    """Return the value of an option when it lies in its range, and refuse it otherwise, NaN included."""
    if not low <= value <= high:
        raise UsageError(f"{value:g} is out of range", option, f"give {low:g} to {high:g}")
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
    """Return direction from and speed of a wind from `FROM/KT` such as `240/12` [deg true, kt]."""
    matched = _WIND.fullmatch(text.strip())
    if not matched or float(matched[1]) > 360:
        raise UsageError(
            f"{text!r} is not a wind",
            option,
            "write it as direction from, degrees true / knots, such as 240/12",
        )
    # Stronger winds are a slip of the finger: no trainer circles a point in them.
    return float(matched[1]), within(float(matched[2]), 0, STRONGEST_WIND_KT, option)


def gusty_wind(text: str, option: str = "--wind") -> tuple[float, float, float | None]:
    """Return a wind from `FROM/KT` with gusts or without, such as `240/14G22`.

    Returns
    -------
    tuple
        Direction from [rad], speed and gust, None without one [m s⁻¹]
    """
    matched = _GUSTY.fullmatch(text.strip().upper())
    if not matched or float(matched["whence"]) > 360:
        raise UsageError(
            f"{text!r} is not a wind",
            option,
            "write it as direction from / knots, such as 240/14 or 240/14G22",
        )
    mean = within(float(matched["mean"]), 0, STRONGEST_WIND_KT, option)
    gust = None if matched["gust"] is None else within(float(matched["gust"]), mean, 150, f"{option}, gust")
    return radians(float(matched["whence"])), mean * knot, None if gust is None else gust * knot


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


def moment(text: str, recording: Recording, option: str) -> datetime:
    """Return a moment from an ISO time, or from a clock time UTC on the day of the flight.

    A clock time before the start of a flight that went past midnight is one of the next day.
    """
    clock = _CLOCK.fullmatch(text.strip())
    try:
        if clock is None:
            stated = datetime.fromisoformat(text.strip())
            return stated.replace(tzinfo=UTC) if stated.tzinfo is None else stated.astimezone(UTC)
        of_day = time(int(clock[1]), int(clock[2]), int(clock[3] or 0), tzinfo=UTC)
    except ValueError as problem:
        raise UsageError(
            f"{text!r} is not a time", option, "write 14:05, 14:05:30 or 2026-05-01T14:05:30Z, in UTC"
        ) from problem
    start, end = span(recording)
    same_day = datetime.combine(start.date(), of_day)
    next_day = same_day + timedelta(days=1)
    return next_day if same_day < start and next_day <= end else same_day


def span(recording: Recording) -> tuple[datetime, datetime]:
    """Return the first and the last moment of a recording; its epoch twice when it is empty."""
    if not len(recording):
        return recording.epoch, recording.epoch
    return (
        recording.epoch + timedelta(seconds=float(recording.time.min())),
        recording.epoch + timedelta(seconds=float(recording.time.max())),
    )


def check_names(names: list[str]) -> None:
    """Refuse a misspelt option, which stands among the names of recordings as `-` may."""
    for name in names:
        if name.startswith("-") and name != "-":
            raise UsageError(
                f"there is no option {name.partition('=')[0]}",
                remedy="groundref COMMAND --help lists the options",
            )
    if names.count("-") > 1 or (len(names) > 1 and "-" in names):
        raise UsageError("standard input is one recording", "-", "name files, or - alone")
