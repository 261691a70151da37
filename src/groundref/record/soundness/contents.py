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
        for some in connection.execute(wanted).partitions():
            results = [(row.id, *each) for row in some for each in kept.documents.get(row.id, ())]
            stored = _stored(connection, [result for _, result, _ in results])
            opened = {row.id: _opened(row) for row in some}
            for name, what in opened.items():
                done(1)
                yield from _content(name, what, users.get(name))
            for name, result, turn in results:
                if (document := opened[name]) is not None:
                    yield from _figures(kept, result, turn, document, stored[result])
    except (DBAPIError, TypeError) as problem:
        said = getattr(problem, "orig", problem)
        yield Trouble("database", f"not all content can be read ({said})", "record", BACKUP)


def _content(name: str, what: bytes | None, users: set[int] | None) -> Iterator[Trouble]:
    """Look whether content is what its name says, and whether anything refers to it."""
    lessons = tuple(sorted(users or ()))
    called = _called(name, lessons)
    if what is None:
        yield Trouble("content", "it is not what was written", called, BACKUP, lessons)
    if users is None:
        yield Trouble("unused", "nothing refers to it", called, MEND, mendable=True)


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
    kept: Kept, result: str, turn: int, document: bytes, stored: tuple[ManeuverFlown, ...] | None
) -> Iterator[Trouble]:
    """Compare the figures of a result with those of its debrief."""
    lessons = kept.numbers_of(kept.refers["result", "lesson_id"].get(result, ""))
    called = f"lesson {lessons[0]}, debrief {turn}" if lessons else f"result {result}"
    try:
        flown = flown_in(msgspec.json.decode(document))
    except (InputError, msgspec.DecodeError) as problem:
        yield Trouble("content", f"it is no debrief ({problem})", called, BACKUP, lessons)
        return
    if flown != stored:
        yield Trouble(
            "figures",
            "the figures that progress is told from are not those of the debrief",
            called,
            MEND,
            lessons,
            mendable=True,
        )


def _stored(connection: Connection, results: list[str]) -> dict[str, tuple[ManeuverFlown, ...] | None]:
    """Return what was flown as the rows of results hold it, None where they cannot be understood."""
    table = schema.maneuver
    wanted = select(table).where(table.c.result_id.in_(results)).order_by(table.c.number)
    rows: dict[str, list[dict[str, Any]]] = {result: [] for result in results}
    for row in connection.execute(wanted):
        rows[row.result_id].append(row._asdict())
    return {result: _flown(each) for result, each in rows.items()}


def _flown(rows: list[dict[str, Any]]) -> tuple[ManeuverFlown, ...] | None:
    try:
        return tuple(map(flown_of, rows))
    except (msgspec.DecodeError, TypeError):
        return None
