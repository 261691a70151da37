"""Elements of a standard: limit, estimate and standard deviation give met, not-met or undetermined.

A verdict is given when it is at least nine in ten likely: when the limit lies 1.2816 standard deviations or
more from the value that decides (`decisive.decide`, one-sided 90 %). Nearer than that it is undetermined.
One more thing is asked: a derived airspeed that wanders in step with laps all one way about a point shows
nothing at all, so that its deviation is in part an assumption. It is called held only when the limit lies
`KEPT_ROOM` standard deviations away.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from types import UnionType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.assessment.assessed import ElementResult
from groundref.assessment.course_measures import entry_angle, leg_distance
from groundref.assessment.decisive import decide, margin
from groundref.assessment.details import EightFlown, LineFlown, PivotalFlown
from groundref.assessment.faults.bank_not_held import bank_held
from groundref.assessment.faults.outside_height_band import heights
from groundref.assessment.faults.rollout_heading_missed import rollout_heading
from groundref.assessment.faults.uncoordinated import smoothed
from groundref.assessment.flown import Flown
from groundref.assessment.held import Deviation
from groundref.assessment.measured import Measured
from groundref.assessment.measures_line import crossing, level_at_line
from groundref.assessment.pivotal_measures import pivotal_height, pylon, straight_segment
from groundref.assessment.unplaced import moving
from groundref.measures import in_us
from groundref.standards.standard import Element
from groundref.units import degree, foot, knot, standard_gravity

Floats = NDArray[np.float64]

_UNITS: Final = {"ft": foot, "kt": knot, "deg": degree, "g": standard_gravity, "s": 1.0}
_DIGITS: Final = {"ft": 0, "kt": 1, "deg": 1, "g": 2, "s": 1}
_DERIVED: Final = (
    "entry",
    "entry-angle",
    "leg-distance",
    "radius",
    "pylon",
    "pivotal-height",
    "straight-segment",
)  # always derived from positions
_MEASURED_IN: Final[dict[str, type | UnionType]] = {
    "crossing": LineFlown,
    "level-at-line": LineFlown | EightFlown,
    "straight-segment": PivotalFlown | EightFlown,
}
KEPT_ROOM: Final = 1.96  # standard deviations within the limit from which a hidden airspeed is called held
_SINGLE: Final = ("altitude", "height-band")  # what single samples can show, however seldom they were taken


@dataclass(frozen=True, slots=True)
class Worst:
    """The worst value that supports the verdict, or the largest where nothing is to be decided.

    Attributes
    ----------
    value, sd
        It and its standard deviation [SI]
    time
        When [s]
    """

    value: float
    sd: float
    time: float


def judge(flown: Flown) -> tuple[ElementResult, ...]:
    """Judge every element of the standard's task, in the order printed; none when it has no such task."""
    return tuple(
        _judge(element, flown) for element in (flown.task.elements if flown.task is not None else ())
    )


def _judge(element: Element, flown: Flown) -> ElementResult:
    """Judge one element."""
    if element.quantity == "observed":
        return _result(element, "undetermined", None, "Only an instructor in the airplane can see this.")
    if element.quantity not in _MEASURES:
        return _result(element, "undetermined", None, "This is not measured for this maneuver.")
    lost = flown.seldom and element.quantity not in _SINGLE
    if lost or (flown.poor and element.quantity in _DERIVED):
        return _result(element, "undetermined", None, _poor(flown))
    measured = _MEASURES[element.quantity](flown)
    if measured is None or not measured.known:
        return _result(element, "undetermined", None, _not_measured(element, flown))
    verdict, worst = _decided(element, measured, hidden=_hidden(element, flown))
    if element.limit is None:
        return _result(element, "undetermined", worst, f"No number is printed; {_flown(element, worst)}.")
    if element.quantity == "radius" and not element.published and moving(flown):
        return _result(element, "undetermined", worst, _moved(element, worst))
    if not element.published:
        words = {"met": "within", "not-met": "outside", "undetermined": "too near to tell from"}[verdict]
        why = f"No number is printed; {_flown(element, worst)}, {words} the usual {_limit(element)}."
        return _result(element, "undetermined", worst, why)
    if flown.seldom and verdict == "met":
        why = f"{_flown(element, worst).capitalize()} at the samples, but {flown.poor}."
        return _result(element, "undetermined", worst, why)
    why = _why(element, verdict, worst) + _from_where(element, flown)
    if verdict == "undetermined" and _hidden(element, flown) and _decided(element, measured)[0] == "met":
        why += _may_hide(element, worst)
    return _result(element, verdict, worst, why)


def _decided(element: Element, measured: Measured, *, hidden: bool = False) -> tuple[str, Worst]:
    """Return the verdict on one limit, or on the two of a band, with the value to state beside it."""
    if element.limit is None:
        verdict, at = "undetermined", int(np.nanargmax(measured.value))
    else:
        unit = _UNITS[element.unit]
        low = -np.inf if element.minimum is None else element.minimum * unit
        verdict, at = decide(measured.value, measured.sd, low, element.limit * unit)
        if verdict == "met" and hidden:
            sd = measured.sd * (KEPT_ROOM / margin)
            verdict, at = decide(measured.value, sd, low, element.limit * unit)
    return verdict, Worst(float(measured.value[at]), float(measured.sd[at]), float(measured.time[at]))


def _hidden(element: Element, flown: Flown) -> bool:
    """Return whether a deviation may be hidden wholly: of a derived airspeed, in step with laps one way."""
    if element.quantity != "airspeed" or flown.airspeed is None or flown.airspeed.source != "derived":
        return False
    return flown.maneuver.kind == "turns-around-a-point" and flown.maneuver.direction != "both"


def _may_hide(element: Element, worst: Worst) -> str:
    """Return the sentence, with a space before, on an airspeed that is open for a hidden wander alone.

    It would be met where nothing can be hidden; what it reaches to is that of the deviation printed beside.
    """
    unit, digits = _UNITS[element.unit], _DIGITS[element.unit]
    # Rounded up: it lies beyond the limit, however little.
    reach = np.ceil((worst.value + KEPT_ROOM * worst.sd) / unit * 10**digits - 1e-9) / 10**digits
    return (
        " Airspeed was not recorded, and one that rises and falls once a lap shows nowhere in the path: it "
        "is called held only where all of the 95% lies within the limit, and here that reaches to "
        f"{reach:,.{digits}f}{_said(element.unit)}."
    )


def _from_where(element: Element, flown: Flown) -> str:
    """Return the sentence, with a space before, that tells a value of reference other than the start."""
    deviation = {"altitude": flown.altitude, "airspeed": flown.airspeed}.get(element.quantity)
    if deviation is None or deviation.reference_from == "start":
        return ""
    return " It is compared with the middle of what was flown: the start was not recorded."


def _poor(flown: Flown) -> str:
    """Return why a quantity cannot be told from what was recorded."""
    return f"Recorded too {'seldom' if flown.seldom else 'coarsely'} to judge this: {flown.poor}."


def _not_measured(element: Element, flown: Flown) -> str:
    """Return why a quantity is not known."""
    if element.quantity == "entry" and not flown.beginning.recorded:
        return "The entry was not recorded."
    if element.quantity == "entry" and not flown.beginning.straight:
        return "There was no straight flight before the turn."
    if element.quantity == "height-band" and flown.ground_above:
        return "The given ground lies above the airplane."
    if element.quantity == "pivotal-height" and flown.maneuver.reference.elevations:
        return "The elevation given of a pylon lies above the airplane."
    if element.quantity in ("bank", "airspeed") and flown.poor:
        return _poor(flown)
    if not isinstance(flown.details, _MEASURED_IN.get(element.quantity, object)):
        return "This is not measured for this maneuver."
    return _NOT_MEASURED[element.quantity]


def _why(element: Element, verdict: str, worst: Worst) -> str:
    """Return the reason of a verdict on a printed limit."""
    clause = {
        "met": "within",
        "not-met": "outside",
        "undetermined": "and the measurement cannot tell it from",
    }[verdict]
    what = "the handbook's advice of" if element.basis == "handbook" else "the limit of"
    return f"{_flown(element, worst).capitalize()}, {clause} {what} {_limit(element)} ({element.source})."


def _moved(element: Element, worst: Worst) -> str:
    """Return why a distance from circles that moved with the wind is not judged."""
    return (
        f"No number is printed; {_flown(element, worst)}, and the bank was held: the circles moved with the "
        f"wind and have no middle to keep a distance from, so that the usual {_limit(element)} is no measure."
    )


def _flown(element: Element, worst: Worst) -> str:
    """Return what was flown, with its standard deviation."""
    value, sd = worst.value / _UNITS[element.unit], worst.sd / _UNITS[element.unit]
    digits = _DIGITS[element.unit]
    unit = _said(element.unit)
    return f"flown {value:,.{digits}f}{unit} (± {sd:,.{digits}f}{unit})".replace("-", "−")


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
        why=in_us(why),
        published=element.published and element.basis == "standard",
        basis=element.basis if element.published else "practice",
        quantity=element.quantity,
        minimum=element.minimum,
        target=element.target,
    )


def _of_deviation(deviation: Deviation | None, flown: Flown) -> Measured | None:
    """Return the sizes of the deviations."""
    return None if deviation is None else Measured(np.abs(deviation.value), deviation.sd, flown.time)


def _bank(flown: Flown) -> Measured | None:
    """Return the bank."""
    if flown.bank is None:
        return None
    return Measured(flown.bank.reference + flown.bank.value, flown.bank.sd, flown.time)


def _height(flown: Flown) -> Measured | None:
    """Return the height above the ground."""
    known = heights(flown)
    return None if known is None else Measured(*known, flown.time)


def _entry(flown: Flown) -> Measured | None:
    """Return how far the entry track was off the one to enter on."""
    off = flown.entry_missed
    if off is None:
        return None
    return Measured(np.abs([off[0]]), np.array([off[1]]), np.array([flown.maneuver.entry.turn_time]))


def _radius(flown: Flown) -> Measured | None:
    """Return the deviations from the mean radius after the roll-in."""
    position = flown.states.position_sd[flown.samples]
    common = np.hypot(flown.maneuver.reference.sd, flown.maneuver.radius_sd)
    radial = np.where(flown.steady, np.abs(flown.profile.radial), np.nan)
    return Measured(radial, np.hypot(position, common), flown.time)


def _coordination(flown: Flown) -> Measured | None:
    """Return the lateral acceleration averaged over some seconds."""
    measured = smoothed(flown)
    if measured is None:
        return None
    return Measured(np.abs(measured[0]), np.full(flown.time.size, measured[1]), flown.time)


_MEASURES: Final[dict[str, Callable[[Flown], Measured | None]]] = {
    "altitude": lambda flown: _of_deviation(flown.altitude, flown),
    "airspeed": lambda flown: _of_deviation(flown.airspeed, flown),
    "height-band": _height,
    "bank": _bank,
    "bank-held": bank_held,
    "rollout-heading": rollout_heading,
    "entry": _entry,
    "radius": _radius,
    "coordination": _coordination,
    "crossing": crossing,
    "level-at-line": level_at_line,
    "entry-angle": entry_angle,
    "leg-distance": leg_distance,
    "pylon": pylon,
    "pivotal-height": pivotal_height,
    "straight-segment": straight_segment,
}
_NOT_MEASURED: Final = {
    "altitude": "No altitude was recorded.",
    "airspeed": "Airspeed was not recorded and cannot be told from the motion over the ground.",
    "height-band": "The ground's elevation is not known; give it to have the height judged.",
    "bank": "Bank was not recorded and cannot be told from the motion.",
    "bank-held": "Bank was not recorded and cannot be told from the motion.",
    "rollout-heading": "There is no straight flight recorded before and after a turn.",
    "entry": "The wind cannot be told well enough to have a downwind.",
    "radius": "No distance from the point could be told after the roll-in.",
    "coordination": "Lateral acceleration was not recorded.",
    "crossing": "No crossing of the line between two half circles was flown.",
    "level-at-line": "The bank at the line cannot be told: the flight through level is too short for it.",
    "entry-angle": "No straight flight up to the first leg was recorded.",
    "leg-distance": "The corners of the field were not given, so the distance from its sides is not known.",
    "pylon": "The heading cannot be told from the motion.",
    "pivotal-height": "The elevation of the ground at the pylons is not known; give it to have this judged.",
    "straight-segment": "The straight flight between the turns was too short to be measured.",
}
