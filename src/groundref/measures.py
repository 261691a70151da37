"""Measures within sentences, left open until it is known in which units the sentence is read.

A sentence is made where something was found, and is read in feet and knots or in meters and kilometers per
hour. A number rounded for the one and then turned into the other is rounded twice, and disagrees with the
table beside it. So who makes a sentence writes its measures with the functions here, in SI; each returns a
mark that holds the full value. `in_us` and `in_metric` set the numbers in, each rounded once. Where all
sentences of a kind are gathered they get both texts, and no mark goes beyond.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from math import ceil
from typing import Final

from groundref.units import foot, kilometre_per_hour, knot

_BEGIN, _END, _PART = "\ue000", "\ue001", "\ue002"  # of Unicode's private use: they stand in no other text
_MARK: Final = re.compile(f"{_BEGIN}([^{_END}]*){_END}")


@dataclass(frozen=True, slots=True)
class _Read:
    """One unit that a quantity is read in: its size in SI, its name, and what advice is rounded to."""

    size: float
    name: str
    coarse: int


_FT, _M = _Read(foot, "ft", 10), _Read(1.0, "m", 5)
_KT, _KMH = _Read(knot, "kt", 1), _Read(kilometre_per_hour, "km/h", 1)
_UNITS: Final = {"length": (_FT, _M), "speed": (_KT, _KMH)}


def length(value: float) -> str:
    """Write a length, to the foot or the meter [m]."""
    return _mark("length", "one", value)


def about(value: float) -> str:
    """Write a length to aim for, to what can be judged by eye: ten feet or five meters [m]."""
    return _mark("length", "about", value)


def at_least(value: float) -> str:
    """Write a length to keep to or go beyond: up to the next ten feet or five meters [m]."""
    return _mark("length", "least", value)


def lengths(low: float, high: float) -> str:
    """Write the lengths from one to another, such as `600 to 1,000 ft` [m]."""
    return _mark("length", "range", low, high)


def apart(one: float, other: float) -> str:
    """Write how far two lengths differ, as the two do that are printed beside it [m]."""
    return _mark("length", "apart", one, other)


def speeds_apart(one: float, other: float) -> str:
    """Write how far two speeds differ, as the two do that are printed beside it [m s⁻¹]."""
    return _mark("speed", "apart", one, other)


def speed(value: float, digits: int = 0) -> str:
    """Write a speed, whole or with so many decimals [m s⁻¹]."""
    return _mark("speed", "one", value, digits)


def speed_in_both(value: float) -> str:
    """Write a speed with the other unit beside it: `98 kt (181 km/h)` [m s⁻¹]."""
    return _mark("speed", "both", value)


def speed_sd(sd: float, digits: int = 0) -> str:
    """Write the standard deviation of a speed, never as nothing [m s⁻¹]."""
    return _mark("speed", "sd", sd, digits)


def length_sd(sd: float) -> str:
    """Write the standard deviation of a length, never as nothing [m]."""
    return _mark("length", "sd", sd)


def stated_length(value: float) -> str:
    """Write a length that a publication states in feet, which stands beside its meters [m]."""
    return _mark("length", "stated", value)


def stated_lengths(low: float, high: float) -> str:
    """Write two such lengths as from one to another [m]."""
    return _mark("length", "stated-range", low, high)


def stated_speed(value: float) -> str:
    """Write a speed that a publication states in knots, which stands beside the metric one [m s⁻¹]."""
    return _mark("speed", "stated", value)


def in_us(sentence: str) -> str:
    """Return a sentence in feet and knots."""
    return _set_in(sentence, 0)


def in_metric(sentence: str) -> str:
    """Return a sentence in meters and kilometers per hour, what is stated in feet or knots beside them."""
    return _set_in(sentence, 1)


def _mark(quantity: str, form: str, *values: float) -> str:
    return f"{_BEGIN}{_PART.join([quantity, form, *(repr(float(value)) for value in values)])}{_END}"


def _set_in(sentence: str, which: int) -> str:
    def measure(found: re.Match[str]) -> str:
        quantity, form, *values = found[1].split(_PART)
        us, metric = _UNITS[quantity]
        numbers = [float(value) for value in values]
        if form.startswith("stated") and which:
            say = _FORMS["range" if form == "stated-range" else "one"]
            return f"{say(metric, numbers)} {metric.name} ({say(us, numbers)} {us.name})"
        unit, other = (us, metric)[which], (metric, us)[which]
        if form == "both":
            return f"{_one(unit, numbers)} {unit.name} ({_one(other, numbers)} {other.name})"
        return f"{_FORMS[form](unit, numbers)} {unit.name}"

    return _MARK.sub(measure, sentence)


def _one(unit: _Read, numbers: list[float]) -> str:
    value, *digits = numbers
    return _number(value / unit.size, int(digits[0]) if digits else 0)


def _about(unit: _Read, numbers: list[float]) -> str:
    return _number(unit.coarse * round(numbers[0] / unit.size / unit.coarse), 0)


def _least(unit: _Read, numbers: list[float]) -> str:
    return _number(unit.coarse * ceil(numbers[0] / unit.size / unit.coarse - 1e-9), 0)


def _range(unit: _Read, numbers: list[float]) -> str:
    low, high = (_number(value / unit.size, 0) for value in numbers)
    return f"{low} to {high}"


def _apart(unit: _Read, numbers: list[float]) -> str:
    one, other = (round(value / unit.size) for value in numbers)
    return _number(abs(one - other), 0)


def _sd(unit: _Read, numbers: list[float]) -> str:
    sd, *digits = numbers
    decimals = int(digits[0]) if digits else 0
    return _number(max(sd / unit.size, 10.0**-decimals), decimals)


def _number(value: float, digits: int) -> str:
    return f"{round(value, digits) + 0.0:,.{digits}f}".replace("-", "\N{MINUS SIGN}")


_FORMS: Final[dict[str, Callable[[_Read, list[float]], str]]] = {
    "one": _one,
    "about": _about,
    "least": _least,
    "range": _range,
    "apart": _apart,
    "sd": _sd,
    "stated": _one,
    "stated-range": _range,
}
