"""A lesson put right by hand: who was in it, and how its debrief is asked for."""

from __future__ import annotations

from groundref.record import schema
from groundref.record.asked import Asked
from groundref.record.deciding import unsigned
from groundref.record.names import known, person_called
from groundref.record.results import put_result
from groundref.record.sealed import change, pack, put_content
from groundref.record.store import Record


def say_who(
    record: Record, number: int, student: str | None, instructor: str | None, site: str | None = None
) -> None:
    """Write who flew a lesson, who gave it and where; people who are new are put into the record.

    Parameters
    ----------
    record
        The record.
    number
        Of the lesson.
    student, instructor, site
        Names; None for nobody and nowhere.

    Raises
    ------
    RecordError
        When there is no such lesson or site.
    UsageError
        When it is signed, or what is given is no name.
    """
    with record.writing() as connection:
        lesson = unsigned(connection, number)
        change(
            connection,
            schema.lesson,
            lesson,
            student_id=person_called(connection, student, "student"),
            instructor_id=person_called(connection, instructor, "instructor"),
            site_id=None if site is None else known(connection, schema.site, site)["id"],
        )


def correct(record: Record, number: int, asked: Asked, document: bytes, version: str) -> int:
    """Keep another way in which a lesson's debrief is asked for, and what came of it beside those before.

    Parameters
    ----------
    record
        The record.
    number
        Of the lesson.
    asked
        How the debrief is asked for from now on.
    document
        The debrief's JSON, asked for so.
    version
        Of the program that worked it out.

    Returns
    -------
    int
        The new result's number.

    Raises
    ------
    RecordError
        When there is no such lesson.
    UsageError
        When it is signed.
    """
    packed = pack(document)
    with record.writing() as connection:
        lesson = unsigned(connection, number)
        change(connection, schema.lesson, lesson, asked=asked.to_json())
        return put_result(connection, lesson["id"], document, packed, version)


def keep_plan(record: Record, number: int, plan: bytes | None, document: bytes, version: str) -> int:
    """Keep a plan with a lesson, None for none, and the debrief with the plan set against it.

    Parameters and errors are those of ``correct``, but for the plan's JSON.
    """
    packed, of_plan = pack(document), None if plan is None else pack(plan)
    with record.writing() as connection:
        lesson = unsigned(connection, number)
        plan_id = None if of_plan is None else put_content(connection, of_plan)
        change(connection, schema.lesson, lesson, plan_id=plan_id)
        return put_result(connection, lesson["id"], document, packed, version)
