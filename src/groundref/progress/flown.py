"""What was flown in a lesson, in the figures that the record keeps and progress is told from.

They are taken from the debrief's JSON, so that a lesson debriefed by an older version, or exported and
brought back, counts like any other. Units are those of the JSON and stand in the names.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import hypot
from typing import Any, Final

from groundref.errors import InputError

SCHEMA: Final = "groundref/debrief/1"


@dataclass(frozen=True, slots=True)
class ElementFlown:
    """One element of the standard as it was flown.

    Attributes
    ----------
    code, what, quantity
        As in the standard; ``quantity`` is empty where the debrief is too old to say it.
    verdict
        The program's: `met`, `not-met` or `undetermined`.
    limit, minimum, target
        What is asked, None where nothing is [``unit``]
    unit
        `ft`, `kt`, `deg`, `g`, `s` or empty.
    basis
        `standard`, `handbook` or `practice`.
    worst, worst_sd
        The worst that supports the verdict and its standard deviation, None when not measured [``unit``]
    own
        The instructor's own verdict, which goes before the program's; None when there is none.
    reason
        Why the instructor's differs; empty when there is none.
    """

    code: str
    what: str
    quantity: str
    verdict: str
    limit: float | None
    minimum: float | None
    target: float | None
    unit: str
    basis: str
    worst: float | None
    worst_sd: float | None
    own: str | None = None
    reason: str = ""

    @property
    def decided(self) -> str:
        """The verdict that counts: the instructor's where there is one, else the program's."""
        return self.own if self.own is not None else self.verdict


@dataclass(frozen=True, slots=True)
class OwnVerdict:
    """The instructor's own verdict on an element, with who gave it.

    Attributes
    ----------
    verdict
        `met`, `not-met` or `undetermined`.
    reason
        Why; may be empty where the recording does not show otherwise.
    by
        The instructor's name, None for somebody forgotten.
    given
        When, UTC.
    """

    verdict: str
    reason: str
    by: str | None
    given: str


@dataclass(frozen=True, slots=True)
class FaultFlown:
    """One common error that was found.

    Attributes
    ----------
    fault
        Its name.
    size, size_sd
        How large, and its standard deviation [``size_unit``]
    size_unit
        Unit of both.
    strength
        Size over the size that an instructor would mention; None where the debrief does not say it.
    """

    fault: str
    size: float | None
    size_sd: float | None
    size_unit: str
    strength: float | None


@dataclass(frozen=True, slots=True)
class ManeuverFlown:
    """One maneuver of a lesson.

    Attributes
    ----------
    number
        In the lesson, from 1.
    kind, direction, confidence
        As detected.
    start, end
        UTC, as in the JSON.
    laps
        How many.
    wind_from_deg, wind_kt, wind_sd_kt
        Wind while it was flown, true; the standard deviation is of its speed.
    tas_kt
        True airspeed.
    radius_ft, radius_sd_ft
        Mean radius, None where there is none.
    elements, faults
        What was judged and found.
    """

    number: int
    kind: str
    direction: str
    confidence: float | None
    start: str
    end: str
    laps: int
    wind_from_deg: float | None
    wind_kt: float | None
    wind_sd_kt: float | None
    tas_kt: float | None
    radius_ft: float | None
    radius_sd_ft: float | None
    elements: tuple[ElementFlown, ...]
    faults: tuple[FaultFlown, ...]


@dataclass(frozen=True, slots=True)
class LessonFlown:
    """One lesson of a student.

    Attributes
    ----------
    number
        In the record.
    date
        When it was flown, `2026-05-01`.
    standard
        Name of the standard that it was judged by.
    maneuvers
        In the order flown.
    on_the_ground
        Whether it is a try, flown on the ground; it is no lesson that progress is told from.
    """

    number: int
    date: str
    standard: str
    maneuvers: tuple[ManeuverFlown, ...]
    on_the_ground: bool = False


def flown_in(document: Mapping[str, Any], where: str = "debrief") -> tuple[ManeuverFlown, ...]:
    """Return the maneuvers of a debrief's JSON.

    Parameters
    ----------
    document
        The debrief as plain data.
    where
        What to call it in messages.

    Raises
    ------
    InputError
        When it is no debrief.
    """
    if document.get("schema") != SCHEMA:
        raise InputError(f"its schema is {document.get('schema')!r} and not {SCHEMA!r}", where)
    try:
        return tuple(_maneuver(n, one) for n, one in enumerate(document["maneuvers"], start=1))
    except (KeyError, TypeError, AttributeError) as problem:
        raise InputError(f"this is not a debrief ({problem!r})", where) from problem


def _maneuver(number: int, one: Mapping[str, Any]) -> ManeuverFlown:
    wind = one.get("wind") or {}
    return ManeuverFlown(
        number=number,
        kind=one["kind"],
        direction=one["direction"],
        confidence=one.get("confidence"),
        start=one["start"],
        end=one["end"],
        laps=len(one["laps"]),
        wind_from_deg=wind.get("from_deg"),
        wind_kt=wind.get("speed_kt"),
        wind_sd_kt=_speed_sd(wind),
        tas_kt=wind.get("tas_kt"),
        radius_ft=one.get("radius_ft"),
        radius_sd_ft=one.get("radius_sd_ft"),
        elements=tuple(_element(each) for each in one["elements"]),
        faults=tuple(_fault(each) for each in one["findings"]),
    )


def _speed_sd(wind: Mapping[str, Any]) -> float | None:
    """Return the standard deviation of the wind's speed: that of one axis, the root mean square of both."""
    north, east = wind.get("north_sd_kt"), wind.get("east_sd_kt")
    return None if north is None or east is None else hypot(north, east) / 2**0.5


def _element(one: Mapping[str, Any]) -> ElementFlown:
    return ElementFlown(
        code=one["code"],
        what=one["what"],
        quantity=one.get("quantity", ""),
        verdict=one["verdict"],
        limit=one["limit"],
        minimum=one.get("minimum"),
        target=one.get("target"),
        unit=one.get("unit") or "",
        basis=one.get("basis", "standard"),
        worst=one["worst"],
        worst_sd=one["worst_sd"],
    )


def _fault(one: Mapping[str, Any]) -> FaultFlown:
    return FaultFlown(
        fault=one["fault"],
        size=one["size"],
        size_sd=one["size_sd"],
        size_unit=one["size_unit"],
        strength=one.get("strength"),
    )
