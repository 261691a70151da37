"""Empty records on each engine: a file, and PostgreSQL where `GROUNDREF_TEST_POSTGRESQL` names a server.

`.ci/run` starts such a server. Without one the same tests run on files alone.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from uuid import uuid4

import pytest
from sqlalchemy import NullPool, create_engine, make_url

from groundref.record.place import Place
from groundref.record.store import Record, open_record

SERVER = os.environ.get("GROUNDREF_TEST_POSTGRESQL")
ENGINES = ["sqlite"] if SERVER is None else ["sqlite", "postgresql"]


@pytest.fixture(params=ENGINES)
def place(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Place]:
    """Where a record can be made, on each engine."""
    with place_on(request.param, tmp_path / "record.sqlite") as made:
        yield made


@contextmanager
def place_on(engine: str, path: Path) -> Iterator[Place]:
    """Give a place where a record can be made on an engine; of a file, where it is to lie."""
    if engine == "sqlite":
        yield Place(path=path)
        return
    name = f"groundref_{uuid4().hex}"
    url = make_url(SERVER or "").set(drivername="postgresql+psycopg")
    server = create_engine(url, poolclass=NullPool, isolation_level="AUTOCOMMIT")
    with server.connect() as connection:
        connection.exec_driver_sql(f"CREATE DATABASE {name}")
    try:
        own = url.set(drivername="postgresql", database=name)
        yield Place(server=own.render_as_string(hide_password=False))
    finally:
        with server.connect() as connection:
            connection.exec_driver_sql(f"DROP DATABASE {name} WITH (FORCE)")


@pytest.fixture
def record(place: Place) -> Record:
    """An empty record."""
    return open_record(place, make=True)


@pytest.fixture
def file_place(tmp_path: Path) -> Place:
    """Where a record can be made as a file, for what only files can suffer."""
    return Place(path=tmp_path / "record.sqlite")
