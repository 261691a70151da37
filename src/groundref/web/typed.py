"""What is typed in the reader's units, turned into the feet and knots of addresses and back: once, here.

An address means the same to every reader, so it is always in feet and knots. A form of somebody who reads
metric units has fields of their own names, such as `radius_m`; what they are filled in with becomes
`radius_ft` of the address, exactly enough that the field shows after it what was typed. What is no number
stays as it is, for the one check of all to say so. A field that shows a rounded number is sent with the exact
one beside it, so that what nobody touched stays what it was.

A comma is a decimal sign, too; a wind may be typed with its unit behind it, and then stays as it was typed.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from math import isfinite
from typing import Final
from urllib.parse import parse_qsl, urlencode

from groundref.errors import OutOfRangeError, UsageError

FEET: Final = "ft"
KNOTS: Final = "kt"
_SIZE: Final = {FEET: Decimal("0.3048"), KNOTS: Decimal("1.852")}  # exact: m a foot, km/h a knot
METRIC_NAMES: Final = {FEET: "m", KNOTS: "km/h"}
_ENDING: Final = {FEET: "_m", KNOTS: "_kmh"}
_FINE: Final = Decimal("0.000001")  # of a foot or a knot: 100 times finer than what is shown
_SHOWN: Final = Decimal("0.0001")  # what was typed in the reader's own unit
_ROUNDED: Final = Decimal("0.1")  # what was said in the other one
_TURNED: Final = (
    3  # decimals: an address has more of what was typed in the other unit, and no instructor types so
)
EXACT: Final = "exact"
"""Field of a form that has what its rounded numbers stand for."""
_LARGEST: Final = 1e9
_WIND: Final = re.compile(
    r"(?P<whence>[^/@]+/)(?P<mean>\d{1,4}(?:\.\d+)?)(?:G(?P<gust>\d{1,4}(?:\.\d+)?))?", re.IGNORECASE
)
_DECIMAL: Final = re.compile(r"[+−-]?\d*(?:[.,]\d+|[.,])?")
_THOUSANDS: Final = re.compile(r"[+−-]?[1-9]\d{0,2}(?:(?:[,.’' \u00a0\u2009\u202f]\d{3})+(?:[.,]\d+)?)")
_COMMA: Final = re.compile(r"(?<=\d),(?=\d)")
_LEVEL: Final = re.compile(r"(?P<group>[^@]*@\s*)(?P<level>[\d.]+)\s*(?P<unit>FT|M)?", re.IGNORECASE)
_UNIT_OF: Final = re.compile(r"\b(ft|kt)\b")


def number(text: str, where: str, remedy: str = "write digits, such as 90 or 90.5") -> float:
    """Return a number as typed, with a point or a comma as its decimal sign.

    Parameters
    ----------
    text
        As typed.
    where, remedy
        As of every refusal.

    Raises
    ------
    UsageError
        When it is none, or parts its thousands, as one sign would then mean two things.
    """
    said = text.strip()
    if _THOUSANDS.fullmatch(said) and not re.fullmatch(r"[+−-]?\d+\.\d+", said):
        raise UsageError(
            f"{said[:20]!r} may part thousands or decimals", where, "write it without parting thousands: 1200"
        )
    try:
        value = float(said.replace(",", ".").replace("−", "-") if _DECIMAL.fullmatch(said) else said)
    except ValueError:
        value = float("nan")
    if not isfinite(value):
        raise UsageError(f"{text[:20]!r} is not a number", where, remedy)
    return value


def points(text: str) -> str:
    """Return a text of several numbers, such as a wind, with points for the commas between digits."""
    return _COMMA.sub(".", text)


def unit_of(name: str) -> str:
    """Return the unit that a field of an address is in, empty where its reader has no other one.

    Parameters
    ----------
    name
        Such as `radius_ft`, or `wind`, which is in knots.
    """
    if name in ("wind", "winds_aloft"):
        return KNOTS if name == "wind" else FEET
    ending = name.rpartition("_")[2]
    return ending if ending in _SIZE else ""


def metric_name(name: str) -> str:
    """Return the name of a field in a form in metric units, such as `radius_m`."""
    unit = unit_of(name)
    return name if not unit else name.removesuffix(f"_{unit}") + _ENDING[unit]


def metric_words(text: str) -> str:
    """Return a label with the metric unit in it, such as `Radius, m`."""
    return _UNIT_OF.sub(lambda found: METRIC_NAMES[found[0]], text)


def read(name: str, text: str) -> str:
    """Return what a metric field is filled in with as the address has it.

    Parameters
    ----------
    name
        Of the field of the address.
    text
        As typed.
    """
    return _turned(name, text, _into)


def shown(name: str, text: str, *, metric: bool = True) -> str:
    """Return what the address has as a field shows it; what was typed in its unit is shown as it was typed.

    Parameters
    ----------
    name
        Of the field of the address.
    text
        As the address has it.
    metric
        Whether the field is of somebody who reads metric units.
    """
    return _turned(name, text, _out_of if metric else _rounded)


def exact(said: Mapping[str, str], *, metric: bool) -> str:
    """Return what the fields of a form stand for whose numbers are shown rounded, for its field ``EXACT``.

    Parameters
    ----------
    said
        Fields of the address.
    metric
        As of ``shown``.
    """
    kept = {}
    for name, text in said.items():
        field = shown(name, text, metric=metric)
        if text and (read(name, field) if metric else field) != text:
            kept[metric_name(name) if metric else name] = text
    return urlencode(kept)


def in_address(form: Mapping[str, str], names: Mapping[str, str]) -> dict[str, str]:
    """Return a form with what stands in metric fields turned and renamed.

    Parameters
    ----------
    form
        As sent, by a reader of either units.
    names
        Fields of the address by the names of their metric ones.
    """
    was = dict(parse_qsl(form.get(EXACT, "")))
    said = {}
    for name, text in form.items():
        metric, own = name in names, names.get(name, name)
        if name in was and text.split() == shown(own, was[name], metric=metric).split():
            said[own] = was[name]  # untouched
        elif name != EXACT:
            said[own] = read(own, text) if metric else text
    return said


def refusal(problem: UsageError, name: str) -> tuple[str, str]:
    """Return what is wrong and what to do about it, in metric units.

    Parameters
    ----------
    problem
        In feet or knots.
    name
        Of the field of the address that it concerns.
    """
    unit = unit_of(name)
    if unit and isinstance(problem, OutOfRangeError) and "direction" not in problem.where:
        # Rounded inward, so that what is offered is taken.
        low = _metric(problem.low, unit).to_integral_value(ROUND_CEILING)
        high = _metric(problem.high, unit).to_integral_value(ROUND_FLOOR)
        value = _plain(_metric(problem.value, unit).quantize(_SHOWN))
        return f"{value} is out of range", f"give {low:f} to {high:f} {METRIC_NAMES[unit]}"
    remedies = {
        "wind": "write it as direction from / km/h, such as 240/26, or with its unit, 240/8m/s or 240/14kt",
        "winds_aloft": "write the group @ its level in m above sea level, such as 2412+05@900; one in feet "
        "as 2412+05@3000ft",
    }
    syntax = problem.what.endswith(("is not a wind", "is not a level", "has no level"))
    return problem.what, remedies.get(name, problem.remedy) if syntax else problem.remedy


def _turned(name: str, text: str, turn: Callable[[Decimal, str], Decimal]) -> str:
    if name == "wind":
        return _wind(text, turn)
    if name == "winds_aloft":
        return "\n".join(_level(line, turn) for line in text.splitlines())
    unit = unit_of(name)
    return _number(text, unit, turn) if unit else text


def _into(value: Decimal, unit: str) -> Decimal:
    return (value / _SIZE[unit]).quantize(_FINE)


def _out_of(value: Decimal, unit: str) -> Decimal:
    return (value * _SIZE[unit]).quantize(_SHOWN if _is_turned(value) else _ROUNDED)


def _rounded(value: Decimal, unit: str) -> Decimal:
    """Return a number in its own unit, to whole feet or tenths of a knot where it was typed in the other."""
    if not _is_turned(value):
        return value
    return value.quantize(Decimal(1) if unit == FEET else _ROUNDED)


def _is_turned(value: Decimal) -> bool:
    exponent = value.as_tuple().exponent
    return isinstance(exponent, int) and -exponent > _TURNED


def _number(text: str, unit: str, turn: Callable[[Decimal, str], Decimal]) -> str:
    try:
        value = number(text, "")
    except UsageError:
        return text  # for the one check of all to say so
    if abs(value) > _LARGEST:
        return text  # out of any range in either unit
    return _plain(turn(Decimal(repr(value)), unit))


def _wind(text: str, turn: Callable[[Decimal, str], Decimal]) -> str:
    """Return a wind turned; one whose unit was typed behind it stays as it is."""
    found = _WIND.fullmatch(points(text.strip()))
    if found is None:
        return points(text)
    said = found["whence"] + _number(found["mean"], KNOTS, turn)
    return said + (f"G{_number(found['gust'], KNOTS, turn)}" if found["gust"] else "")


def _level(line: str, turn: Callable[[Decimal, str], Decimal]) -> str:
    """Return a group of winds aloft with its level turned; the group is that of the forecast."""
    found = _LEVEL.fullmatch(points(line.strip()))
    if found is None:
        return line
    own = (found["unit"] or "").upper()
    if turn is _into and own == "FT":
        return f"{found['group']}{found['level']}"
    return found["group"] + _number(found["level"], FEET, turn)


def _metric(value: float, unit: str) -> Decimal:
    return Decimal(repr(value)) * _SIZE[unit]


def _plain(value: Decimal) -> str:
    """Return a number without zeros that say nothing."""
    text = f"{value:f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "") else text
