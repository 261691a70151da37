"""The record, opened: its shape looked at, brought up to date with a copy kept, and its transactions."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Final

from sqlalchemy import Connection, Engine, inspect, text
from sqlalchemy.exc import DBAPIError

from groundref.errors import RecordError
from groundref.record.engines import (
    APPLICATION,
    WRITING,
    engine_for,
    is_sqlite,
    look_at_file,
    make_file,
    pragma,
)
from groundref.record.migrations import NEWEST, REVISIONS
from groundref.record.place import Place
from groundref.record.private import tighten
from groundref.record.refused import sentence, unreadable

MARK: Final = "alembic_version"


class Record:
    """An opened record.

    Parameters
    ----------
    place
        Where it lies; named in messages.
    engine
        The way there.
    """

    def __init__(self, place: Place, engine: Engine) -> None:
        self.place = place
        self._engine = engine

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Read, all as it was at one moment.

        Raises
        ------
        RecordError
            When the database refuses.
        """
        with self._connection() as connection, connection.begin():
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """Write, all of it or, when anything fails, nothing; one at a time.

        Raises
        ------
        RecordError
            When the database refuses, and nothing was written then; or when the record's file was taken away
            meanwhile, so that what was written went with it.
        """
        before = self._file()
        with self._connection() as connection:
            chosen = connection.execution_options(**{WRITING: True})
            with chosen.begin():
                yield chosen
        # A system lets a program write on to a file that has been deleted: SQLite does not notice.
        if self._file() != before:
            raise _taken_away(self.place)

    @contextmanager
    def outside(self) -> Iterator[Connection]:
        """Run what no transaction may hold, such as VACUUM."""
        with self._connection() as connection:
            yield connection.execution_options(isolation_level="AUTOCOMMIT")

    def _file(self) -> tuple[int, int] | None:
        """Return which file the record is now; None on a server.

        Raises
        ------
        RecordError
            When it is there no more: SQLite would make an empty one in its place.
        """
        if self.place.path is None:
            return None
        try:
            found = self.place.path.stat()
        except OSError as problem:
            raise _taken_away(self.place) from problem
        return found.st_dev, found.st_ino

    @contextmanager
    def _connection(self) -> Iterator[Connection]:
        self._file()
        try:
            with self._engine.connect() as connection:
                yield connection
        except DBAPIError as problem:
            raise sentence(problem, self.place) from problem
        except UnicodeDecodeError as problem:  # in what SQLite says of a damaged page
            raise unreadable(self.place) from problem


def open_record(place: Place, *, make: bool = False, say: Callable[[str], None] | None = None) -> Record:
    """Open a record.

    Parameters
    ----------
    place
        Where it lies.
    make
        Whether to make a new one where there is none.
    say
        Told in one sentence when the record was brought up to date, or others had rights to it.

    Raises
    ------
    RecordError
        When there is none, it is none of ours, it was written by a newer groundref, or it cannot be opened.
    """
    from groundref.record.wiping import finish, is_marked

    if place.path is not None and make:
        make_file(place.path)
    record, shape = look(place)
    if place.path is not None:
        tighten(place.path, say)
    unfinished = False
    if shape is not None:
        with record.reading() as connection:
            unfinished = is_marked(connection)
    if unfinished:
        finish(record, say)
    if shape == NEWEST:
        return record
    if shape is None and not make:
        raise _none(place)
    bring_up_to_date(record, shape, say)
    return record


def look(place: Place) -> tuple[Record, str | None]:
    """Return a record as it is, and its shape: None when it is empty. Nothing in it is changed.

    Raises
    ------
    RecordError
        When there is none, it is none of ours, it was written by a newer groundref, or it cannot be opened.
    """
    if place.path is not None:
        look_at_file(place.path)
        if not place.path.exists():
            raise _none(place)
    record = Record(place, engine_for(place))
    if place.path is not None and place.path.stat().st_size == 0:
        return record, None  # asked, SQLite would write the head of a database into it
    with record.reading() as connection:
        return record, _shape(connection, place)


def bring_up_to_date(record: Record, shape: str | None, say: Callable[[str], None] | None = None) -> None:
    """Bring a record to today's shape, with a copy of an older one kept beside it.

    Parameters
    ----------
    record
        The record.
    shape
        That it has; None for one that is empty.
    say
        Told where the copy lies.
    """
    from groundref.record.migrations.migrate import migrate

    kept = None
    with record.writing() as connection:
        if _shape(connection, record.place) == NEWEST:
            return  # another did it in the meantime
        if shape is not None:
            from groundref.record.copying import keep_copy

            kept = keep_copy(record, shape)  # by a connection of its own; nobody else can write now
        migrate(connection)
        if is_sqlite(connection):
            connection.execute(text(f"PRAGMA application_id = {APPLICATION}"))
    if kept is not None and say is not None:
        say(f"the record was brought up to date; as it was before, it lies in {kept}")


def _shape(connection: Connection, place: Place) -> str | None:
    """Return the shape of a record, None for an empty database.

    Raises
    ------
    RecordError
        When it is none of ours or too new.
    """
    tables = set(inspect(connection).get_table_names())
    if not tables:
        return None
    ours = not is_sqlite(connection) or pragma(connection, "application_id") == APPLICATION
    if not ours or not {MARK, "lesson", "content"} <= tables:
        raise RecordError(
            "this database holds something else than a training record",
            str(place),
            "name another with --record",
        )
    shape = str(connection.execute(text(f"SELECT version_num FROM {MARK}")).scalar())
    if shape not in REVISIONS:
        raise RecordError(
            f"it was written by a newer groundref (its shape is {shape}, this one knows up to {NEWEST})",
            str(place),
            "update groundref; nothing was changed",
        )
    return shape


def _taken_away(place: Place) -> RecordError:
    return RecordError(
        "the record's file was there and is gone, or another lies in its place",
        str(place),
        "put the file or its disk back, or restore a backup; nothing of this was saved",
    )


def _none(place: Place) -> RecordError:
    return RecordError(
        "there is no training record yet", str(place), "groundref record add makes it with the first lesson"
    )
