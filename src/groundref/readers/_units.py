"""Units as people write them above a column, with their factors to SI."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from groundref import units


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit of one family: SI value = number times ``factor`` plus ``offset``."""

    family: str
    factor: float
    offset: float = 0.0


_LENGTH: Final = {"m meter meters metre metres mtr": 1.0, "ft feet foot": units.foot, "km": units.kilometre}
_SPEED: Final = {
    "m/s mps ms-1 meterspersecond metrespersecond mpers": 1.0,
    "kt kts kn knot knots": units.knot,
    "km/h kmh kph kmph kmperh": units.kilometre_per_hour,
    "mph mi/h milesperhour": units.mile_per_hour,
    "ft/min fpm ftmin ft/m feetperminute ftpermin feet/min": units.foot_per_minute,
    "ft/s fps": units.foot,
}
_ANGLE: Final = {"deg ° degree degrees degs grad°": units.degree, "rad radian radians": 1.0}
_ACCELERATION: Final = {
    "g gs gee g0": units.standard_gravity,
    "m/s2 m/s^2 m/s² mps2 ms-2 m/s/s": 1.0,
    "ft/s2 ft/s^2 ft/s²": units.foot,
}
_TIME: Final = {
    "s sec secs second seconds": 1.0,
    "ms msec millis milliseconds": 1e-3,
    "us µs": 1e-6,
    "ns": 1e-9,
}
_TABLES: Final = {
    "length": _LENGTH,
    "speed": _SPEED,
    "angle": _ANGLE,
    "acceleration": _ACCELERATION,
    "time": _TIME,
}

UNITS: Final[dict[str, Unit]] = {
    word: Unit(family, factor)
    for family, table in _TABLES.items()
    for words, factor in table.items()
    for word in words.split()
} | {
    **dict.fromkeys(("c", "°c", "degc", "celsius"), Unit("temperature", 1.0, units.celsius_zero)),
    **dict.fromkeys(
        ("f", "°f", "degf", "fahrenheit"), Unit("temperature", 5 / 9, units.celsius_zero - 32 * 5 / 9)
    ),
    **dict.fromkeys(("k", "kelvin"), Unit("temperature", 1.0)),
}

AVIATION: Final = frozenset({units.foot, units.knot, units.foot_per_minute})  # factors that betray a cockpit

# Words of a units row that tell a layout, or that a column has no unit.
_LAYOUTS: Final = re.compile(
    r"[-–—#]*|[ymdhs:./\- t]{4,}z?|iso ?8601|iso|utc|local|text|string|bool(ean)?|enum|int(eger)?|float|"
    r"number|none|"
    r"%|rpm|volts?|v|amps?|a|gal|gph|psi|inch|in ?hg|hpa|mbar?|degrees?",
    re.IGNORECASE,
)


def unit_of(text: str) -> Unit | None:
    """Return the unit that a text names, or None when it names none."""
    return UNITS.get(re.sub(r"[\s.·*_]+", "", text.strip().lower().replace("⁻", "-").replace("¹", "1")))


def is_unit_word(text: str) -> bool:
    """Tell whether a cell could stand in a row of units."""
    words = text.replace("(", " ").replace(")", " ").replace("[", " ").replace("]", " ").strip()
    if unit_of(words) or _LAYOUTS.fullmatch(words):
        return True
    return bool(words.split()) and unit_of(words.split()[0]) is not None and len(words.split()) <= 3
