"""Small invented lessons for the record, quick to write by the hundred: real debriefs, short recordings."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from sqlalchemy import Connection

from groundref.progress.flown import LessonFlown
from groundref.record import schema
from groundref.record.lessons import (
    LessonRow,
    LessonShown,
    NewLesson,
    add,
    flown_by,
    lesson_row,
    listed,
    number_of_lessons,
    recordings_of,
    shown,
)
from groundref.record.place import Place
from groundref.record.sealed import get_content, put
from groundref.record.store import Record, open_record
from tests.record.invented import another

STUDENTS = ("Jo Brandt", "Mara Linde", "Zoë Łęcka")
Answers = tuple[
    tuple[LessonRow, ...],
    tuple[LessonRow, ...],
    tuple[tuple[str, tuple[LessonFlown, ...]], ...],
    tuple[tuple[LessonShown, tuple[bytes, ...]], ...],
]


def small(number: int) -> NewLesson:
    """A lesson whose recording is short, so that a record of many stays small."""
    student = STUDENTS[number % 3]
    lesson = another(number, day=1 + number % 28, student=student)
    ((name, content),) = lesson.parts
    head, *points = content.decode().split("<trkpt")
    tail = points[-1].partition("</trkpt>")[2]
    cut = head + "".join("<trkpt" + point for point in points[:20]).rpartition("</trkpt>")[0] + "</trkpt>"
    return replace(lesson, parts=((name, (cut + tail).encode()),), remarks=f"{student} flew well.")


def filled(place: Place, lessons: int) -> Record:
    """A record with small lessons, a site, and an own verdict in the first."""
    record = open_record(place, make=True)
    with record.writing() as connection:
        where = {"type": "point", "places": "[[40.1,-90.2]]", "ground_ft": 612.5, "remarks": ""}
        put(connection, schema.site, [{"name": "Elm Farm", **where}])
    for number in range(1, lessons + 1):
        add(record, small(number))
    with record.writing() as connection:
        first = shown(connection, 1).maneuvers[0]
        element = first.elements[0]
        own = {
            "lesson_id": lesson_row(connection, 1)["id"],
            "maneuver_start": first.start,
            "kind": first.kind,
            "code": element.code,
            "quantity": element.quantity,
            "verdict": "met",
            "reason": "A gust; corrected at once.",
            "given": "2026-05-02T08:00:00.000Z",
        }
        put(connection, schema.own_verdict, [own])
    return record


def answers(place: Place) -> Answers:
    """All that can be asked of a record, in one: lists, progress of each student, each lesson, recordings."""
    record = open_record(place)
    with record.reading() as connection:
        every = listed(connection)
        return (
            every,
            listed(connection, most=2),
            tuple(flown_by(connection, name) for name in sorted({row.student or "" for row in every})),
            tuple(_whole(connection, n) for n in range(1, number_of_lessons(connection) + 1)),
        )


def _whole(connection: Connection, number: int) -> tuple[LessonShown, tuple[bytes, ...]]:
    recordings = recordings_of(connection, lesson_row(connection, number))
    contents = tuple(get_content(connection, each["content_id"], f"lesson {number}") for each in recordings)
    return shown(connection, number), contents


def bytes_of(place: Place) -> Path:
    """The file of a record that nobody has open, all in it."""
    assert place.path is not None
    assert not place.path.with_name(place.path.name + "-wal").exists()
    return place.path
