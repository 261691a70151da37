"""What can be put right with certainty, because all that it is made from is sound."""

from __future__ import annotations

import shutil
from collections.abc import Iterable
from contextlib import suppress

import msgspec
from sqlalchemy import Connection, delete, select, text

from groundref.errors import DamagedError, InputError
from groundref.progress.flown import ManeuverFlown, flown_in
from groundref.record import schema
from groundref.record.engines import is_sqlite
from groundref.record.results import put_figures
from groundref.record.sealed import drop_unused_content, get_content, rows
from groundref.record.seals import is_sound
from groundref.record.soundness.database import drafts_beside, open_to_others
from groundref.record.soundness.kept import read
from groundref.record.soundness.troubles import Trouble
from groundref.record.store import Record
from groundref.record.tallies import NONE, Name, name_of, write_tallies


def mend(record: Record, troubles: Iterable[Trouble]) -> None:
    """Put right what can be.

    Indexes are made anew from their tables, figures from debriefs whose SHA-256 fits, tallies that are not
    what was written from rows that all are; content that nothing refers to is dropped, files are closed to
    others, and what interrupted copies and exports left is deleted. Nothing else is touched, and all of the
    record's part is one transaction.

    Parameters
    ----------
    record
        Opened.
    troubles
        As ``checking.check`` found them.

    Raises
    ------
    RecordError
        When it cannot be written, or turns out damaged further; nothing was changed in the record then.
    """
    mendable = [trouble for trouble in troubles if trouble.mendable]
    kinds = {trouble.kind for trouble in mendable}
    with record.writing() as connection:
        if "database" in kinds and is_sqlite(connection):
            connection.execute(text("REINDEX"))
        if kinds & {"figures", "row", "tally"}:
            _figures(connection, {number for trouble in mendable for number in trouble.lessons})
        if "tally" in kinds:
            _tallies(connection)
        if "unused" in kinds:
            drop_unused_content(connection)
    for path in open_to_others(record.place):
        path.chmod(0o600)
    for path in drafts_beside(record.place):
        if path.is_dir():
            shutil.rmtree(path, ignore_errors=True)
        else:
            path.unlink(missing_ok=True)


def _figures(connection: Connection, numbers: set[int]) -> None:
    """Take the figures of lessons from their debriefs again, where those are sound."""
    lesson, result = schema.lesson, schema.result
    for number in sorted(numbers):
        ids = select(lesson.c.id).where(lesson.c.number == number)
        with suppress(DamagedError, InputError):
            for row in rows(connection, result, result.c.lesson_id.in_(ids)):
                document = get_content(connection, row["document_id"], f"lesson {number}")
                _again(connection, row["id"], flown_in(msgspec.json.decode(document)))


def _again(connection: Connection, result_id: str, flown: tuple[ManeuverFlown, ...]) -> None:
    """Put the figures of a result in place of those there are, with their tallies."""
    maneuver = schema.maneuver
    connection.execute(delete(maneuver).where(maneuver.c.result_id == result_id))
    write_tallies(connection, {name_of(maneuver, "result_id", result_id): NONE})
    put_figures(connection, result_id, flown)


def _tallies(connection: Connection) -> None:
    """Count anew what has no tally that is what was written, where all rows of the table are."""
    kept, _ = read(connection, lambda _: None)
    written: set[Name] = set()
    for each in connection.execute(select(schema.tally)).all():
        row = each._asdict()
        name = (row["counted"], row["whose"])
        if is_sound(schema.tally, row):
            written.add(name)
        else:
            write_tallies(connection, {name: NONE})
    fresh = {
        name: tally
        for name, tally in kept.tallies.items()
        if name not in written and name[0].partition(".")[0] not in kept.broken | kept.unread
    }
    write_tallies(connection, fresh)
