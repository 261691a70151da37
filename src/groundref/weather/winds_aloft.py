"""One group of a winds-aloft forecast (FB), such as `2412+05` at 3,000 ft.

DDff±TT: direction from in tens of degrees, true; speed in knots; temperature in °C. 9900 is light and
variable, less than 5 kt. From 100 kt on, 50 is added to DD and 100 taken from ff; 199 kt stands for 199 or
more. Above 24,000 ft the sign of the temperature is left out: it is always minus there.

Source of the code form: FAA-H-8083-28, Aviation Weather Handbook, winds and temperatures aloft (read in a
secondary copy).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import isfinite
from typing import Final

from groundref.angles import wrap
from groundref.errors import InputError
from groundref.units import celsius_zero, degree, foot, knot

WHERE: Final = "winds aloft"
EXAMPLE: Final = "2412+05 at 3,000 ft, 9900, or 731960 at 34,000 ft"

_GROUP: Final = re.compile(r"(\d\d)(\d\d)(?:([+-]?)(\d\d))?")
_LIGHT: Final = 5 * knot  # the wind of 9900 is less [m s⁻¹]
_UNSIGNED_ABOVE: Final = 24_000 * foot
_LEVELS: Final = (500 * foot, 60_000 * foot)  # wider than any that is issued


@dataclass(frozen=True, slots=True)
class WindAloft:
    """The wind forecast for one level.

    Attributes
    ----------
    level
        Above mean sea level, up to 18,000 ft; above it a pressure altitude [m]
    speed
        Of a light and variable wind the 5 kt that it stays under [m s⁻¹]
    direction_from
        True; None when light and variable [rad]
    temperature
        None when the group has none [K]
    group
        As given.
    """

    level: float
    speed: float
    direction_from: float | None
    temperature: float | None
    group: str


def read_winds_aloft(group: str, level: float) -> WindAloft:
    """Read a group.

    Parameters
    ----------
    group
        Such as `2412+05`, `2412`, `9900` or `731960`.
    level
        That it is for, above mean sea level [m]

    Raises
    ------
    InputError
        When it is no such group, or the level cannot be one.
    """
    text = "".join(group.split())
    if not (isfinite(level) and _LEVELS[0] <= level <= _LEVELS[1]):
        raise InputError(
            f"a level of {level / foot:,.0f} ft is out of range",
            WHERE,
            "give the level in ft above sea level",
        )
    matched = _GROUP.fullmatch(text)
    if not matched:
        raise InputError(f"{text[:20]!r} is not a group of winds aloft", WHERE, f"one looks like {EXAMPLE}")
    temperature = _temperature(matched[3], matched[4], level, text)
    if matched[1] + matched[2] == "9900":
        return WindAloft(level, _LIGHT, None, temperature, text)
    tens, knots = int(matched[1]), int(matched[2])
    if tens > 50:
        tens, knots = tens - 50, knots + 100
    if not 1 <= tens <= 36:
        raise InputError(
            f"{text!r} has no direction: its first two digits are {matched[1]}",
            WHERE,
            "they are 01 to 36, or 51 to 86 from 100 kt on",
        )
    return WindAloft(level, knots * knot, float(wrap(10 * tens * degree)), temperature, text)


def _temperature(sign: str | None, digits: str | None, level: float, text: str) -> float | None:
    """Return the temperature of a group, None when it has none [K]."""
    if digits is None:
        return None
    if not sign and level <= _UNSIGNED_ABOVE:
        raise InputError(
            f"the temperature in {text!r} has no sign, which is left out above 24,000 ft only",
            WHERE,
            "write + or - before it, or check the level",
        )
    return celsius_zero + (int(digits) if sign == "+" else -int(digits))
