"""A debrief of a lesson as it was kept, beside the one that counts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import msgspec
from sqlalchemy import Connection

from groundref.errors import NotInRecordError
from groundref.record import schema
from groundref.record.lessons import LessonShown, lesson_row, shown
from groundref.record.results import document_of, in_force
from groundref.record.sealed import of


@dataclass(frozen=True, slots=True)
class KeptDebrief:
    """A debrief of a lesson.

    Attributes
    ----------
    lesson
        Which.
    turn, version, computed
        Number of the debrief, from 1, the version that worked it out, and when.
    document
        Its JSON.
    counts
        Number of the debrief that counts.
    counting
        JSON of that one.
    """

    lesson: LessonShown
    turn: int
    version: str
    computed: str
    document: bytes
    counts: int
    counting: bytes

    @property
    def plain(self) -> tuple[dict[str, Any], dict[str, Any]]:
        """This one and the one that counts, as plain data."""
        return msgspec.json.decode(self.document), msgspec.json.decode(self.counting)


def kept_debrief(connection: Connection, number: int, turn: int) -> KeptDebrief:
    """Return a debrief of a lesson as it was kept.

    Parameters
    ----------
    connection
        In a transaction.
    number
        Of the lesson.
    turn
        Of the debrief, from 1.

    Raises
    ------
    RecordError
        When there is no such lesson or debrief, or it is damaged.
    """
    lesson = lesson_row(connection, number)
    there = {int(one["turn"]): one for one in of(connection, schema.result, "lesson_id", [lesson["id"]])}
    if turn not in there:
        raise NotInRecordError(
            f"lesson {number} has no debrief {turn}", "record", f"groundref record show {number} lists them"
        )
    one, counting = there[turn], in_force(connection, [lesson])[lesson["id"]]
    where = f"lesson {number}, debrief"
    return KeptDebrief(
        shown(connection, number),
        turn,
        one["version"],
        one["computed"],
        document_of(connection, one, where),
        int(counting["turn"]),
        document_of(connection, counting, where),
    )
