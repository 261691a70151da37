"""People of the record: listed, added, called otherwise, two that are one."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Final

from sqlalchemy import Connection, select

from groundref.errors import UsageError
from groundref.record import schema
from groundref.record.names import found, known, person_called, tidy
from groundref.record.sealed import change, remove, rows, whole
from groundref.record.store import Record

# Where a person is referred to.
REFERRING = (
    schema.lesson.c.student_id,
    schema.lesson.c.instructor_id,
    schema.lesson.c.signed_by_id,
    schema.own_verdict.c.person_id,
)

# As ``Asked.to_json`` writes it; within a text of its JSON the quotes would be escaped.
_TRIED: Final = '"on_the_ground":true'


@dataclass(frozen=True, slots=True)
class Person:
    """A person of the record.

    Attributes
    ----------
    name
        As it stands there.
    as_student, as_instructor
        How many lessons were had and given; tries on the ground are none.
    tries
        How many tries on the ground are kept as this one's.
    added
        When the name was put into the record.
    """

    name: str
    as_student: int
    as_instructor: int
    tries: int
    added: str


def people(connection: Connection) -> tuple[Person, ...]:
    """Return everybody, by name."""
    lesson = schema.lesson
    tried = lesson.c.asked.contains(_TRIED, autoescape=True)
    found = connection.execute(select(lesson.c.student_id, lesson.c.instructor_id, tried)).all()
    students = Counter(student for student, _, on_the_ground in found if not on_the_ground)
    instructors = Counter(instructor for _, instructor, on_the_ground in found if not on_the_ground)
    tries = Counter(student for student, _, on_the_ground in found if on_the_ground)
    every = (
        Person(row["name"], students[row["id"]], instructors[row["id"]], tries[row["id"]], row["added"])
        for row in whole(connection, schema.person)
    )
    return tuple(sorted(every, key=lambda person: person.name.casefold()))


def add_person(record: Record, name: str) -> bool:
    """Put a person into the record; return whether the name is new.

    Raises
    ------
    UsageError
        When it is no name.
    """
    with record.writing() as connection:
        there = bool(found(connection, schema.person, tidy(name, "name")))
        person_called(connection, name, "name")
        return not there


def rename_person(record: Record, name: str, other: str) -> str:
    """Call a person otherwise; return the new name.

    Raises
    ------
    RecordError
        When there is nobody of that name.
    UsageError
        When the new one is no name, or somebody else is called so.
    """
    called = tidy(other, "--rename")
    with record.writing() as connection:
        person = known(connection, schema.person, name)
        if any(row["id"] != person["id"] for row in found(connection, schema.person, called)):
            raise UsageError(
                f"somebody is called {called} already", "--rename", "if both are one person, give --join"
            )
        change(connection, schema.person, person, name=called)
    return called


def join_people(record: Record, name: str, other: str) -> tuple[str, int]:
    """Give all that refers to one person to another, and take the first out: both are one.

    Returns
    -------
    tuple
        The name that stays, and how many places referred to the other.

    Raises
    ------
    RecordError
        When one of them is not in the record.
    UsageError
        When they are the same entry.
    """
    with record.writing() as connection:
        gone, stays = known(connection, schema.person, name), known(connection, schema.person, other)
        if gone["id"] == stays["id"]:
            raise UsageError("this is one entry already", "--join", "name another person")
        places = 0
        for column in REFERRING:
            for row in rows(connection, column.table, column == gone["id"]):
                change(connection, column.table, row, **{column.name: stays["id"]})
                places += 1
        remove(connection, schema.person, schema.person.c.id == gone["id"])
    return str(stays["name"]), places
