"""The record as flat tables: lessons, maneuvers, elements and faults, one row each.

Of each lesson the debrief that was signed counts, else the latest. Units stand in the headings, or in a
column of their own where they differ from row to row.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import isfinite
from typing import Any, Final

from sqlalchemy import Connection

from groundref.progress.flown import ElementFlown, ManeuverFlown
from groundref.record import schema
from groundref.record.lessons import LessonRow, listed
from groundref.record.results import in_force, maneuvers_of
from groundref.record.sealed import rows
from groundref.record.tallies import incomplete

_DIGITS: Final = 6
_MANY: Final = 500  # lessons at a time: those of a flight school need not all be in memory with every figure

Kinds = dict[str, type]  # of values, by heading
Row = tuple[Any, ...]
Flown = tuple[LessonRow, dict[str, Any] | None, tuple[ManeuverFlown, ...]]

_WHICH: Final[Kinds] = {"lesson": int, "date": str, "student": str}
_OF_MANEUVER: Final[Kinds] = {**_WHICH, "maneuver": int, "kind": str, "direction": str}

HEADINGS: Final[dict[str, Kinds]] = {
    "lessons": {
        **_WHICH,
        **dict.fromkeys(
            ("instructor", "airplane", "site", "start_utc", "end_utc", "standard", "version"), str
        ),
        "maneuvers": int,
        **dict.fromkeys(("flown", "remarks", "signed_by", "signed_at_utc"), str),
        "on_the_ground": str,
    },
    "maneuvers": {
        **_OF_MANEUVER,
        **{"confidence": float, "start_utc": str, "end_utc": str, "laps": int},
        **dict.fromkeys(("wind_from_deg", "wind_kt", "wind_sd_kt", "tas_kt"), float),
        **dict.fromkeys(("radius_ft", "radius_sd_ft"), float),
        **dict.fromkeys(("elements_met", "elements_not_met", "elements_undetermined", "faults"), int),
    },
    "elements": {
        **_OF_MANEUVER,
        **dict.fromkeys(
            ("code", "what", "quantity", "basis", "verdict", "own_verdict", "reason", "decided"), str
        ),
        **dict.fromkeys(("limit", "minimum", "target", "worst", "worst_sd"), float),
        "unit": str,
    },
    "faults": {
        **_OF_MANEUVER,
        **{"fault": str, "size": float, "size_sd": float, "size_unit": str, "strength": float},
    },
}


def table(connection: Connection, name: str, student: str | None = None) -> dict[str, list[Any]]:
    """Return a table by columns, the earliest lesson first.

    Parameters
    ----------
    connection
        In a transaction.
    name
        One of `HEADINGS`.
    student
        Only this one's lessons.

    Returns
    -------
    dict
        Values by heading, None where there is none.

    Raises
    ------
    RecordError
        When the record knows no such person.
    """
    lessons = listed(connection, student=student)[::-1]
    told = [row for one in _flown(connection, lessons) for row in _ROWS[name](*one)]
    return {
        heading: [_rounded(row[n]) if kind is float else row[n] for row in told]
        for n, (heading, kind) in enumerate(HEADINGS[name].items())
    }


def _rounded(value: float | None) -> float | None:
    """Return a figure as a table shows it; what was measured is not known to more digits than these.

    `record.json` and the debriefs beside the tables keep each as it is.
    """
    return value if value is None or not isfinite(value) else float(f"{value:.{_DIGITS}g}")


def _flown(connection: Connection, lessons: tuple[LessonRow, ...]) -> Iterator[Flown]:
    """Yield each lesson with the debrief that counts and what was flown by it."""
    for first in range(0, len(lessons), _MANY):
        some = lessons[first : first + _MANY]
        which = schema.lesson.c.number.in_([one.number for one in some])
        found = {row["number"]: row for row in rows(connection, schema.lesson, which)}
        if len(found) != len(some):
            raise incomplete(schema.lesson, len(found), len(some))
        results = in_force(connection, list(found.values()))
        flown = maneuvers_of(connection, results)
        for one in some:
            identity = found[one.number]["id"]
            yield one, results.get(identity), flown.get(identity, ())


def _lesson(one: LessonRow, result: dict[str, Any] | None, flown: tuple[ManeuverFlown, ...]) -> Iterator[Row]:
    kinds = ", ".join(f"{times} {kind}" for kind, times in one.flown)
    yield (
        *(one.number, one.date, one.student, one.instructor, one.airplane, one.site, one.start, one.end),
        *((None, None) if result is None else (result["standard"], result["version"])),
        *(len(flown), kinds, one.remarks, one.signed_by, one.signed_at),
        "yes" if one.on_the_ground else "no",
    )


def _maneuvers(one: LessonRow, _: object, flown: tuple[ManeuverFlown, ...]) -> Iterator[Row]:
    for each in flown:
        decided = [element.decided for element in each.elements]
        yield (
            *_which(one, each),
            *(each.confidence, each.start, each.end, each.laps),
            *(each.wind_from_deg, each.wind_kt, each.wind_sd_kt, each.tas_kt),
            *(each.radius_ft, each.radius_sd_ft),
            *(decided.count(verdict) for verdict in ("met", "not-met", "undetermined")),
            len(each.faults),
        )


def _elements(one: LessonRow, _: object, flown: tuple[ManeuverFlown, ...]) -> Iterator[Row]:
    for each in flown:
        for element in each.elements:
            yield (*_which(one, each), *_words(element), *_figures(element), element.unit)


def _words(one: ElementFlown) -> Row:
    return one.code, one.what, one.quantity, one.basis, one.verdict, one.own, one.reason, one.decided


def _figures(one: ElementFlown) -> Row:
    return one.limit, one.minimum, one.target, one.worst, one.worst_sd


def _faults(one: LessonRow, _: object, flown: tuple[ManeuverFlown, ...]) -> Iterator[Row]:
    for each in flown:
        for fault in each.faults:
            yield (
                *_which(one, each),
                *(fault.fault, fault.size, fault.size_sd, fault.size_unit, fault.strength),
            )


def _which(one: LessonRow, maneuver: ManeuverFlown) -> Row:
    return one.number, one.date, one.student, maneuver.number, maneuver.kind, maneuver.direction


_ROWS: Final[dict[str, Callable[..., Iterator[Row]]]] = {
    "lessons": _lesson,
    "maneuvers": _maneuvers,
    "elements": _elements,
    "faults": _faults,
}
