"""What stays in the record when somebody is forgotten, and what of it names them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from functools import partial
from typing import Any, Final, Literal

import msgspec
from sqlalchemy import Connection, Table, select

from groundref.errors import InputError
from groundref.readers.rewording import reworded
from groundref.record import schema
from groundref.record.asked import asked_in, recording_of
from groundref.record.names import known
from groundref.record.rewriting import (
    reworded_airplane,
    reworded_asked,
    reworded_document,
    reworded_standard,
)
from groundref.record.sealed import get_content, rows, rows_with
from groundref.record.spelling import Name
from groundref.record.tallies import MANY

Row = dict[str, Any]
Change = tuple[Table, Row, dict[str, Any]]
Judgement = Literal["clean", "named", "unsearchable"]

_PEOPLE: Final = {
    schema.lesson: ("student_id", "instructor_id", "signed_by_id"),
    schema.own_verdict: ("person_id",),
}


class Kept:
    """The rows that stay when a person is forgotten.

    Parameters
    ----------
    connection
        In a transaction.
    called
        The person's name, whatever its capitals.
    keep_lessons
        Whether lessons flown by the person stay, without the person.

    Raises
    ------
    RecordError
        When the record knows no such person.
    """

    def __init__(self, connection: Connection, called: str, *, keep_lessons: bool) -> None:
        self.connection = connection
        self.person = known(connection, schema.person, called)
        people = rows(connection, schema.person)
        self.name = Name(self.person["name"], [row["name"] for row in people])
        lessons = rows(connection, schema.lesson)
        flown = [row for row in lessons if row["student_id"] == self.person["id"]]
        self.gone = [] if keep_lessons else flown
        ids = {row["id"] for row in self.gone}
        self.lessons = {row["id"]: row for row in lessons if row["id"] not in ids}
        self.verdicts = self._of_lessons(schema.own_verdict)
        self.results = self._of_lessons(schema.result)
        parts = self._of_lessons(schema.part)
        self.lesson_of = {part["recording_id"]: self.lessons[part["lesson_id"]] for part in parts}
        self.recordings = [row for row in rows(connection, schema.recording) if row["id"] in self.lesson_of]

    def _of_lessons(self, table: Table) -> list[Row]:
        return [row for row in rows(self.connection, table) if row["lesson_id"] in self.lessons]

    def is_person(self, row: Row, column: str) -> bool:
        """Whether a row refers to the person in a column."""
        return bool(row[column] == self.person["id"])

    def changes(self) -> Iterator[Change]:
        """Give rows that refer to the person or name them in words, with their new values."""
        out = self.name.out_of
        for row in self.lessons.values():
            asked = reworded_asked(row["asked"], self.name)
            yield from self._change(schema.lesson, row, remarks=out(row["remarks"]), asked=asked)
        for row in self.verdicts:
            yield from self._change(schema.own_verdict, row, reason=out(row["reason"]))
        for row in self.results:
            standard = reworded_standard(row["standard"], self.name)
            yield from self._change(schema.result, row, standard=standard)
        for row in self.recordings:
            yield from self._change(schema.recording, row, name=out(row["name"]))
        yield from self._places_and_airplanes()
        yield from self._maneuvers()

    def _places_and_airplanes(self) -> Iterator[Change]:
        out = self.name.out_of
        for row, called in self._renamed(schema.site):
            yield from self._change(schema.site, row, name=called, remarks=out(row["remarks"]))
        for row, called in self._renamed(schema.airplane):
            document = reworded_airplane(row["document"], self.name)
            yield from self._change(schema.airplane, row, name=called, document=document)

    def _renamed(self, table: Table) -> Iterator[tuple[Row, str]]:
        """Give rows with names of their own, which differ from one another also without the person's name."""
        found = rows(self.connection, table, order=(table.c.name.asc(),))
        taken = {row["name"].casefold() for row in found if not self.name.stands_in(row["name"])}
        for row in found:
            called, number = self.name.out_of(row["name"]), 1
            while called != row["name"] and called.casefold() in taken:
                number += 1
                called = f"{self.name.out_of(row['name'])} {number}"
            taken.add(called.casefold())
            yield row, called

    def _maneuvers(self) -> Iterator[Change]:
        """Give maneuvers with elements of a standard of somebody's own that hold the whole name."""
        table = schema.maneuver
        stay = {row["id"] for row in self.results}
        wanted = select(table.c.id, table.c.result_id, table.c.elements).execution_options(yield_per=MANY)
        named = [
            row.id
            for row in self.connection.execute(wanted)
            if row.result_id in stay and self._reworded(row.elements) != row.elements
        ]
        for row in rows_with(self.connection, table, "id", named):
            yield from self._change(table, row, elements=self._reworded(row["elements"]))

    def _reworded(self, elements: str) -> str:
        """Return the elements of a maneuver without the whole name."""
        if not self.name.may_stand_in(elements) and "\\" not in elements:
            return elements
        plain = msgspec.json.decode(elements)
        new = [{**one, "what": self.name.out_of(one["what"], parts=False)} for one in plain]
        return elements if new == plain else msgspec.json.encode(new).decode()

    def _change(self, table: Table, row: Row, **texts: str) -> Iterator[Change]:
        values: dict[str, Any] = {name: text for name, text in texts.items() if text != row[name]}
        values |= {column: None for column in _PEOPLE.get(table, ()) if self.is_person(row, column)}
        if values:
            yield table, row, values

    def documents(self) -> dict[str, list[tuple[Table, Row, str]]]:
        """Return debriefs and plans, each with the rows that refer to it and in which column."""
        found: dict[str, list[tuple[Table, Row, str]]] = defaultdict(list)
        for row in self.results:
            found[row["document_id"]].append((schema.result, row, "document_id"))
        for row in self.lessons.values():
            if row["plan_id"] is not None:
                found[row["plan_id"]].append((schema.lesson, row, "plan_id"))
        return found

    def document(self, content_id: str) -> bytes | None:
        """Return a debrief or plan without the name, None when that does not stand in it."""
        return reworded_document(get_content(self.connection, content_id, "a debrief"), self.name)

    def recording(self, row: Row) -> bytes | None:
        """Return a recording without the name, None when that does not stand in it.

        Raises
        ------
        InputError
            When it cannot be searched.
        """
        lesson = self.lesson_of[row["id"]]
        content = get_content(self.connection, row["content_id"], f"lesson {lesson['number']}")
        columns = [
            asked_in(asked).columns for asked in (lesson["asked"], reworded_asked(lesson["asked"], self.name))
        ]
        before, after = (partial(_read, row["name"], each) for each in columns)
        return reworded(row["name"], content, self.name, before, after)

    def judge_document(self, content_id: str) -> Judgement:
        """Return whether a debrief or plan names the person."""
        return "clean" if self.document(content_id) is None else "named"

    def judge_recording(self, row: Row) -> Judgement:
        """Return whether a recording names the person."""
        try:
            return "clean" if self.recording(row) is None else "named"
        except InputError:
            return "unsearchable"


def _read(name: str, columns: str | None, content: bytes) -> Any:
    return recording_of(((name, content),), columns)
