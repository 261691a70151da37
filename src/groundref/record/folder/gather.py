"""What of the record goes into the folder: rows turned into `record.json`, and the files beside it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from hashlib import sha256
from typing import Any, Final

import msgspec
from sqlalchemy import Connection, select

from groundref.errors import DamagedError
from groundref.record import schema
from groundref.record.asked import asked_in
from groundref.record.folder import naming, shape
from groundref.record.names import known
from groundref.record.sealed import of, rows, rows_with, whole
from groundref.record.tallies import REMEDY, compare, incomplete, values_tallied

TEXTS: Final = ("standard", "airplane", "columns")  # of what is asked: each a file of its own
Row = dict[str, Any]


@dataclass(slots=True)
class Gathered:
    """What is to be written.

    Attributes
    ----------
    document
        `record.json`.
    contents
        Of each other file: the name of its content in the record, or the bytes themselves.
    """

    document: shape.Document
    contents: dict[str, str | bytes]


@dataclass(slots=True)
class _Files:
    """Files beside `record.json`, as they are found to be needed."""

    sizes: dict[str, int]
    contents: dict[str, str | bytes] = field(default_factory=dict)

    def content(self, path: str, name: str) -> shape.File:
        """Refer to something large that lies in the record."""
        if name not in self.sizes:
            raise DamagedError("it is no longer in the record", path, REMEDY)
        self.contents[path] = name
        return shape.File(path, self.sizes[name], name)

    def text(self, path: str, text: str) -> shape.File:
        """Refer to a text that stands in a row."""
        said = text.encode()
        self.contents[path] = said
        return shape.File(path, len(said), sha256(said).hexdigest())


def gathered(connection: Connection, student: str | None = None) -> Gathered:
    """Return all of the record, or what concerns one student.

    Parameters
    ----------
    connection
        In a transaction.
    student
        Name of a student: only their lessons, what those need, and of other people the name alone.

    Raises
    ------
    RecordError
        When the record knows no such person.
    DamagedError
        When something is not what was written there.
    """
    table = schema.lesson
    if student is None:
        found = rows(connection, table)
        days = {row["date"] for row in found} | values_tallied(connection, table, "date").keys()
        compare(connection, table, "date", days, found)
        return _gathered(connection, found)
    person = known(connection, schema.person, student)
    return _gathered(connection, of(connection, table, "student_id", [person["id"]]), person["id"])


def lessons_of(connection: Connection, ids: Iterable[str]) -> tuple[shape.Lesson, ...]:
    """Return some lessons as they stand in `record.json`."""
    lessons = rows_with(connection, schema.lesson, "id", ids)
    belonging, files = _Belonging(connection, lessons), _Files(_sizes(connection))
    return tuple(_lesson(row, belonging, files) for row in lessons)


def _gathered(connection: Connection, lessons: list[Row], student_id: str | None = None) -> Gathered:
    files, belonging = _Files(_sizes(connection)), _Belonging(connection, lessons)
    told = tuple(
        _lesson(row, belonging, files) for row in sorted(lessons, key=lambda row: int(row["number"]))
    )
    needed = None if student_id is None else _needed(told)
    document = shape.Document(
        schema=shape.SCHEMA,
        holds="record" if student_id is None else "student",
        student_id=student_id,
        people=_people(_wanted(connection, schema.person, needed, student_id), student_id),
        airplanes=_airplanes(_wanted(connection, schema.airplane, needed), files),
        sites=tuple(map(_site, _wanted(connection, schema.site, needed))),
        recordings=tuple(_recordings(told, belonging, files)),
        lessons=told,
    )
    return Gathered(document, files.contents)


def _sizes(connection: Connection) -> dict[str, int]:
    """Return the size of everything large, by its SHA-256 [bytes]."""
    table = schema.content
    return {row.id: row.size for row in connection.execute(select(table.c.id, table.c.size))}


class _Belonging:
    """Rows that belong to lessons, by the lesson's id."""

    def __init__(self, connection: Connection, lessons: list[Row]) -> None:
        ids = [row["id"] for row in lessons]
        self.parts = _by_lesson(of(connection, schema.part, "lesson_id", ids), "place")
        self.results = _by_lesson(of(connection, schema.result, "lesson_id", ids), "turn")
        self.verdicts = _by_lesson(
            of(connection, schema.own_verdict, "lesson_id", ids), "maneuver_start", "code", "quantity"
        )
        wanted = {part["recording_id"] for parts in self.parts.values() for part in parts}
        found = rows_with(connection, schema.recording, "id", wanted)
        if len(found) != len(wanted):
            raise incomplete(schema.recording, len(found), len(wanted))
        self.recordings = {row["id"]: row for row in found}


def _by_lesson(found: list[Row], *order: str) -> dict[str, list[Row]]:
    lots: dict[str, list[Row]] = defaultdict(list)
    for row in sorted(found, key=lambda each: [each[name] for name in order]):
        lots[row["lesson_id"]].append(row)
    return lots


def _lesson(row: Row, belonging: _Belonging, files: _Files) -> shape.Lesson:
    number = row["number"]
    signed = shape.Signature(row["signed_by_id"], row["signed_at"], row["signed_turn"])
    plan = row["plan_id"]
    return shape.Lesson(
        **{name: row[name] for name in ("id", "number", "date", "start", "end", "remarks", "added")},
        **{name: row[name] for name in ("student_id", "instructor_id", "airplane_id", "site_id")},
        plan=None if plan is None else files.content(naming.of_plan(number), plan),
        asked=_asked(row["asked"], files),
        signature=None if signed == shape.Signature(None, None, None) else signed,
        parts=tuple(
            shape.Part(each["id"], each["place"], each["recording_id"]) for each in belonging.parts[row["id"]]
        ),
        results=tuple(
            shape.Result(
                **{name: each[name] for name in ("id", "turn", "version", "computed", "standard")},
                debrief=files.content(naming.of_debrief(number, each["turn"]), each["document_id"]),
            )
            for each in belonging.results[row["id"]]
        ),
        own_verdicts=tuple(
            shape.OwnVerdict(**{name: each[name] for name in shape.OwnVerdict.__struct_fields__})
            for each in belonging.verdicts[row["id"]]
        ),
    )


def _asked(text: str, files: _Files) -> shape.Asked:
    said = asked_in(text)
    plain: dict[str, Any] = {
        what: files.text(naming.of_text(what, sha256(value.encode()).hexdigest()), value)
        for what in TEXTS
        for value in (getattr(said, what),)
        if value is not None
    }
    plain |= {name: getattr(said, name) for name in said.__struct_fields__ if name not in TEXTS}
    plain["said"] = tuple(shape.Stretch(each.start, each.end, each.kind) for each in said.said)
    return shape.Asked(**plain)


def _recordings(
    lessons: Iterable[shape.Lesson], belonging: _Belonging, files: _Files
) -> Iterable[shape.Recording]:
    """Yield the recordings of lessons, each once, named after the lesson that it comes up in first."""
    done = set()
    for lesson in lessons:
        for part in lesson.parts:
            if part.recording_id in done:
                continue
            done.add(part.recording_id)
            row = belonging.recordings[part.recording_id]
            path = naming.of_recording(lesson.number, part.place, row["name"])
            yield shape.Recording(
                id=row["id"],
                name=row["name"],
                brought_sha256=row["sha256"],
                altered=bool(row["altered"]),
                content=files.content(path, row["content_id"]),
            )


def _needed(lessons: Iterable[shape.Lesson]) -> set[str | None]:
    """Return the ids of people, airplanes and sites that lessons need."""
    needed: set[str | None] = set()
    for one in lessons:
        needed |= {one.student_id, one.instructor_id, one.airplane_id, one.site_id}
        needed |= {verdict.person_id for verdict in one.own_verdicts}
        needed |= {one.signature.person_id} if one.signature else set()
    return needed


def _wanted(
    connection: Connection, table: Any, needed: set[str | None] | None, *also: str | None
) -> list[Row]:
    """Return the rows of a table by name, only those that are needed where it is said which."""
    found = sorted(whole(connection, table), key=lambda row: (row["name"], row["id"]))
    return [row for row in found if needed is None or row["id"] in needed or row["id"] in also]


def _people(found: list[Row], student_id: str | None) -> tuple[shape.Person, ...]:
    whole = student_id is None
    return tuple(
        shape.Person(row["id"], row["name"], row["added"] if whole or row["id"] == student_id else None)
        for row in found
    )


def _airplanes(found: list[Row], files: _Files) -> tuple[shape.Airplane, ...]:
    paths = naming.of_airplanes([row["name"] for row in found])
    return tuple(
        shape.Airplane(row["id"], row["name"], files.text(path, row["document"]))
        for row, path in zip(found, paths, strict=True)
    )


def _site(row: Row) -> shape.Site:
    places = msgspec.json.decode(row["places"], type=tuple[tuple[float, float], ...])
    kept = {name: row[name] for name in ("id", "name", "type", "ground_ft", "remarks")}
    return shape.Site(**kept, places_deg=places)
