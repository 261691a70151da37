"""What the next exercise is planned from: the maneuvers of one kind in the JSON of a debrief."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from msgspec import Struct, field

from groundref import documents
from groundref.errors import InputError, UsageError
from groundref.units import degree, foot

SCHEMA: Final = "groundref/debrief/1"
_REMEDY: Final = "give the file that groundref debrief --json wrote"
_LEVEL: Final = frozenset({"msl", "indicated"})
"""Datums of an altitude that, less the height above the ground, leaves the ground's elevation."""
_STEP: Final = 10.0 * foot
"""Elevations are told in tens of feet: none of them is known better."""


class LastWind(Struct):
    """Wind and airspeed of a maneuver."""

    from_deg: float
    speed_kt: float
    tas_kt: float


class LastFinding(Struct):
    """A common error that was found."""

    fault: str
    says: str = ""


class LastElement(Struct):
    """An element of the standard and its verdict."""

    code: str
    what: str
    verdict: str


class LastLeg(Struct):
    """A leg of a circuit."""

    name: str = ""
    course_deg: float | None = None


class LastLap(Struct):
    """A lap, half circle, loop, circuit or turn."""

    turn_deg: float | None = None
    legs: list[LastLeg] = field(default_factory=list)


class LastReference(Struct):
    """What was flown about."""

    type: str = "none"
    lat: float | None = None
    lon: float | None = None
    bearing_deg: float | None = None
    ends: list[tuple[float, float]] = field(default_factory=list)
    corners: list[tuple[float, float]] = field(default_factory=list)
    points: list[tuple[float, float]] = field(default_factory=list)
    source: str = ""


class LastAltitude(Struct):
    """Altitude at the start and the height above the ground there."""

    datum: str = ""
    reference_ft: float | None = None
    height_agl_ft: float | None = None


class LastManeuver(Struct):
    """A maneuver, as far as the next one is planned from it."""

    kind: str
    direction: str
    radius_ft: float | None = None
    wind: LastWind | None = None
    reference: LastReference | None = None
    altitude: LastAltitude | None = None
    laps: list[LastLap] = field(default_factory=list)
    findings: list[LastFinding] = field(default_factory=list)
    elements: list[LastElement] = field(default_factory=list)

    @property
    def first_turn(self) -> str:
        """Direction of its first turn, `left` or `right`; empty where it is not known."""
        if self.direction in ("left", "right"):
            return self.direction
        turned = self.laps[0].turn_deg if self.laps else None
        return "" if not turned else "left" if turned < 0.0 else "right"


class _Flight(Struct):
    start: str = ""


class _Plan(Struct):
    kind: str = ""
    bank_limit_deg: float | None = None


class _File(Struct):
    schema: str
    maneuvers: list[LastManeuver]
    flight: _Flight | None = None
    plan: _Plan | None = None


@dataclass(frozen=True, slots=True)
class Last:
    """The maneuvers of one kind in a debrief.

    Attributes
    ----------
    maneuvers
        In the order flown, one at least.
    day
        Of the flight, UTC; None where not known.
    bank_limit
        That the plan asked for which they were flown by; None without such a plan [rad]
    """

    maneuvers: Sequence[LastManeuver]
    day: date | None = None
    bank_limit: float | None = None

    @property
    def last(self) -> LastManeuver:
        """The last of them."""
        return self.maneuvers[-1]

    @property
    def elevation(self) -> float | None:
        """Elevation of the ground, the altitude less the height above it; None where not known [m]."""
        altitude = self.last.altitude
        if altitude is None or altitude.datum not in _LEVEL:
            return None
        if altitude.reference_ft is None or altitude.height_agl_ft is None:
            return None
        return _STEP * round((altitude.reference_ft - altitude.height_agl_ft) * foot / _STEP)


def read_last(path: str, kind: str) -> Last:
    """Read the maneuvers of a kind from the JSON of a debrief, in the order flown.

    Parameters
    ----------
    path
        Of the JSON.
    kind
        Such as `s-turns`.

    Raises
    ------
    UsageError
        When there is nothing of the kind in it.
    InputError
        When there is no such file, or it is no debrief.
    """
    return parse_last(documents.content_of(path, _REMEDY), path, kind)


def parse_last(content: bytes, where: str, kind: str) -> Last:
    """Read the maneuvers of a kind from the bytes of a debrief's JSON; ``where`` names it in messages."""
    file = documents.parse(content, where, _File, schema=SCHEMA, noun="a debrief", remedy=_REMEDY)
    flown = tuple(each for each in file.maneuvers if each.kind == kind)
    if not flown:
        had = ", ".join(dict.fromkeys(each.kind for each in file.maneuvers)) or "no maneuver at all"
        raise UsageError(
            f"no {kind} was flown in it, but {had}", where, "plan what was flown, or another debrief"
        )
    limit = None if file.plan is None or file.plan.kind != kind else file.plan.bank_limit_deg
    return Last(
        maneuvers=flown,
        day=_day(file.flight.start, where) if file.flight is not None and file.flight.start else None,
        bank_limit=None if limit is None else limit * degree,
    )


def _day(text: str, where: str) -> date:
    try:
        return datetime.fromisoformat(text).date()
    except ValueError as problem:
        raise InputError(f"{text!r} is not a time", f"{where}: flight.start", _REMEDY) from problem
