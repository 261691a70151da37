"""All that the record knows of a lesson, told at once and as plain data."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any

import msgspec
from sqlalchemy import Connection

from groundref.progress.flown import ElementFlown, ManeuverFlown, OwnVerdict
from groundref.record import schema
from groundref.record.lessons import LessonRow, LessonShown, lesson_row, shown
from groundref.record.results import Own, document_of, in_force, own_verdicts, placed
from groundref.record.sealed import rows

Decided = dict[tuple[int, str, str], OwnVerdict]


@dataclass(frozen=True, slots=True)
class LessonTold:
    """A lesson with the debrief that counts.

    Attributes
    ----------
    lesson
        Who, where, what was flown with the instructor's own verdicts, remarks, signature, results kept.
    turn
        Number of the result that counts.
    debrief
        Its JSON as plain data.
    own
        Each own verdict with who gave it, by number of the maneuver, code and quantity.
    """

    lesson: LessonShown
    turn: int
    debrief: dict[str, Any]
    own: Decided

    def decided(self, flown: ManeuverFlown, element: ElementFlown) -> OwnVerdict | None:
        """Return an element's own verdict; None where the instructor gave none."""
        return self.own.get((flown.number, element.code, element.quantity))


def told(connection: Connection, number: int) -> LessonTold:
    """Return a lesson.

    Raises
    ------
    RecordError
        When there is no lesson of that number.
    """
    row = lesson_row(connection, number)
    lesson = shown(connection, number)
    result = in_force(connection, [row])[row["id"]]
    own = decided(given_on(connection, row), [(one.kind, one.start) for one in lesson.maneuvers])
    debrief = msgspec.json.decode(document_of(connection, result, f"lesson {number}, debrief"))
    return LessonTold(lesson, result["turn"], debrief, own)


def given_on(connection: Connection, lesson: dict[str, Any]) -> Own:
    """Return the own verdicts on a lesson, each with the name of who gave it as `by`.

    Parameters
    ----------
    connection
        In a transaction.
    lesson
        Its row.
    """
    own = own_verdicts(connection, [lesson["id"]])[lesson["id"]]
    ids = [each["person_id"] for each in own.values() if each["person_id"] is not None]
    names = {
        each["id"]: each["name"] for each in rows(connection, schema.person, schema.person.c.id.in_(ids))
    }
    return {key: {**each, "by": names.get(each["person_id"])} for key, each in own.items()}


def decided(given: Own, maneuvers: Sequence[tuple[str, str]]) -> Decided:
    """Return own verdicts by the maneuvers of a debrief of the lesson, which may begin otherwise.

    Parameters
    ----------
    given
        As ``given_on`` returns them.
    maneuvers
        Kind and start of each.
    """
    numbers = {start: number for number, (_, start) in enumerate(maneuvers, start=1)}
    return {
        (numbers[start], code, quantity): OwnVerdict(row["verdict"], row["reason"], row["by"], row["given"])
        for (start, code, quantity), row in placed(given, maneuvers).items()
    }


def head(row: LessonRow) -> dict[str, Any]:
    """Return who flew a lesson, where and when, remarks and signature, as plain data."""
    return {
        "lesson": row.number,
        "date": row.date,
        "start": row.start,
        "end": row.end,
        "student": row.student,
        "instructor": row.instructor,
        "airplane": row.airplane,
        "site": row.site,
        "remarks": row.remarks,
        "signed_by": row.signed_by,
        "signed_at": row.signed_at,
        "on_the_ground": row.on_the_ground,
    }


def to_dict(one: LessonTold) -> dict[str, Any]:
    """Return a lesson as plain data."""
    lesson = one.lesson
    return {
        **head(lesson.row),
        "asked": msgspec.json.decode(lesson.asked.to_json()),
        "recordings": [{"name": name, "sha256": sha256} for name, sha256 in lesson.parts],
        "has_plan": lesson.has_plan,
        "results": [
            {"result": turn, "version": version, "computed": computed, "counts": turn == one.turn}
            for turn, version, computed in lesson.results
        ],
        "own_verdicts": [
            {
                "maneuver": flown.number,
                "kind": flown.kind,
                "code": element.code,
                "quantity": element.quantity,
                "what": element.what,
                "verdict": element.verdict,
                "own": own.verdict,
                "reason": own.reason or None,
                "by": own.by,
                "given": own.given,
            }
            for flown in lesson.maneuvers
            for element in flown.elements
            if (own := one.decided(flown, element)) is not None
        ],
        "maneuvers": [asdict(flown) for flown in lesson.maneuvers],
        "debrief": one.debrief,
    }
