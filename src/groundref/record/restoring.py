"""The way back from a backup, to a file or to a server."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from groundref.errors import DamagedError, RecordError
from groundref.record.checking import Progress, check
from groundref.record.copying import copy_to, fill_empty
from groundref.record.engines import engine_for
from groundref.record.migrations import NEWEST
from groundref.record.place import Place
from groundref.record.store import Record, look, open_record


def prove(record: Record, what: str, progress: Progress | None = None) -> None:
    """Refuse a record of today's shape that is not sound.

    Parameters
    ----------
    record
        Which.
    what
        What to call it.
    progress
        Told how much was looked at.

    Raises
    ------
    DamagedError
        When it is damaged.
    """
    troubles = [trouble for trouble in check(record, progress).troubles if trouble.serious]
    if troubles:
        first = troubles[0]
        more = f" and {len(troubles) - 1} more" if len(troubles) > 1 else ""
        raise DamagedError(
            f"{what} is not sound ({first.where}: {first.what}{more})",
            str(record.place),
            "run groundref record check",
        )


def restore(backup: Path, place: Place, progress: Progress | None = None) -> Path | None:
    """Put a backup in the place of a record.

    Parameters
    ----------
    backup
        A record in a file, of today's shape or an older one; it stays as it is.
    place
        Where it goes: a file, which is moved aside when one lies there, or an empty database on a server.
    progress
        Told how much of the backup was looked at.

    Returns
    -------
    Path
        Where the file that lay there lies now; None when there was none.

    Raises
    ------
    RecordError
        When the backup cannot be read or is not sound, or the place cannot be written or holds something.
    """
    source, shape = look(Place(path=backup))
    if shape is None:
        raise RecordError("this backup is empty", str(backup), "name another")
    if shape == NEWEST:
        prove(source, "the backup", progress)
    if place.path is None:
        _to_server(source, place, shape)
        return None
    path, aside = place.path, None

    def clear(_: Record) -> None:
        nonlocal aside
        aside = _move_aside(path)

    copy_to(source, path, shape, clear)
    open_record(place)
    return aside


def _to_server(source: Record, place: Place, shape: str) -> None:
    target = Record(place, engine_for(place))
    with source.reading() as rows, target.writing() as connection:
        if not is_empty(target):
            raise RecordError(
                "there is something in this database", str(place), "make an empty one with createdb"
            )
        fill_empty(rows, connection, shape)
    prove(open_record(place), "what was restored")


def is_empty(record: Record) -> bool:
    """Whether there is nothing in a database, not even tables."""
    return look(record.place)[1] is None


def replaced(place: Place) -> list[Path]:
    """Return the records in files that ``restore`` moved aside, which lie beside the one in use."""
    path = place.path
    if path is None or not path.parent.is_dir():
        return []
    beginning = f"{path.stem}-replaced-"
    return [
        each
        for each in sorted(path.parent.iterdir())
        if each.name.startswith(beginning) and each.suffix == path.suffix
    ]


def _move_aside(path: Path) -> Path | None:
    """Give another name to a record in a file and its companions; return the name."""
    if not path.exists():
        return None
    moment = datetime.now(UTC).strftime("%Y-%m-%dT%H%M%SZ")
    aside = path.with_name(f"{path.stem}-replaced-{moment}{path.suffix}")
    # The file of the latest writes first, so that it never lies beside another record.
    for ending in ("-shm", "-wal", ""):
        there = path.with_name(path.name + ending)
        if there.exists():
            there.rename(aside.with_name(aside.name + ending))
    return aside
