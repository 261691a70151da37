"""Whether a record is sound: nothing lost, nothing changed, nothing half; and what to do where it is not."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import chain

from sqlalchemy import Connection, func, select
from sqlalchemy.exc import DBAPIError

from groundref.record import schema
from groundref.record.place import Place
from groundref.record.soundness import contents, database, kept
from groundref.record.soundness.troubles import BACKUP, Trouble
from groundref.record.store import Record

Progress = Callable[[int, int], None]  # done, of how many


@dataclass(frozen=True, slots=True)
class Checked:
    """What was looked at, and what is not as it should be.

    Attributes
    ----------
    lessons, rows, contents
        How many lessons, rows and pieces of content (recordings, debriefs, plans) were looked at.
    troubles
        What is not as it should be.
    """

    lessons: int
    rows: int
    contents: int
    troubles: tuple[Trouble, ...]

    @property
    def sound(self) -> bool:
        """Whether nothing is damaged."""
        return not any(trouble.serious for trouble in self.troubles)

    @property
    def affected(self) -> tuple[int, ...]:
        """The numbers of the lessons that a damage concerns."""
        return tuple(sorted({n for one in self.troubles if one.serious for n in one.lessons}))


class _Done:
    """Counts what was looked at, and tells it on."""

    def __init__(self, total: int, progress: Progress | None) -> None:
        self.rows = self.contents = 0
        self._total, self._progress = total, progress

    def row(self, more: int) -> None:
        self.rows += more
        self._tell()

    def content(self, more: int) -> None:
        self.contents += more
        self._tell()

    def _tell(self) -> None:
        if self._progress is not None:
            self._progress(self.rows + self.contents, self._total)


def check(record: Record, progress: Progress | None = None) -> Checked:
    """Look at everything in a record, as it is at one moment; others may go on using it.

    Parameters
    ----------
    record
        Opened.
    progress
        Told how much is done, and how much there is.

    Raises
    ------
    RecordError
        When it cannot be reached.
    """
    found = list(database.files(record.place))
    with record.reading() as connection:
        place = record.place
        found += _guarded(place, database.database(connection, place))
        found += _guarded(place, database.shape(connection, place))
        done = _Done(_total(connection), progress)
        rows, wrong = kept.read(connection, done.row)
        found += wrong
        found += _guarded(place, kept.tallies(connection, rows))
        found += _guarded(place, _references(connection, rows))
        found += _guarded(place, contents.contents(connection, rows, done.content))
    return Checked(len(rows.numbers), done.rows, done.contents, tuple(found))


def _references(connection: Connection, rows: kept.Kept) -> Iterator[Trouble]:
    yield from kept.references(rows, contents.names(connection))


def _total(connection: Connection) -> int:
    """Return how much there is to look at, 0 where even that cannot be told."""
    try:
        return sum(
            connection.execute(select(func.count()).select_from(table)).scalar_one()
            for table in chain(kept.SEALED, [schema.content])
        )
    except DBAPIError:
        return 0


def _guarded(place: Place, troubles: Iterator[Trouble]) -> Iterator[Trouble]:
    """Go on to the next thing to look at when the database fails at one."""
    try:
        yield from troubles
    except DBAPIError as problem:
        yield Trouble("database", f"it is damaged ({problem.orig})", str(place), BACKUP)
