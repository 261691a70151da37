"""Lessons: put into the record, listed, shown, and all that a student flew."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from hashlib import sha256
from typing import Any, Final

import msgspec
from sqlalchemy import Connection, func, select

from groundref.errors import DamagedError
from groundref.progress.flown import LessonFlown, ManeuverFlown
from groundref.record import schema
from groundref.record.asked import Asked, asked_in
from groundref.record.moments import now
from groundref.record.names import airplane_called, known, person_called
from groundref.record.results import in_force, maneuvers_of, put_result
from groundref.record.sealed import of, one, pack, put, put_content, rows, whole
from groundref.record.store import Record
from groundref.record.tallies import REMEDY, incomplete, values_tallied

_LIST: Final = "groundref record list shows those there are"
_MOST: Final = 2**31 - 1  # the largest number that a database of either kind keeps


@dataclass(frozen=True, slots=True)
class NewLesson:
    """A lesson to be put into the record.

    Attributes
    ----------
    parts
        Name and content of each recording of the flight.
    asked
        How the debrief was asked for.
    document
        The debrief's JSON.
    version
        Of the program that worked it out.
    student, instructor, site
        Names; a person who is new is put into the record.
    airplane
        Name and text of its data file.
    plan
        The plan's JSON.
    remarks
        Of the instructor.
    """

    parts: tuple[tuple[str, bytes], ...]
    asked: Asked
    document: bytes
    version: str
    student: str | None = None
    instructor: str | None = None
    airplane: tuple[str, str] | None = None
    site: str | None = None
    plan: bytes | None = None
    remarks: str = ""


@dataclass(frozen=True, slots=True)
class LessonRow:
    """A lesson in a list.

    Attributes
    ----------
    number, date, start, end
        Its number in the record, the day, and the recording's times.
    student, instructor, airplane, site
        Names, None where nobody said.
    flown
        Kind and number of the maneuvers in it, in the order first flown.
    signed_by, signed_at
        Who signed it and when.
    remarks
        Of the instructor.
    on_the_ground
        Whether it is a try, flown on the ground.
    """

    number: int
    date: str
    start: str
    end: str
    student: str | None
    instructor: str | None
    airplane: str | None
    site: str | None
    flown: tuple[tuple[str, int], ...]
    signed_by: str | None
    signed_at: str | None
    remarks: str
    on_the_ground: bool


@dataclass(frozen=True, slots=True)
class LessonShown:
    """A lesson with everything that was concluded about it.

    Attributes
    ----------
    id
        That no other lesson has, of this record or another, also when its number is given anew.
    row
        As in the list.
    asked
        How its debrief is asked for.
    parts
        Name and SHA-256 of each recording.
    has_plan
        Whether a plan is kept with it.
    results
        Turn, version of the program and moment of each debrief, oldest first.
    signed_turn
        The debrief that was signed.
    maneuvers
        What was flown, by the debrief that counts, with the instructor's own verdicts.
    """

    id: str
    row: LessonRow
    asked: Asked
    parts: tuple[tuple[str, str], ...]
    has_plan: bool
    results: tuple[tuple[int, str, str], ...]
    signed_turn: int | None
    maneuvers: tuple[ManeuverFlown, ...] = field(default=())


def digests(parts: Iterable[tuple[str, bytes]]) -> tuple[str, ...]:
    """Return the SHA-256 of each recording."""
    return tuple(sha256(content).hexdigest() for _, content in parts)


def holding(connection: Connection, sha256s: Iterable[str]) -> int | None:
    """Return the number of the lesson that holds one of these recordings already, None when none does."""
    part, lesson = schema.part, schema.lesson
    held = [row["id"] for row in of(connection, schema.recording, "sha256", sha256s)]
    parts = rows(connection, part, part.c.recording_id.in_(held)) if held else []
    numbers = [
        row["number"]
        for row in rows(connection, lesson, lesson.c.id.in_([one["lesson_id"] for one in parts]))
    ]
    if held and not numbers:
        raise DamagedError("a recording is there, but no lesson that it belongs to", "record", REMEDY)
    return min(numbers, default=None)


def add(record: Record, new: NewLesson) -> tuple[int, bool]:
    """Put a lesson into the record, all of it or nothing.

    Returns
    -------
    tuple
        Its number, and whether it is new: False when the record holds this recording already.

    Raises
    ------
    RecordError
        When it cannot be written, or there is no such site.
    """
    from groundref.simulation.by_hand_recording import says_so  # a list of lessons does without

    recordings = [(name, pack(content)) for name, content in new.parts]
    asked = new.asked
    if any(says_so(content) for _, content in new.parts):
        asked = msgspec.structs.replace(asked, on_the_ground=True)
    document, plan = pack(new.document), None if new.plan is None else pack(new.plan)
    flight = msgspec.json.decode(new.document)["flight"]
    with record.writing() as connection:
        there = holding(connection, [packed.id for _, packed in recordings])
        if there is not None:
            return there, False
        number = _last_number(connection) + 1
        site = None if new.site is None else known(connection, schema.site, new.site)["id"]
        row = {
            "number": number,
            "date": flight["start"][:10],
            "start": flight["start"],
            "end": flight["end"],
            "student_id": person_called(connection, new.student, "--student"),
            "instructor_id": person_called(connection, new.instructor, "--instructor"),
            "airplane_id": airplane_called(connection, new.airplane),
            "site_id": site,
            "plan_id": None if plan is None else put_content(connection, plan),
            "asked": asked.to_json(),
            "remarks": new.remarks,
            "added": now(),
        }
        lesson_id = put(connection, schema.lesson, [row])[0]
        for place, (name, packed) in enumerate(recordings, start=1):
            kept = {"content_id": put_content(connection, packed), "sha256": packed.id, "name": name}
            recording_id = put(connection, schema.recording, [{**kept, "altered": False}])[0]
            put(
                connection,
                schema.part,
                [{"lesson_id": lesson_id, "place": place, "recording_id": recording_id}],
            )
        put_result(connection, lesson_id, new.document, document, new.version)
    return number, True


def _last_number(connection: Connection) -> int:
    # Not by an index, which could lie.
    return connection.execute(select(func.max(schema.lesson.c.number + 0))).scalar() or 0


def listed(
    connection: Connection, *, student: str | None = None, most: int | None = None, skip: int = 0
) -> tuple[LessonRow, ...]:
    """Return lessons, the latest flown first.

    Parameters
    ----------
    connection
        In a transaction.
    student
        Only this one's.
    most
        How many at most.
    skip
        How many of the latest to leave out.
    """
    end = None if most is None else skip + most
    if student is None:
        found = of(connection, schema.lesson, "date", _latest_days(connection, end))
    else:
        who = known(connection, schema.person, student)["id"]
        found = of(connection, schema.lesson, "student_id", [who])
    return _rows_of(connection, sorted(found, key=_in_order, reverse=True)[skip:end])


def _in_order(lesson: dict[str, Any]) -> tuple[str, str, int]:
    return lesson["date"], lesson["start"], lesson["number"]


def _latest_days(connection: Connection, most: int | None) -> list[str]:
    """Return the latest days with as many lessons as wanted.

    Raises
    ------
    DamagedError
        When the days do not hold as many lessons as there are.
    """
    days, table = values_tallied(connection, schema.lesson, "date"), schema.lesson
    there = connection.execute(select(func.count()).select_from(table)).scalar_one()
    if sum(days.values()) != there:
        raise incomplete(table, there, sum(days.values()))
    latest: list[str] = []
    lessons = 0
    for day in sorted(days, reverse=True):
        if most is not None and lessons >= most:
            break
        latest.append(day)
        lessons += days[day]
    return latest


def number_of_lessons(connection: Connection) -> int:
    """Return how many lessons there are."""
    return connection.execute(select(func.count()).select_from(schema.lesson)).scalar_one()


def lesson_row(connection: Connection, number: int) -> dict[str, Any]:
    """Return the row of a lesson.

    Raises
    ------
    RecordError
        When there is no lesson of that number.
    """
    table = schema.lesson
    if number > _MOST:
        return one([], f"lesson {number}", _LIST)
    found = rows(connection, table, table.c.number == number)
    if not found and rows(connection, table, table.c.number + 0 == number):  # without the index, which lies
        raise incomplete(table, 0, 1)
    return one(found, f"lesson {number}", _LIST)


def shown(connection: Connection, number: int) -> LessonShown:
    """Return a lesson with everything that was concluded about it.

    Raises
    ------
    RecordError
        When there is no lesson of that number.
    """
    row = lesson_row(connection, number)
    results = sorted(
        of(connection, schema.result, "lesson_id", [row["id"]]), key=lambda one: int(one["turn"])
    )
    counts = in_force(connection, [row])
    return LessonShown(
        id=row["id"],
        row=_rows_of(connection, [row])[0],
        asked=asked_in(row["asked"]),
        parts=tuple((each["name"], each["sha256"]) for each in recordings_of(connection, row)),
        has_plan=row["plan_id"] is not None,
        results=tuple((each["turn"], each["version"], each["computed"]) for each in results),
        signed_turn=row["signed_turn"],
        maneuvers=maneuvers_of(connection, counts).get(row["id"], ()),
    )


def recordings_of(connection: Connection, lesson: dict[str, Any]) -> list[dict[str, Any]]:
    """Return the rows of a lesson's recordings, in their order."""
    recording = schema.recording
    parts = sorted(
        of(connection, schema.part, "lesson_id", [lesson["id"]]), key=lambda one: int(one["place"])
    )
    found = rows(connection, recording, recording.c.id.in_([each["recording_id"] for each in parts]))
    by_id = {each["id"]: each for each in found}
    if len(by_id) < len(parts):
        raise incomplete(recording, len(by_id), len(parts))
    return [by_id[each["recording_id"]] for each in parts]


def flown_by(connection: Connection, student: str) -> tuple[str, tuple[LessonFlown, ...]]:
    """Return a student's name as the record has it, and all that was flown, earliest lesson first.

    Raises
    ------
    RecordError
        When the record knows no such person.
    """
    person = known(connection, schema.person, student)
    lessons = sorted(of(connection, schema.lesson, "student_id", [person["id"]]), key=_in_order)
    results = in_force(connection, lessons)
    flown = maneuvers_of(connection, results)
    return person["name"], tuple(
        LessonFlown(
            each["number"],
            each["date"],
            results[each["id"]]["standard"],
            flown[each["id"]],
            asked_in(each["asked"]).on_the_ground,
        )
        for each in lessons
        if each["id"] in results
    )


def _rows_of(connection: Connection, lessons: list[dict[str, Any]]) -> tuple[LessonRow, ...]:
    """Return lessons for a list, with names for ids."""
    people, airplanes, sites = (
        {row["id"]: row["name"] for row in whole(connection, table)}
        for table in (schema.person, schema.airplane, schema.site)
    )
    flown = _kinds_flown(connection, lessons)
    return tuple(
        LessonRow(
            number=row["number"],
            date=row["date"],
            start=row["start"],
            end=row["end"],
            student=people.get(row["student_id"]),
            instructor=people.get(row["instructor_id"]),
            airplane=airplanes.get(row["airplane_id"]),
            site=sites.get(row["site_id"]),
            flown=tuple(flown[row["id"]].items()),
            signed_by=people.get(row["signed_by_id"]),
            signed_at=row["signed_at"],
            remarks=row["remarks"],
            on_the_ground=asked_in(row["asked"]).on_the_ground,
        )
        for row in lessons
    )


def _kinds_flown(connection: Connection, lessons: list[dict[str, Any]]) -> dict[str, Counter[str]]:
    """Return how often each kind was flown in lessons, by the debrief of each that counts."""
    results = in_force(connection, lessons)
    lesson_of = {result["id"]: lesson for lesson, result in results.items()}
    kinds: dict[str, Counter[str]] = {row["id"]: Counter() for row in lessons}
    maneuvers = of(connection, schema.maneuver, "result_id", lesson_of)
    for row in sorted(maneuvers, key=lambda one: int(one["number"])):
        kinds[lesson_of[row["result_id"]]][row["kind"]] += 1
    return kinds
