"""Copies of a whole record, consistent while it is in use, and the way back from them.

A copy is a record itself: a SQLite file of the same shape, whatever engine holds the record.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Final
from urllib.parse import urlsplit

from sqlalchemy import Connection, MetaData, func, insert, select, text

from groundref.errors import DamagedError, RecordError
from groundref.record.engines import APPLICATION, engine_for, is_sqlite
from groundref.record.place import Place, data_folder
from groundref.record.store import MARK, Record

_DRAFT: Final = ".groundref-copy."
_COMPANIONS: Final = ("-wal", "-shm", "-journal")
_AT_ONCE: Final = {"content": 20}  # rows that are copied at once; recordings are large
_USUAL: Final = 500


def copy_to(record: Record, path: Path, shape: str, proven: Callable[[Record], None] | None = None) -> None:
    """Write the whole record, as it is at one moment, into a file of its own.

    It is written beside the destination under another name, looked at, and on the disk before it takes its
    place, so that a copy is whole and sound or not there.

    Parameters
    ----------
    record
        Any; others may go on reading and writing.
    path
        Of the copy; a file there gives way to it.
    shape
        Of the record.
    proven
        Looks at the copy before it takes its place, and raises when it is not sound.

    Raises
    ------
    RecordError
        When it cannot be written, or is not sound.
    """
    draft = path.with_name(f"{_DRAFT}{os.getpid()}.{path.name}")
    try:
        for left in abandoned(path.parent):
            left.unlink(missing_ok=True)
        _remove(draft)
        os.close(os.open(draft, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
        _fill(record, draft, shape)
        copy = Record(Place(path=draft), engine_for(Place(path=draft)))
        _whole(copy, path)
        if proven is not None:
            proven(copy)
        _settle(draft)
        put_in_place(draft, path)
    except OSError as problem:
        reason = (problem.strerror or "unknown reason").lower()
        raise RecordError(
            f"the copy cannot be written ({reason})", str(path), "name another place"
        ) from problem
    finally:
        _remove(draft)


def _fill(record: Record, draft: Path, shape: str) -> None:
    if record.place.path is not None:
        with record.outside() as connection:
            connection.execute(text("VACUUM INTO :path"), {"path": str(draft)})
        return
    copy = Record(Place(path=draft), engine_for(Place(path=draft)))
    with record.reading() as source, copy.writing() as target:
        fill_empty(source, target, shape)


def fill_empty(source: Connection, target: Connection, shape: str) -> int:
    """Copy all rows into a database that holds nothing yet; return how many there were.

    Parameters
    ----------
    source
        In a transaction.
    target
        In a transaction that writes, of either engine.
    shape
        Of the source; the target gets the same.
    """
    from groundref.record.migrations.migrate import migrate

    migrate(target, shape)
    if is_sqlite(target):
        target.execute(text(f"PRAGMA application_id = {APPLICATION}"))
    tables = MetaData()
    tables.reflect(bind=target)
    total = 0
    for table in tables.sorted_tables:
        if table.name != MARK:
            at_once = _AT_ONCE.get(str(table.name), _USUAL)
            # The reflected types of one engine are read from the other: those used here are the same.
            wanted = select(table).execution_options(yield_per=at_once)
            for lot in source.execute(wanted).mappings().partitions(at_once):
                target.execute(insert(table), [dict(row) for row in lot])
                total += len(lot)
            there = target.execute(select(func.count()).select_from(table)).scalar_one()
            if there != source.execute(select(func.count()).select_from(table)).scalar_one():
                raise DamagedError(
                    f"not all {table.name} rows were found", "record", "run groundref record check"
                )
    return total


def _whole(copy: Record, path: Path) -> None:
    """Let the database look at the copy.

    Raises
    ------
    DamagedError
        When it finds anything.
    """
    with copy.reading() as connection:
        said = connection.exec_driver_sql("PRAGMA integrity_check(1)").scalar()
    if said != "ok":
        raise DamagedError(
            f"the copy is not sound ({said}) and was not kept", str(path), "run groundref record check"
        )


def _settle(draft: Path) -> None:
    """Leave one file, which can be read also where nothing may be written."""
    with closing(sqlite3.connect(draft)) as connection:
        connection.execute("PRAGMA journal_mode = DELETE")


def put_in_place(draft: Path, path: Path) -> None:
    """Let a file that was written take its place, down to the disk.

    Raises
    ------
    OSError
        When it cannot.
    """
    _to_disk(draft)
    for ending in _COMPANIONS:  # of one that lay there: the new one would take its writes for its own
        path.with_name(path.name + ending).unlink(missing_ok=True)
    draft.replace(path)
    if os.name == "posix":
        _to_disk(path.parent)


def _to_disk(path: Path) -> None:
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def _remove(draft: Path) -> None:
    for ending in ("", *_COMPANIONS):
        draft.with_name(draft.name + ending).unlink(missing_ok=True)


def abandoned(folder: Path) -> list[Path]:
    """Return the drafts in a folder whose program no longer runs."""
    return [
        path
        for path in sorted(folder.glob(f"{_DRAFT}*"))
        if not _runs(path.name.removeprefix(_DRAFT).partition(".")[0])
    ]


def _runs(process: str) -> bool:
    """Whether a process runs, for all that can be told."""
    if not process.isdecimal() or os.name != "posix":
        return True
    try:
        os.kill(int(process), 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True


def keep_copy(record: Record, shape: str) -> Path:
    """Copy a record before its shape is changed; return where the copy lies.

    That of a file lies beside it, that of a server in the user's own data folder.

    Raises
    ------
    RecordError
        When it cannot be written.
    """
    folder, beginning, suffix = _kept_as(record.place)
    _make_folder(folder)
    kept = folder / f"{beginning}{shape}{suffix}"
    copy_to(record, kept, shape)
    return kept


def kept_copies(place: Place) -> list[Path]:
    """Return the copies kept before changes of a record's shape, and what lies beside unfinished."""
    folder, beginning, _ = _kept_as(place)
    if not folder.is_dir():
        return []
    kept = [path for path in sorted(folder.iterdir()) if path.name.startswith(beginning)]
    return [*kept, *abandoned(folder)]


def _kept_as(place: Place) -> tuple[Path, str, str]:
    """Return folder, beginning and end of the names of copies of a record."""
    path = place.path
    if path is None:
        parts = urlsplit(place.server or "")
        name = f"{parts.hostname or 'server'}-{parts.path.strip('/')}"
        return data_folder(), f"{name}-before-change-from-", ".sqlite"
    return path.parent, f"{path.stem}-before-change-from-", path.suffix


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as problem:
        reason = (problem.strerror or "unknown reason").lower()
        raise RecordError(
            f"the folder cannot be made ({reason})", str(folder), "set XDG_DATA_HOME to another"
        ) from problem
