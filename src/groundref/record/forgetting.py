"""A person forgotten: their lessons gone or without them, and their name out of everything that stays."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import Connection, select

from groundref.record import schema
from groundref.record.kept import Change, Judgement, Kept
from groundref.record.sealed import change, drop_unused_content, pack, put_content, remove
from groundref.record.store import Record
from groundref.record.tallies import MANY
from groundref.record.wiping import mark

Step = Callable[[int, int], None]  # done, of how many


@dataclass(frozen=True, slots=True)
class Forgetting:
    """What forgetting a person does, in figures.

    Attributes
    ----------
    person
        The name, as the record has it.
    lessons_removed
        Lessons flown by the person that go, with all about them.
    lessons_anonymous
        Those that stay without the person.
    lessons_given
        Lessons that lose the instructor's name.
    signatures
        Lessons that stay signed, by somebody who was forgotten.
    verdicts
        Own verdicts that stay, without who gave them.
    texts
        Rows with words that name the person: remarks, reasons, names of files, sites and airplanes.
    documents
        Debriefs and plans that do.
    recordings_altered
        Recordings that do.
    recordings_removed
        Numbers of lessons whose recording cannot be searched, so that it goes.
    """

    person: str
    lessons_removed: int
    lessons_anonymous: int
    lessons_given: int
    signatures: int
    verdicts: int
    texts: int
    documents: int
    recordings_altered: int
    recordings_removed: tuple[int, ...]


@dataclass(slots=True)
class Judged:
    """What was found in recordings, debriefs and plans, by the SHA-256 of each; good for one name."""

    found: dict[str, Judgement] = field(default_factory=dict)


def look(
    record: Record, called: str, *, keep_lessons: bool, judged: Judged, step: Step = lambda done, of: None
) -> Forgetting:
    """Return what forgetting a person would do; nothing is written.

    Parameters
    ----------
    record
        The record.
    called
        The person's name, whatever its capitals.
    keep_lessons
        Whether lessons flown by the person stay, without the person.
    judged
        Takes what was found, so that ``forget`` need not look again.
    step
        Told how much was looked at, and how much there is.

    Raises
    ------
    RecordError
        When the record knows no such person.
    """
    with record.reading() as connection:
        kept = Kept(connection, called, keep_lessons=keep_lessons)
        return _figures(kept, list(kept.changes()), _judge(kept, judged, step))


def forget(record: Record, called: str, *, keep_lessons: bool, judged: Judged) -> Forgetting:
    """Forget a person, all of it or nothing; the record's files are still to be wiped (``wiping.wipe``).

    Parameters
    ----------
    record
        The record.
    called
        The person's name, whatever its capitals.
    keep_lessons
        Whether lessons flown by the person stay, without the person.
    judged
        What ``look`` found; what came into the record since is looked at now.

    Raises
    ------
    RecordError
        When the record knows no such person, or refuses; nothing was changed then.
    """
    with record.writing() as connection:
        kept = Kept(connection, called, keep_lessons=keep_lessons)
        changes = list(kept.changes())
        found = _judge(kept, judged)
        figures = _figures(kept, changes, found)
        _write(connection, [*changes, *_new_documents(kept, found), *_new_recordings(kept, found)])
        _remove_recordings(connection, _with(kept, found, "unsearchable"))
        _remove_lessons(connection, [row["id"] for row in kept.gone])
        remove(connection, schema.person, schema.person.c.id == kept.person["id"])
        drop_unused_content(connection)
        mark(connection)
    return figures


def _judge(kept: Kept, judged: Judged, step: Step = lambda done, of: None) -> dict[str, Judgement]:
    """Return what was found in everything large that stays."""
    documents = kept.documents()
    total = len(documents) + len(kept.recordings)
    for done, content_id in enumerate(documents, start=1):
        if content_id not in judged.found:
            judged.found[content_id] = kept.judge_document(content_id)
        step(done, total)
    for done, row in enumerate(kept.recordings, start=len(documents) + 1):
        if row["content_id"] not in judged.found:
            judged.found[row["content_id"]] = kept.judge_recording(row)
        step(done, total)
    return judged.found


def _with(kept: Kept, found: dict[str, Judgement], judgement: Judgement) -> list[dict[str, Any]]:
    """Return the recordings of a judgement."""
    return [row for row in kept.recordings if found[row["content_id"]] == judgement]


def _figures(kept: Kept, changes: list[Change], found: dict[str, Judgement]) -> Forgetting:
    lessons = kept.lessons.values()
    return Forgetting(
        person=kept.person["name"],
        lessons_removed=len(kept.gone),
        lessons_anonymous=sum(kept.is_person(row, "student_id") for row in lessons),
        lessons_given=sum(kept.is_person(row, "instructor_id") for row in lessons),
        signatures=sum(kept.is_person(row, "signed_by_id") for row in lessons),
        verdicts=sum(kept.is_person(row, "person_id") for row in kept.verdicts),
        texts=sum(any(value is not None for value in values.values()) for _, _, values in changes),
        documents=sum(found[content_id] == "named" for content_id in kept.documents()),
        recordings_altered=len(_with(kept, found, "named")),
        recordings_removed=tuple(
            sorted({kept.lesson_of[row["id"]]["number"] for row in _with(kept, found, "unsearchable")})
        ),
    )


def _new_documents(kept: Kept, found: dict[str, Judgement]) -> Iterable[Change]:
    for content_id, places in kept.documents().items():
        new = kept.document(content_id) if found[content_id] == "named" else None
        if new is not None:
            new_id = put_content(kept.connection, pack(new))
            yield from ((table, row, {column: new_id}) for table, row, column in places)


def _new_recordings(kept: Kept, found: dict[str, Judgement]) -> Iterable[Change]:
    for row in _with(kept, found, "named"):
        new = kept.recording(row)
        if new is not None:
            new_id = put_content(kept.connection, pack(new))
            yield schema.recording, row, {"content_id": new_id, "altered": True}


def _write(connection: Connection, changes: Iterable[Change]) -> None:
    """Write changes, all those of a row at once, so that it gets one seal."""
    gathered: dict[str, Change] = {}
    for table, row, values in changes:
        before = gathered.get(row["id"], (table, row, {}))[2]
        gathered[row["id"]] = table, row, before | values
    for table, row, values in gathered.values():
        change(connection, table, row, **values)


def _remove_recordings(connection: Connection, recordings: list[dict[str, Any]]) -> None:
    """Take recordings out of their lessons."""
    for row in recordings:
        remove(connection, schema.part, schema.part.c.recording_id == row["id"])
        remove(connection, schema.recording, schema.recording.c.id == row["id"])


def _remove_lessons(connection: Connection, lesson_ids: list[str]) -> None:
    """Take lessons out with all about them; a recording that another lesson holds too stays."""
    for first in range(0, len(lesson_ids), MANY):
        ids = lesson_ids[first : first + MANY]
        results = select(schema.result.c.id).where(schema.result.c.lesson_id.in_(ids))
        remove(connection, schema.maneuver, schema.maneuver.c.result_id.in_(results))
        for table in (schema.result, schema.own_verdict, schema.part):
            remove(connection, table, table.c.lesson_id.in_(ids))
        remove(connection, schema.lesson, schema.lesson.c.id.in_(ids))
    held = select(schema.part.c.recording_id)
    remove(connection, schema.recording, schema.recording.c.id.not_in(held))
