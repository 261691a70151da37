"""The files of a record, its database and its shape."""

from __future__ import annotations

import stat
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from sqlalchemy import Connection

from groundref.record import schema
from groundref.record.engines import is_sqlite
from groundref.record.place import Place
from groundref.record.soundness.troubles import BACKUP, MEND, Trouble

_MOST: Final = 100  # complaints of the database itself
# What SQLite says of an index that does not fit its table (sqlite.org/pragma.html#pragma_integrity_check).
_OF_INDEXES: Final = ("missing from index", "wrong # of entries in index", "non-unique entry in index")
_COMPANIONS: Final = ("", "-wal", "-shm")


def files_of(place: Place) -> tuple[Path, ...]:
    """Return the files of a record that are there."""
    if place.path is None:
        return ()
    named = (place.path.with_name(place.path.name + ending) for ending in _COMPANIONS)
    return tuple(path for path in named if path.is_file())


def open_to_others(place: Place) -> list[Path]:
    """Return the files of a record that others than its owner may read or write."""
    return [path for path in files_of(place) if stat.S_IMODE(path.stat().st_mode) & 0o077]


def files(place: Place) -> Iterator[Trouble]:
    """Look whether only the owner may read the files, and for what an interrupted copy or export left."""
    for path in open_to_others(place):
        yield Trouble("files", "others may read this file", str(path), MEND, serious=False, mendable=True)
    for path in drafts_beside(place):
        yield Trouble(
            "files",
            "a copy or an export that was interrupted left this; nothing needs it",
            str(path),
            MEND,
            serious=False,
            mendable=True,
        )


def drafts_beside(place: Place) -> list[Path]:
    """Return what interrupted copies (files) and exports (folders) left beside a record."""
    from groundref.record.copying import abandoned
    from groundref.record.folder.draft import abandoned_folders

    if place.path is None:
        return []
    return [*abandoned(place.path.parent), *abandoned_folders(place.path.parent)]


def database(connection: Connection, place: Place) -> Iterator[Trouble]:
    """Ask the database whether its pages, indexes and references are sound; PostgreSQL keeps no such test."""
    if not is_sqlite(connection):
        return
    for (said,) in connection.exec_driver_sql(f"PRAGMA integrity_check({_MOST})"):
        if said != "ok":
            index = any(words in said for words in _OF_INDEXES)
            yield Trouble(
                "database",
                f"the database says: {said}",
                str(place),
                MEND if index else BACKUP,
                mendable=index,
            )
    for row in connection.exec_driver_sql("PRAGMA foreign_key_check"):
        yield Trouble("reference", f"a {row[0]} refers to a {row[2]} that is not there", str(place), BACKUP)


def shape(connection: Connection, place: Place) -> Iterator[Trouble]:
    """Look whether tables, columns and indexes are those that the program expects."""
    from alembic.autogenerate import compare_metadata
    from alembic.migration import MigrationContext

    for difference in compare_metadata(MigrationContext.configure(connection), schema.METADATA):
        yield Trouble("shape", f"its shape differs ({_told(difference)})", str(place), BACKUP)


def _told(difference: object) -> str:
    """Return a difference that Alembic found in a few words."""
    while isinstance(difference, list) and difference:
        difference = difference[0]
    if not isinstance(difference, tuple):
        return str(difference)
    words = (getattr(part, "name", part) for part in difference)
    return " ".join(str(word) for word in words if isinstance(word, str))
