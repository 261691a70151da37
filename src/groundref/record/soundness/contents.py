"""All content of a record, each compared with its SHA-256, and debriefs with the figures taken from them."""

from __future__ import annotations

import zlib
from collections.abc import Callable, Iterator
from hashlib import sha256
from typing import Any, Final

import msgspec
from sqlalchemy import Connection, select
from sqlalchemy.exc import DBAPIError

from groundref.errors import InputError
from groundref.progress.flown import ManeuverFlown, flown_in
from groundref.record import schema
from groundref.record.results import flown_of
from groundref.record.sealed import unpacked
from groundref.record.soundness.kept import Kept
from groundref.record.soundness.troubles import BACKUP, MEND, Trouble

_AT_ONCE: Final = 20


def names(connection: Connection) -> set[str]:
    """Return the names of all content."""
    return set(connection.execute(select(schema.content.c.id)).scalars())


def contents(connection: Connection, kept: Kept, done: Callable[[int], None]) -> Iterator[Trouble]:
    """Compare all content with its SHA-256, and the figures in columns with the debriefs.

    Parameters
    ----------
    connection
        In a transaction.
    kept
        What the rows hold.
    done
        Told how much content more was read.
    """
    users = _users(kept)
    wanted = select(schema.content).execution_options(yield_per=_AT_ONCE)
    try:
        for row in connection.execute(wanted):
            done(1)
            lessons = tuple(sorted(users.get(row.id, ())))
            called = _called(row.id, lessons)
            what = _opened(row)
            if what is None:
                yield Trouble("content", "it is not what was written", called, BACKUP, lessons)
            else:
                for result, turn in kept.documents.get(row.id, ()):
                    yield from _figures(connection, kept, result, turn, what)
            if row.id not in users:
                yield Trouble("unused", "nothing refers to it", called, MEND, mendable=True)
    except (DBAPIError, TypeError) as problem:
        said = getattr(problem, "orig", problem)
        yield Trouble("database", f"not all content can be read ({said})", "record", BACKUP)


def _opened(row: Any) -> bytes | None:
    """Return content, None when it is not what its name says."""
    try:
        what = unpacked(row.packed, row.size)
    except (zlib.error, ValueError, TypeError):
        return None
    return what if sha256(what).hexdigest() == row.id else None


def _called(name: str, lessons: tuple[int, ...]) -> str:
    return f"lesson {lessons[0]}, content {name[:12]}" if lessons else f"content {name[:12]}"


def _users(kept: Kept) -> dict[str, set[int]]:
    """Return the numbers of the lessons that use each content."""
    users: dict[str, set[int]] = {}
    recordings = kept.refers["part", "recording_id"]
    of_recording: dict[str, set[int]] = {}
    for part, recording in recordings.items():
        lesson = kept.refers["part", "lesson_id"].get(part, "")
        of_recording.setdefault(recording, set()).update(kept.numbers_of(lesson))
    for recording, content in kept.refers["recording", "content_id"].items():
        users.setdefault(content, set()).update(of_recording.get(recording, ()))
    for result, content in kept.refers["result", "document_id"].items():
        lesson = kept.refers["result", "lesson_id"].get(result, "")
        users.setdefault(content, set()).update(kept.numbers_of(lesson))
    for lesson, content in kept.refers["lesson", "plan_id"].items():
        users.setdefault(content, set()).update(kept.numbers_of(lesson))
    return users


def _figures(
    connection: Connection, kept: Kept, result: str, turn: int, document: bytes
) -> Iterator[Trouble]:
    """Compare the figures of a result with those of its debrief."""
    lessons = kept.numbers_of(kept.refers["result", "lesson_id"].get(result, ""))
    called = f"lesson {lessons[0]}, debrief {turn}" if lessons else f"result {result}"
    try:
        flown = flown_in(msgspec.json.decode(document))
    except (InputError, msgspec.DecodeError) as problem:
        yield Trouble("content", f"it is no debrief ({problem})", called, BACKUP, lessons)
        return
    if flown != _stored(connection, result):
        yield Trouble(
            "figures",
            "the figures that progress is told from are not those of the debrief",
            called,
            MEND,
            lessons,
            mendable=True,
        )


def _stored(connection: Connection, result: str) -> tuple[ManeuverFlown, ...] | None:
    """Return what was flown as the rows of a result hold it, None where they cannot be understood."""
    table = schema.maneuver
    wanted = select(table).where(table.c.result_id == result).order_by(table.c.number)
    try:
        return tuple(flown_of(row._asdict()) for row in connection.execute(wanted).all())
    except (msgspec.DecodeError, TypeError):
        return None
