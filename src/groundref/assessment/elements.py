"""Elements of a standard: limit, estimate and standard deviation give met, not-met or undetermined.

A limit lies within the measurement's uncertainty when it is less than 1.96 standard deviations from the
worst value: the 95 % interval, two-sided. Each verdict is one-sided, for which 1.64 would do; the wider
interval is kept because the worst of many samples is tested, and a wrong verdict costs more than an open one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np

from groundref.assessment.assessed import ElementResult
from groundref.assessment.faults.entry_not_downwind import off_downwind
from groundref.assessment.faults.outside_height_band import worst_height
from groundref.assessment.faults.uncoordinated import smoothed
from groundref.assessment.flown import Flown
from groundref.assessment.held import Deviation
from groundref.standards.standard import Element
from groundref.units import degree, foot, knot, standard_gravity

interval: Final = 1.96  # standard deviations either side of the worst value

_UNITS: Final = {"ft": foot, "kt": knot, "deg": degree, "g": standard_gravity}


@dataclass(frozen=True, slots=True)
class Worst:
    """The worst value of a quantity.

    Attributes
    ----------
    value, sd
        Worst value and its standard deviation [SI]
    time
        When [s]
    least, most
        Limits between which the worst lies with 95 % certainty; None when they are those of ``value`` alone.
        They differ when another moment, less bad but less certain, may have been the worst [SI]
    """

    value: float
    sd: float
    time: float
    least: float | None = None
    most: float | None = None


def judge(flown: Flown) -> tuple[ElementResult, ...]:
    """Judge every element of the standard's task, in the order printed; none when it has no such task."""
    return tuple(
        _judge(element, flown) for element in (flown.task.elements if flown.task is not None else ())
    )


def _judge(element: Element, flown: Flown) -> ElementResult:
    """Judge one element."""
    if element.quantity == "observed":
        return _result(element, "undetermined", None, "Only an instructor in the airplane can see this.")
    worst = _MEASURES[element.quantity](flown)
    if worst is None or not (np.isfinite(worst.value) and np.isfinite(worst.sd)):
        return _result(element, "undetermined", None, _NOT_MEASURED[element.quantity])
    if element.limit is None:
        return _result(element, "undetermined", worst, f"No number is printed; {_flown(element, worst)}.")
    verdict = _verdict(element, worst)
    if not element.published:
        words = {"met": "within", "not-met": "outside", "undetermined": "too near to tell from"}[verdict]
        why = f"No number is printed; {_flown(element, worst)}, {words} the usual {_limit(element)}."
        return _result(element, "undetermined", worst, why)
    return _result(element, verdict, worst, _why(element, verdict, worst))


def _verdict(element: Element, worst: Worst) -> str:
    """Compare a worst value with one limit, or with the two of a band."""
    unit = _UNITS[element.unit]
    reach = interval * worst.sd
    least = (worst.value - reach if worst.least is None else worst.least) / unit
    most = (worst.value + reach if worst.most is None else worst.most) / unit
    assert element.limit is not None  # the caller saw to it
    low = -np.inf if element.minimum is None else element.minimum
    if low <= least and most <= element.limit:
        return "met"
    if least > element.limit or most < low:
        return "not-met"
    return "undetermined"


def _why(element: Element, verdict: str, worst: Worst) -> str:
    """Return the reason of a verdict on a printed limit."""
    clause = {
        "met": "within",
        "not-met": "outside",
        "undetermined": "and the measurement cannot tell it from",
    }[verdict]
    return (
        f"{_flown(element, worst).capitalize()}, {clause} the limit of {_limit(element)} ({element.source})."
    )


def _flown(element: Element, worst: Worst) -> str:
    """Return what was flown, with its standard deviation."""
    value, sd = worst.value / _UNITS[element.unit], worst.sd / _UNITS[element.unit]
    digits = 2 if element.unit == "g" else 0
    unit = _said(element.unit)
    return f"flown {value:,.{digits}f}{unit} (± {sd:,.{digits}f}{unit})"


def _limit(element: Element) -> str:
    """Return the limit or the band with its unit."""
    low = "" if element.minimum is None else f"{element.minimum:,g} to "
    return f"{low}{element.limit:,g}{_said(element.unit)}"


def _said(unit: str) -> str:
    """Return a unit as it follows a number."""
    return "°" if unit == "deg" else f" {unit}"


def _result(element: Element, verdict: str, worst: Worst | None, why: str) -> ElementResult:
    """Put a result together in the element's unit."""
    unit = _UNITS.get(element.unit, 1.0)
    return ElementResult(
        code=element.code,
        what=element.what,
        verdict=verdict,
        limit=element.limit,
        unit=element.unit,
        worst=None if worst is None else worst.value / unit,
        worst_sd=None if worst is None else worst.sd / unit,
        time=None if worst is None else worst.time,
        why=why,
        published=element.published,
    )


def _of_deviation(deviation: Deviation | None, flown: Flown) -> Worst | None:
    """Return the largest deviation either way."""
    if deviation is None:
        return None
    at = deviation.worst
    size, reach = np.abs(deviation.value), interval * deviation.sd
    return Worst(
        value=float(size[at]),
        sd=float(deviation.sd[at]),
        time=float(flown.time[at]),
        least=float(np.nanmax(size - reach)),
        most=float(np.nanmax(size + reach)),
    )


def _bank(flown: Flown) -> Worst | None:
    """Return the steepest bank."""
    if flown.bank is None:
        return None
    at = int(np.nanargmax(flown.bank.value))
    sd = float(np.hypot(flown.bank.sd[at], flown.bank_bias))
    return Worst(float(flown.bank.reference + flown.bank.value[at]), sd, float(flown.time[at]))


def _height(flown: Flown) -> Worst | None:
    """Return the height farthest from the middle of the band."""
    worst = worst_height(flown)
    return None if worst is None else Worst(worst[1], worst[2], float(flown.time[worst[0]]))


def _entry(flown: Flown) -> Worst | None:
    """Return how far the entry track was off downwind."""
    off = off_downwind(flown)
    return None if off is None else Worst(abs(off[0]), off[1], flown.maneuver.entry.turn_time)


def _radius(flown: Flown) -> Worst | None:
    """Return the largest deviation from the mean radius after the roll-in."""
    used = flown.steady
    if not used.any():
        return None
    radial = np.where(used, np.abs(flown.profile.radial), -1.0)
    at = int(np.argmax(radial))
    position = float(flown.states.position_sd[flown.samples][at])
    sd = float(np.sqrt(position**2 + flown.maneuver.reference.sd**2 + flown.maneuver.radius_sd**2))
    return Worst(float(radial[at]), sd, float(flown.time[at]))


def _coordination(flown: Flown) -> Worst | None:
    """Return the largest lateral acceleration held for some seconds."""
    measured = smoothed(flown)
    if measured is None or not np.isfinite(measured[0]).any():
        return None
    at = int(np.nanargmax(np.abs(measured[0])))
    return Worst(float(abs(measured[0][at])), measured[1], float(flown.time[at]))


_MEASURES: Final[dict[str, Callable[[Flown], Worst | None]]] = {
    "altitude": lambda flown: _of_deviation(flown.altitude, flown),
    "airspeed": lambda flown: _of_deviation(flown.airspeed, flown),
    "height-band": _height,
    "bank": _bank,
    "entry": _entry,
    "radius": _radius,
    "coordination": _coordination,
}
_NOT_MEASURED: Final = {
    "altitude": "No altitude was recorded.",
    "airspeed": "Airspeed was not recorded and cannot be told from the motion over the ground.",
    "height-band": "The ground's elevation is not known; give it to have the height judged.",
    "bank": "Bank was not recorded and cannot be told from the motion.",
    "entry": "The wind cannot be told, or is too light to have a downwind.",
    "radius": "No distance from the point could be told after the roll-in.",
    "coordination": "Lateral acceleration was not recorded.",
}
