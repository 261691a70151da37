"""After somebody was forgotten: no byte of it left in the record's files, also when that was cut off.

The transaction that forgets leaves a mark in the record. It is taken away when all was wiped; whoever opens a
record with the mark wipes it first.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from sqlalchemy import Connection

from groundref.errors import RecordError
from groundref.record.engines import is_sqlite, pragma
from groundref.record.schema import METADATA
from groundref.record.store import Record

_MARK: Final = "to be wiped"


def mark(connection: Connection) -> None:
    """Leave the mark, with all else that the transaction does."""
    if is_sqlite(connection):
        connection.exec_driver_sql("PRAGMA user_version = 1")
    else:
        connection.exec_driver_sql(f"COMMENT ON TABLE content IS '{_MARK}'")


def is_marked(connection: Connection) -> bool:
    """Whether something is to be wiped."""
    if is_sqlite(connection):
        return bool(pragma(connection, "user_version"))
    told = connection.exec_driver_sql("SELECT obj_description('content'::regclass, 'pg_class')").scalar()
    return told == _MARK


def wipe(record: Record) -> int:
    """Write the record anew without what was deleted, and delete the copies that lie beside it.

    SQLite's `VACUUM` writes it anew, and a truncating checkpoint empties the write-ahead log, where older
    pages lie (sqlite.org/wal.html). PostgreSQL's `VACUUM FULL` writes each table anew, and `ANALYZE` its
    statistics, which hold frequent values (documentation, 25.1).

    Returns
    -------
    int
        How many copies were deleted.

    Raises
    ------
    RecordError
        When the database or the disk refuses, or another program is reading all the time; the mark stays.
    """
    copies = _delete_copies(record)
    with record.outside() as connection:
        if is_sqlite(connection):
            connection.exec_driver_sql("VACUUM")
            _empty_log(connection, record)
            connection.exec_driver_sql("PRAGMA user_version = 0")
        else:
            _write_anew(connection)
            connection.exec_driver_sql("COMMENT ON TABLE content IS NULL")
    return copies


def finish(record: Record, say: Callable[[str], None] | None) -> None:
    """Wipe a record that was left with the mark; what refuses is said, and the record can be used."""
    try:
        wipe(record)
    except RecordError as problem:
        if say is not None:
            say(
                f"traces of somebody who was forgotten may still lie in the record's files ({problem.what}); "
                "it is tried again when the record is next opened"
            )


def _write_anew(connection: Connection) -> None:
    """Write each table of a server anew, with its statistics."""
    connection.exec_driver_sql("SET lock_timeout = '15s'")
    for table in METADATA.sorted_tables:
        name = f'"{table.name}"'
        connection.exec_driver_sql(f"VACUUM (FULL, ANALYZE) {name}")
        if connection.exec_driver_sql(f"SELECT EXISTS (SELECT FROM {name})").scalar():
            continue
        # ANALYZE leaves the statistics of an empty table as they were; a column that is given a type, be it
        # the one that it has, loses them.
        for column in table.columns:
            kind = column.type.compile(connection.dialect)
            connection.exec_driver_sql(f'ALTER TABLE {name} ALTER COLUMN "{column.name}" TYPE {kind}')


def _empty_log(connection: Connection, record: Record) -> None:
    busy = connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)").one()[0]
    if busy:
        raise RecordError(
            "another program is reading it, so that traces of who was forgotten stay in its files",
            str(record.place),
            "close that program and run groundref record list, which wipes them",
        )


def _delete_copies(record: Record) -> int:
    """Delete copies from before a change of the record's shape, and what copies and exports left behind."""
    from groundref.record.copying import kept_copies
    from groundref.record.folder.draft import remove_abandoned

    if record.place.path is not None:
        remove_abandoned(record.place.path.parent)
    kept = kept_copies(record.place)
    try:
        for copy in kept:
            copy.unlink(missing_ok=True)
    except OSError as problem:
        reason = (problem.strerror or "unknown reason").lower()
        raise RecordError(
            f"a copy of the record cannot be deleted ({reason})", str(kept[0].parent), "delete it yourself"
        ) from problem
    return len(kept)
