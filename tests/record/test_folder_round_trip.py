"""Out and in again without loss: the same folder, byte for byte, from one engine to the other."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from dataclasses import asdict
from itertools import permutations, product
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import HealthCheck, given, settings

from groundref.export import to_table
from groundref.record import schema
from groundref.record.folder.read import brought
from groundref.record.folder.take import Taken, take
from groundref.record.folder.write import write_folder
from groundref.record.results import maneuvers_of
from groundref.record.store import Record, open_record
from tests.record.conftest import ENGINES, place_on
from tests.record.inventing import Invented, records, write

SCHEMA = Path(__file__).parents[2] / "docs" / "schema" / "record-1.json"
Contents = dict[str, bytes]


# Across engines each is written from and read into; with one engine alone, within it.
PAIRS = list(permutations(ENGINES, 2)) or list(product(ENGINES, ENGINES))


@pytest.fixture(params=PAIRS, ids="-".join)
def two(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[tuple[Record, Record]]:
    """Two records, on two engines where there are two."""
    there, here = request.param
    with (
        place_on(there, tmp_path / "there.sqlite") as first,
        place_on(here, tmp_path / "here.sqlite") as second,
    ):
        yield open_record(first, make=True), open_record(second, make=True)


def exported(record: Record, folder: Path, student: str | None = None) -> Contents:
    write_folder(record, folder, student=student, tabled=to_table)
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()
    }


def imported(record: Record, folder: Path, **options: Any) -> Taken:
    with brought(folder) as found:
        return take(record, found, **options)


def figures(record: Record) -> dict[str, Any]:
    """Return the figures of every result, by its id."""
    with record.reading() as connection:
        results = {row["id"]: row for row in whole_of(record, "result")}
        return {
            identity: [
                asdict(one) for one in maneuvers_of(connection, {row["lesson_id"]: row})[row["lesson_id"]]
            ]
            for identity, row in results.items()
        }


def whole_of(record: Record, name: str) -> list[dict[str, Any]]:
    table = schema.METADATA.tables[name]
    with record.reading() as connection:
        return [dict(row) for row in connection.execute(table.select()).mappings()]


@settings(
    deadline=None,
    max_examples=25,
    suppress_health_check=[
        HealthCheck.function_scoped_fixture,
        HealthCheck.too_slow,
        HealthCheck.data_too_large,
    ],
)
@given(made=records())
def test_what_comes_back_is_what_went_out(two: tuple[Record, Record], tmp_path: Path, made: Invented) -> None:
    there, here = two
    write(there, made)
    write(here, Invented())
    for name in ("out", "again"):
        shutil.rmtree(tmp_path / name, ignore_errors=True)
    out = exported(there, tmp_path / "out")
    document = json.loads(out["record.json"])
    jsonschema.validate(document, json.loads(SCHEMA.read_text("utf-8")))
    assert {each["name"] for each in document["people"]} == {
        row["name"] for row in made.rows.get("person", [])
    }
    taken = imported(here, tmp_path / "out")
    assert {one.what for one in taken.lessons} <= {"new"}
    assert exported(here, tmp_path / "again") == out
    for name in ("person", "airplane", "recording", "part", "result", "own_verdict", "content"):
        ours, theirs = ({row["id"]: row for row in whole_of(each, name)} for each in two)
        assert ours == theirs
    assert figures(there) == figures(here)
    # A second time there is nothing new.
    again = imported(here, tmp_path / "out")
    assert {one.what for one in again.lessons} <= {"known"}
    assert (again.people, again.airplanes, again.sites, again.recordings) == (0, 0, 0, 0)
