"""All that the record knows of a lesson, told at once and as plain data."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

import msgspec
from sqlalchemy import Connection

from groundref.progress.flown import ElementFlown, ManeuverFlown
from groundref.record import schema
from groundref.record.lessons import LessonRow, LessonShown, lesson_row, shown
from groundref.record.results import document_of, in_force, own_verdicts, placed
from groundref.record.sealed import rows


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
    givers
        Who gave each own verdict, by start of the maneuver, code and quantity; None for somebody forgotten.
    """

    lesson: LessonShown
    turn: int
    debrief: dict[str, Any]
    givers: dict[tuple[str, str, str], str | None]

    def giver(self, flown: ManeuverFlown, element: ElementFlown) -> str | None:
        """Return who gave an element's own verdict."""
        return self.givers.get((flown.start, element.code, element.quantity))


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
    own = own_verdicts(connection, [row["id"]])[row["id"]]
    here = placed(own, [(one.kind, one.start) for one in lesson.maneuvers])
    ids = [each["person_id"] for each in here.values() if each["person_id"] is not None]
    names = {
        each["id"]: each["name"] for each in rows(connection, schema.person, schema.person.c.id.in_(ids))
    }
    debrief = msgspec.json.decode(document_of(connection, result, f"lesson {number}, debrief"))
    givers = {key: names.get(each["person_id"]) for key, each in here.items()}
    return LessonTold(lesson, result["turn"], debrief, givers)


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
                "own": element.own,
                "reason": element.reason or None,
                "by": one.giver(flown, element),
            }
            for flown in lesson.maneuvers
            for element in flown.elements
            if element.own is not None
        ],
        "maneuvers": [asdict(flown) for flown in lesson.maneuvers],
        "debrief": one.debrief,
    }
