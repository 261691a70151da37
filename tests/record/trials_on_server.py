"""The same work on a record on a server, which goes on when the program is killed.

Each attempt works on a database of its own, a copy of one that was made once (PostgreSQL's documentation,
"CREATE DATABASE ... TEMPLATE").
"""

from __future__ import annotations

import os
from typing import Final

from sqlalchemy import NullPool, create_engine, make_url

from groundref.record.copying import fill_empty
from groundref.record.engines import engine_for
from groundref.record.lessons import add
from groundref.record.place import Place, place_of
from groundref.record.store import Record, look, open_record
from tests.record.small import small
from tests.record.trials import (
    BackingUp,
    Exporting,
    Forgetting,
    Importing,
    Making,
    Migrating,
    Report,
    Trial,
)

SERVER: Final = "GROUNDREF_KILL_SERVER"  # names an empty database that kills may be tried on


class OnServer(Trial):
    """What a kind of work needs on a server."""

    share = 0.5

    def places(self) -> tuple[Place, Place]:
        os.environ["XDG_DATA_HOME"] = str(self.folder)  # copies of a server's record are kept there
        url = make_url(os.environ[SERVER])
        self.names = [f"{url.database}_{what}" for what in ("start", "work")]
        self._server = create_engine(
            url.set(drivername="postgresql+psycopg"), poolclass=NullPool, isolation_level="AUTOCOMMIT"
        )
        self._drop(*self.names)
        self._ask(f'CREATE DATABASE "{self.names[0]}"')
        start, place = (url.set(database=name).render_as_string(hide_password=False) for name in self.names)
        return place_of(start), place_of(place)

    def bring(self) -> None:
        start, work = self.names
        self._drop(work)
        self._ask(f'CREATE DATABASE "{work}" TEMPLATE "{start}"')

    def settle(self) -> None:
        """Wait for the last thing that the server was told, as anybody does who writes."""
        with look(self.place)[0].writing():
            pass

    def end(self) -> None:
        self._drop(*self.names)

    def _drop(self, *names: str) -> None:
        for name in names:
            self._ask(f'DROP DATABASE IF EXISTS "{name}" WITH (FORCE)')

    def _ask(self, words: str) -> None:
        with self._server.connect() as connection:
            connection.exec_driver_sql(words)


class AddingOnServer(Trial):
    """Lessons are added to one record that goes on from kill to kill."""

    share = 0.25

    def places(self) -> tuple[Place, Place]:
        place = place_of(os.environ[SERVER])
        return place, place

    def begin(self) -> None:
        open_record(self.place, make=True)

    def prepare(self) -> None:
        self.before = self.numbers()

    def settle(self) -> None:
        with open_record(self.place).writing():
            pass  # the server may still be at the last thing that it was told

    def work(self, report: Report) -> None:
        record = open_record(self.place)
        for number in range(len(self.before) + 1, len(self.before) + 4):
            report(str(add(record, small(number))[0]))

    def judge(self, reported: list[str]) -> str:
        self.sound()
        after = self.numbers()[len(self.before) :]
        saved = [int(number) for number in reported]
        assert after in (saved, [*saved, len(self.before) + len(saved) + 1])
        return f"{len(saved)} saved"


class MakingOnServer(OnServer, Making):
    """The first lessons of a record in an empty database."""

    def begin(self) -> None:
        """Nothing is there."""


class BackingUpOnServer(OnServer, BackingUp):
    """A backup of a server's record in a file."""


class MigratingOnServer(OnServer, Migrating):
    """A record of the first shape on a server."""

    def begin(self) -> None:
        super().begin()
        source = look(self.oldest)[0]
        with source.reading() as rows, Record(self.start, engine_for(self.start)).writing() as connection:
            fill_empty(rows, connection, "0001")


class ImportingOnServer(OnServer, Importing):
    """A folder taken into a server's record."""


class ExportingOnServer(OnServer, Exporting):
    """A server's record written as a folder."""


class ForgettingOnServer(OnServer, Forgetting):
    """Somebody forgotten on a server."""
