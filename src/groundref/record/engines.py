"""Connections to both kinds of database that can hold a record, set up so that the rest is the same.

SQLite runs in WAL mode, with every transaction on the disk before it counts as done (`synchronous` full),
what is deleted written over (`secure_delete`), and references checked. A transaction that writes takes the
one lock for writing at its start, on both engines, so that two that write never undo each other; readers see
the record as it was when they began.
"""

from __future__ import annotations

import os
import sqlite3
from importlib.util import find_spec
from pathlib import Path
from stat import S_ISDIR, S_ISREG
from typing import Any, Final

from sqlalchemy import URL, Connection, Engine, NullPool, create_engine, event, make_url
from sqlalchemy.exc import ArgumentError

from groundref.errors import RecordError, UsageError
from groundref.record.place import Place
from groundref.record.private import FILE, FOLDER

WRITING: Final = "groundref_writing"
APPLICATION: Final = 0x67726566  # marks a SQLite file as a record of ours
WAIT: Final = "GROUNDREF_RECORD_WAIT"  # names how long one that writes waits for another [s]
_USUAL_WAIT: Final = 15.0
_LONGEST_WAIT: Final = 3600.0
_LOCK: Final = 0x67726566  # of PostgreSQL's advisory locks


def engine_for(place: Place) -> Engine:
    """Return the way to a record; nothing is opened yet."""
    return _sqlite(place.path) if place.path is not None else _postgresql(place)


def waits() -> float:
    """Return how long one that writes waits for another [s].

    Raises
    ------
    UsageError
        When the variable that says it makes no sense.
    """
    said = os.environ.get(WAIT, str(_USUAL_WAIT))
    try:
        seconds = float(said)
    except ValueError:
        seconds = -1.0
    if not 0.001 <= seconds <= _LONGEST_WAIT:  # PostgreSQL takes 0 for no limit
        raise UsageError(f"{said!r} is no time to wait", WAIT, f"give 0.001 to {_LONGEST_WAIT:.0f} seconds")
    return seconds


def look_at_file(path: Path) -> None:
    """Refuse what can be no file of a record.

    Raises
    ------
    RecordError
        When it is a folder or a device, or cannot be looked at, such as a link that leads to itself.
    """
    try:
        mode = path.stat().st_mode
    except FileNotFoundError:
        return
    except OSError as problem:
        reason = (problem.strerror or "unknown reason").lower()
        raise RecordError(
            f"it cannot be opened ({reason})", str(path), "name another with --record"
        ) from problem
    if not S_ISREG(mode):
        what = "a folder" if S_ISDIR(mode) else "no file that a record can lie in"
        raise RecordError(f"this is {what}", str(path), "name a file with --record")


def make_file(path: Path) -> None:
    """Make the file of a new record, empty and for its owner only, unless it is there.

    Raises
    ------
    RecordError
        When it cannot be made.
    """
    try:
        path.parent.mkdir(mode=FOLDER, parents=True, exist_ok=True)
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, FILE))
    except FileExistsError:
        return
    except OSError as problem:
        reason = (problem.strerror or "unknown reason").lower()
        raise RecordError(
            f"the record cannot be made there ({reason})", str(path), "name another place with --record"
        ) from problem


def _sqlite(path: Path) -> Engine:
    engine = create_engine(
        URL.create("sqlite", database=str(path)), poolclass=NullPool, connect_args={"timeout": waits()}
    )

    @event.listens_for(engine, "connect")
    def _set_up(connection: sqlite3.Connection, _: object) -> None:
        connection.isolation_level = None  # a transaction begins where ``_begin`` says
        # A backup on a disk that can only be read is read as it is.
        wal = ("journal_mode = WAL",) if os.access(path, os.W_OK) else ()
        for pragma in (
            *wal,
            "synchronous = FULL",
            "foreign_keys = ON",
            "secure_delete = ON",
            "cell_size_check = ON",
            "trusted_schema = OFF",
        ):
            connection.execute(f"PRAGMA {pragma}")

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        options = connection.get_execution_options()
        if options.get("isolation_level") == "AUTOCOMMIT":
            return  # VACUUM stands outside
        writing = options.get(WRITING)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")

    return engine


def _postgresql(place: Place) -> Engine:
    if find_spec("psycopg") is None:
        raise UsageError(
            "a record on a server needs the package psycopg",
            str(place),
            "install groundref with its extra [school]",
        )
    try:
        url = make_url(place.server or "").set(drivername="postgresql+psycopg")
    except (ArgumentError, ValueError) as problem:
        raise UsageError(
            "this is no address of a database", str(place), "write postgresql://user@host/database"
        ) from problem
    wait = waits()
    engine = create_engine(url, poolclass=NullPool, connect_args={"connect_timeout": max(2, int(wait))})

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        writing = connection.get_execution_options().get(WRITING)
        if writing:
            connection.exec_driver_sql(f"SET LOCAL lock_timeout = '{round(wait * 1000)}ms'")
            connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({_LOCK})")
        else:
            connection.exec_driver_sql("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")

    return engine


def is_sqlite(connection: Connection) -> bool:
    """Whether a connection is to a file."""
    return connection.dialect.name == "sqlite"


def pragma(connection: Connection, name: str) -> Any:
    """Return the value of a setting of SQLite."""
    return connection.exec_driver_sql(f"PRAGMA {name}").scalar()
