"""Copies of a whole record, consistent while it is in use."""

from __future__ import annotations

import os
from pathlib import Path

from sqlalchemy import text

from groundref.errors import RecordError
from groundref.record.store import Record


def copy_to(record: Record, path: Path) -> None:
    """Write the whole record into a file of its own.

    SQLite's `VACUUM INTO` writes it as it is at one moment, beside the destination under another name; it is
    on the disk before it takes its place, so that a copy is whole or not there.

    Parameters
    ----------
    record
        Any; others may go on reading and writing.
    path
        Of the copy.

    Raises
    ------
    RecordError
        When it cannot be written.
    """
    draft = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        draft.unlink(missing_ok=True)
        os.close(os.open(draft, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
        with record.outside() as connection:
            connection.execute(text("VACUUM INTO :path"), {"path": str(draft)})
        descriptor = os.open(draft, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
        draft.replace(path)
    except OSError as problem:
        reason = (problem.strerror or "unknown reason").lower()
        raise RecordError(
            f"the copy cannot be written ({reason})", str(path), "name another place"
        ) from problem
    finally:
        draft.unlink(missing_ok=True)


def keep_copy(record: Record, shape: str) -> Path:
    """Copy a record before its shape is changed; return where the copy lies.

    Raises
    ------
    RecordError
        When it cannot be written, or the record lies on a server.
    """
    if record.place.path is None:
        raise NotImplementedError
    path = record.place.path
    kept = path.with_name(f"{path.stem}-before-change-from-{shape}{path.suffix}")
    copy_to(record, kept)
    return kept
