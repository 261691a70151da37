"""Numbers as people read them: the one place where SI becomes the reader's units in print.

Every function takes what may be missing (None or NaN) and then says so; "±" is one standard deviation.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from math import ceil, isfinite, radians
from typing import Final

from groundref.estimation.wind_value import Wind
from groundref.reports.reading import metric
from groundref.track.time_of_day import time_of_day
from groundref.units import degree, foot, kilometre_per_hour, knot

CANNOT_TELL: Final = "can't tell"
_LIGHT_WIND_SDS: Final = (
    2.0  # a wind below this many of its own standard deviations has no direction to print
)
LOOSE_DIRECTION: Final = radians(60.0)  # nor has one whose direction is this uncertain


def sentence(us: str, si: str) -> str:
    """Return a sentence in the reader's units.

    Parameters
    ----------
    us, si
        In feet and knots; in meters and kilometers per hour, empty where what was kept has no such text. Then
        the other is turned with the page (see ``metric``).
    """
    return si if si and metric() else us


def known(value: float | None) -> bool:
    """Return whether there is a number at all."""
    return value is not None and isfinite(value)


def number(value: float | None, digits: int = 0, *, signed: bool = False) -> str:
    """Return a number with thousands separated and a true minus sign.

    Parameters
    ----------
    value
        In the unit that will be printed after it.
    digits
        Decimals.
    signed
        Whether a positive number shows its sign.
    """
    if value is None or not isfinite(value):
        return CANNOT_TELL
    rounded = round(value, digits) + 0.0  # adding zero turns a negative zero into zero
    text = f"{rounded:{'+' if signed and rounded else ''},.{digits}f}"
    return text.replace("-", "−")


def _with_unit(value: float | None, unit: float, name: str, digits: int, *, signed: bool = False) -> str:
    if value is None or not isfinite(value):
        return CANNOT_TELL
    gap = "" if name == "°" else " "
    return f"{number(value / unit, digits, signed=signed)}{gap}{name}"


Unit = tuple[float, str]
_FEET: Final[Unit] = (foot, "ft")
_METRES: Final[Unit] = (1.0, "m")
_KNOTS: Final[Unit] = (knot, "kt")
_KMH: Final[Unit] = (kilometre_per_hour, "km/h")


def length_units() -> tuple[Unit, Unit]:
    """Return size [m] and name of the unit that lengths are read in, and of the one that stands beside."""
    return (_METRES, _FEET) if metric() else (_FEET, _METRES)


def speed_units() -> tuple[Unit, Unit]:
    """Return size [m s⁻¹] and name of the unit that speeds are read in, and of the one that stands beside."""
    return (_KMH, _KNOTS) if metric() else (_KNOTS, _KMH)


def length(length: float | None, *, signed: bool = False) -> str:
    """Return a length in the reader's unit; ``length`` in [m]."""
    return _with_unit(length, *length_units()[0], 0, signed=signed)


def length_beside(length: float | None, *, signed: bool = False) -> str:
    """Return a length in the unit that stands beside the reader's; ``length`` in [m]."""
    return _with_unit(length, *length_units()[1], 0, signed=signed)


def speed(speed: float | None, *, digits: int = 0, signed: bool = False) -> str:
    """Return a speed in the reader's unit; ``speed`` in [m s⁻¹]."""
    return _with_unit(speed, *speed_units()[0], digits, signed=signed)


def speed_between(high: float, low: float) -> str:
    """Return how much one speed is above another, as the two that are printed differ; [m s⁻¹]."""
    unit, name = speed_units()[0]
    return f"{round(high / unit) - round(low / unit)} {name}"


def speed_beside(speed: float | None, *, signed: bool = False) -> str:
    """Return a speed in the unit that stands beside the reader's; ``speed`` in [m s⁻¹]."""
    return _with_unit(speed, *speed_units()[1], 0, signed=signed)


def degrees(angle: float | None, *, digits: int = 0, signed: bool = False) -> str:
    """Return an angle in degrees; ``angle`` in [rad]."""
    return _with_unit(angle, degree, "°", digits, signed=signed)


def bearing(direction: float | None) -> str:
    """Return a true direction as three figures, north as 360; ``direction`` in [rad]."""
    if direction is None or not isfinite(direction):
        return CANNOT_TELL
    whole = round(direction / degree) % 360
    return f"{whole or 360:03d}°"


def both_lengths(length: float | None, sd: float | None = None) -> str:
    """Return a length with the other unit beside it, as ``1,010 ±9 ft (308 m)``; both in [m]."""
    if not known(length):
        return CANNOT_TELL
    unit, name = length_units()[0]
    return f"{with_sd(length, sd, unit)} {name} ({length_beside(length)})"


def both_speeds(speed: float | None, sd: float | None = None, *, digits: int = 0) -> str:
    """Return a speed with the other unit beside it; both in [m s⁻¹]."""
    if not known(speed):
        return CANNOT_TELL
    unit, name = speed_units()[0]
    return f"{with_sd(speed, sd, unit, digits)} {name} ({speed_beside(speed)})"


def with_sd(value: float | None, sd: float | None, unit: float = 1.0, digits: int = 0) -> str:
    """Return ``value ±sd`` without a unit name.

    Parameters
    ----------
    value, sd
        The value and its standard deviation, which may be missing, in SI.
    unit
        The unit to print in.
    digits
        Decimals.
    """
    if value is None or not isfinite(value):
        return CANNOT_TELL
    text = number(value / unit, digits)
    if sd is None or not isfinite(sd) or sd <= 0:
        return text
    # At least one of the last decimal: nothing is known to ±0.
    return f"{text} ±{number(max(sd / unit, 10.0**-digits), digits)}"


def wind(value: Wind | None) -> str:
    """Return the wind in words, such as ``240° ±6° at 14.0 ±0.8 kt (26 km/h)``."""
    if value is None or not known(value.speed):
        return CANNOT_TELL
    speed = both_speeds(value.speed, value.speed_sd, digits=1)
    if not has_direction(value):
        return f"light, {speed}; its direction can't be told"
    # Rounded up: no direction is known to 0°.
    sd = max(ceil(value.direction_sd / degree - 1e-9), 1)
    return f"{bearing(value.direction_from)} ±{sd}° at {speed}"


def has_direction(value: Wind | None) -> bool:
    """Return whether the wind is strong enough against its uncertainty to have a direction to print."""
    return (
        value is not None
        and value.speed > _LIGHT_WIND_SDS * value.speed_sd
        and value.direction_sd < LOOSE_DIRECTION
    )


def moment(epoch: datetime, seconds: float | None) -> str:
    """Return the UTC time of day ``seconds`` after the epoch [s], to the second."""
    if seconds is None or not isfinite(seconds):
        return CANNOT_TELL
    return time_of_day(epoch + timedelta(seconds=seconds))


def from_to(epoch: datetime, start: float, end: float) -> str:
    """Return two UTC times of day as ``14:05:10 to 14:06:00 UTC``, or the one that both are to the second."""
    first, last = (moment(epoch, each) for each in sorted((start, end)))
    return f"{first} UTC" if first == last else f"{first} to {last} UTC"


def day(epoch: datetime, seconds: float = 0.0) -> str:
    """Return the UTC date ``seconds`` after the epoch [s], as ``1 May 2026``."""
    when = epoch + timedelta(seconds=seconds)
    return f"{when.day} {_MONTHS[when.month - 1]} {when.year}"


_MONTHS: Final = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


def duration(seconds: float | None) -> str:
    """Return a stretch of time as ``1 h 04 min``, ``4 min 05 s`` or ``59 s``; in [s]."""
    if seconds is None or not isfinite(seconds):
        return CANNOT_TELL
    whole = round(seconds)
    if whole >= 3600:
        return f"{whole // 3600} h {whole % 3600 // 60:02d} min"
    return f"{whole // 60} min {whole % 60:02d} s" if whole >= 60 else f"{whole} s"


def plain(text: str) -> str:
    """Return text from outside with control characters and broken bytes replaced, safe to print anywhere."""
    return "".join(c if c.isprintable() else "\ufffd" for c in text)


def listed(items: Sequence[str]) -> str:
    """Return ``a``, ``a and b`` or ``a, b and c``."""
    return " and ".join([", ".join(items[:-1]), items[-1]] if len(items) > 1 else list(items))


def count(n: int, one: str, many: str = "") -> str:
    """Return ``1 lap``, ``2 laps``, ``no laps``."""
    plural = many or one + "s"
    return f"{n:,} {one if n == 1 else plural}" if n else f"no {plural}"


# Contract unit: multiplier, what is printed after the number, decimals.
_PRINTED: Final = {
    "deg": (1.0, "°", 1),
    "ft": (1.0, " ft", 0),
    "kt": (1.0, " kt", 1),
    "s": (1.0, " s", 1),
    "g": (1.0, " g", 2),
    "fraction": (100.0, "%", 0),
    "": (1.0, "", 0),
}


# Of a length or a speed in a contract unit what who reads metric units sees of it.
_METRIC: Final = {"ft": (foot, " m", 0), "kt": (knot / kilometre_per_hour, " km/h", 0)}


def size(value: float | None, sd: float | None, unit: str, *, whole: bool = False) -> str:
    """Return a value with its deviation in a contract unit, such as ``6.2 ±1.1°``.

    Parameters
    ----------
    value, sd
        Already in ``unit``.
    unit
        `deg`, `ft`, `kt`, `s`, `g`, `fraction` or empty.
    whole
        Whether degrees and knots are rounded to whole ones, as sentences say them.
    """
    if value is None or not isfinite(value):
        return CANNOT_TELL
    times, after, digits = _METRIC[unit] if metric() and unit in _METRIC else _PRINTED[unit]
    value = min(value, 1.0) if unit == "fraction" else value  # no share is more than the whole
    if whole and digits == 1 and not _vanishes(sd):
        digits = 0
    return with_sd(value, sd, 1 / times, digits) + after


def _vanishes(sd: float | None) -> bool:
    """Return whether a standard deviation would be rounded to nothing."""
    return sd is not None and 0.0 < sd < 0.5


def read_in(unit: str) -> tuple[float, str]:
    """Return what a value in a contract unit is multiplied by to be read, and what is printed after it."""
    times, after, _ = _METRIC[unit] if metric() and unit in _METRIC else _PRINTED[unit]
    return times, after


def limit(value: float, unit: str) -> str:
    """Return a limit in a contract unit with the decimals it was stated with, such as ``100 ft``."""
    times, after, _ = _PRINTED[unit]
    return f"{value * times:,.6g}{after}".replace("-", "−")


_ALTITUDES: Final = {
    "msl": "altitude above mean sea level",
    "ellipsoid": "altitude above the ellipsoid",
    "pressure": "pressure altitude",
    "indicated": "indicated altitude",
}


def altitude(datum: str | None) -> str:
    """Return what an altitude is called, so that none passes for one in another datum.

    Parameters
    ----------
    datum
        `msl`, `ellipsoid`, `pressure` or `indicated`; None when not known.
    """
    return _ALTITUDES.get(datum or "", "altitude")


_CHANNELS: Final = {
    "latitude": "position",
    "longitude": "position",
    "altitude_msl": "altitude above mean sea level",
    "altitude_ellipsoid": "altitude above the ellipsoid",
    "altitude_pressure": "pressure altitude",
    "heading_magnetic": "magnetic heading",
    "on_ground": "whether on the ground",
}


def measured(channels: Sequence[str]) -> str:
    """Return the channels of a recording in plain words, each once."""
    names = dict.fromkeys(_CHANNELS.get(name, name.replace("_", " ")) for name in channels)
    return listed(list(names)) if names else "nothing"
