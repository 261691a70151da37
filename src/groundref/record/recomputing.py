"""Lessons worked out anew from the kept recording, with today's version; the old result stays beside."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

import msgspec
from sqlalchemy import Connection, select

from groundref.progress.flown import flown_in
from groundref.record import schema
from groundref.record.asked import Asked, asked_in, recording_of
from groundref.record.changes import Change, changes
from groundref.record.lessons import lesson_row, recordings_of
from groundref.record.results import document_of, in_force, own_verdicts, placed, put_result
from groundref.record.sealed import Packed, get_content, of, pack
from groundref.record.store import Record
from groundref.record.working import Worked, work_out


@dataclass(frozen=True, slots=True)
class Recomputed:
    """A lesson that was worked out anew.

    Attributes
    ----------
    number
        Of the lesson.
    before, before_version
        The result that counted, and the version that worked it out.
    after, version
        Number of the new result, None where it says just what the latest one kept says, and today's version.
    counts
        Number of the result that counts now: the signed one of a signed lesson, else the latest.
    signed
        Whether the lesson is signed.
    changes
        What the new debrief says otherwise than the one that counted.
    own_left
        Own verdicts of the instructor on maneuvers that the new debrief does not have: start of the maneuver,
        code and quantity.
    """

    number: int
    before: int
    before_version: str
    after: int | None
    version: str
    counts: int
    signed: bool
    changes: tuple[Change, ...]
    own_left: tuple[tuple[str, str, str], ...]

    def to_dict(self) -> dict[str, Any]:
        """Return it as plain data."""
        return {
            "lesson": self.number,
            "before": {"result": self.before, "version": self.before_version},
            "after": {"result": self.after, "version": self.version},
            "written": self.after is not None,
            "counts": self.counts,
            "signed": self.signed,
            "changes": [asdict(one) for one in self.changes],
            "own_verdicts_left": [
                {"maneuver_start": start, "code": code, "quantity": quantity}
                for start, code, quantity in self.own_left
            ],
        }


def numbers(connection: Connection) -> list[int]:
    """Return the numbers of all lessons."""
    return list(connection.execute(select(schema.lesson.c.number).order_by(schema.lesson.c.number)).scalars())


def again(record: Record, number: int) -> Worked:
    """Debrief a lesson anew from its kept recording, and write nothing.

    Raises
    ------
    RecordError
        When there is no such lesson, or what was kept of it is damaged.
    """
    with record.reading() as connection:
        parts, asked, plan = brought(connection, lesson_row(connection, number))
    return work_out(recording_of(parts, asked.columns), asked, plan)


def recompute(record: Record, number: int, version: str) -> Recomputed:
    """Debrief a lesson anew, and keep the new result beside those before it.

    Nothing is written where the new debrief says just what the latest one kept says. The signed result of a
    signed lesson goes on to count.

    Parameters
    ----------
    record
        The record.
    number
        Of the lesson.
    version
        Of this program.

    Raises
    ------
    RecordError
        When there is no such lesson, or what was kept of it is damaged; nothing was written.
    """
    document = again(record, number).document
    packed = pack(document)
    with record.writing() as connection:
        return keep_anew(connection, lesson_row(connection, number), document, packed, version)


def keep_anew(
    connection: Connection, lesson: dict[str, Any], document: bytes, packed: Packed, version: str
) -> Recomputed:
    """Keep a debrief of a lesson that was worked out anew, and say what changed; see ``recompute``.

    Parameters
    ----------
    connection
        In a transaction that writes.
    lesson
        Its row.
    document, packed
        The debrief's JSON, and the same packed.
    version
        Of the program that worked it out.
    """
    number, flown = lesson["number"], flown_in(msgspec.json.decode(document))
    counted = in_force(connection, [lesson])[lesson["id"]]
    old = document_of(connection, counted, f"lesson {number}, debrief")
    kept = of(connection, schema.result, "lesson_id", [lesson["id"]])
    latest = max(kept, key=lambda each: int(each["turn"]))
    after = None
    if latest["document_id"] != packed.id:
        after = put_result(connection, lesson["id"], document, packed, version)
    own = own_verdicts(connection, [lesson["id"]])[lesson["id"]]
    stays = {each["id"] for each in placed(own, [(one.kind, one.start) for one in flown]).values()}
    signed = lesson["signed_turn"] is not None
    return Recomputed(
        number=number,
        before=counted["turn"],
        before_version=counted["version"],
        after=after,
        version=version,
        counts=counted["turn"] if signed or after is None else after,
        signed=signed,
        changes=changes(flown_in(msgspec.json.decode(old)), flown),
        own_left=tuple(key for key, each in own.items() if each["id"] not in stays),
    )


def brought(
    connection: Connection, lesson: dict[str, Any]
) -> tuple[list[tuple[str, bytes]], Asked, bytes | None]:
    """Return the recordings of a lesson, how its debrief is asked for, and its plan."""
    where = f"lesson {lesson['number']}"
    parts = [
        (row["name"], get_content(connection, row["content_id"], f"{where}, recording"))
        for row in recordings_of(connection, lesson)
    ]
    plan = lesson["plan_id"]
    kept = None if plan is None else get_content(connection, plan, f"{where}, plan")
    return parts, asked_in(lesson["asked"]), kept
