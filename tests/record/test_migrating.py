"""Records of every shape there has been, from the oldest, opened by today's program."""

from __future__ import annotations

import gzip
import json
import multiprocessing
import shutil
from pathlib import Path

import pytest
from alembic.config import Config
from sqlalchemy import Connection, text
from sqlalchemy.exc import DBAPIError

from groundref.errors import DamagedError, RecordError
from groundref.record import store
from groundref.record.checking import check
from groundref.record.copying import fill_empty
from groundref.record.engines import engine_for
from groundref.record.lessons import flown_by, listed, shown
from groundref.record.migrations import NEWEST, migrate
from groundref.record.place import Place
from groundref.record.sealed import get_content
from groundref.record.soundness.mending import mend
from groundref.record.store import Record, look, open_record

FROZEN = Path(__file__).parents[1] / "data" / "record-0001.sqlite.gz"
ADDED = '''"""A column more."""

import sqlalchemy as sa
from alembic import op

revision = "9001"
down_revision = "{newest}"


def upgrade() -> None:
    op.add_column("site", sa.Column("frequency", sa.Text(), nullable=True))
    {then}
'''


def frozen(path: Path) -> Place:
    """A record that the first version wrote."""
    path.write_bytes(gzip.decompress(FROZEN.read_bytes()))
    path.chmod(0o600)
    return Place(path=path)


@pytest.fixture
def old(place: Place, tmp_path: Path) -> Place:
    """The record of the first version on each engine."""
    if place.path is not None:
        return frozen(place.path)
    source = look(frozen(tmp_path / "frozen.sqlite"))[0]
    target = Record(place, engine_for(place))
    with source.reading() as rows, target.writing() as connection:
        fill_empty(rows, connection, "0001")
    return place


def holds_everything(place: Place) -> None:
    record = open_record(place)
    assert [str(one) for one in check(record).troubles if one.serious] == []
    with record.reading() as connection:
        first, second = (shown(connection, number) for number in (1, 2))
        assert [row.number for row in listed(connection)] == [2, 1]
        assert (first.row.student, first.row.instructor) == ("Jo Brandt", "Ines Okafor")
        assert (first.row.site, first.row.airplane) == ("Crossroads at Elm Farm", "Trainer N1")
        assert (first.row.signed_by, first.signed_turn, first.has_plan) == ("Ines Okafor", 1, True)
        assert [turn for turn, _, _ in first.results] == [1, 2]
        own = first.maneuvers[0].elements[0]
        assert (own.own, own.reason) == ("met", "A gust; corrected at once.")
        assert (second.row.student, second.row.instructor) == ("Zoë Łęcka", None)
        recording = get_content(connection, first.parts[0][1], "lesson 1")
        assert recording.startswith(b"<?xml")
        name, lessons = flown_by(connection, "zoë łęcka")
        assert (name, len(lessons), lessons[0].date) == ("Zoë Łęcka", 1, "2026-05-03")


def test_the_oldest_record_is_brought_up_to_date_with_a_copy_kept(
    old: Place, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    said: list[str] = []
    open_record(old, say=said.append)
    holds_everything(old)
    (sentence,) = said
    copy = Path(sentence.rpartition(" lies in ")[2])
    assert copy.stat().st_mode & 0o777 == 0o600
    assert look(Place(path=copy))[1] == "0001"
    holds_everything(Place(path=copy))


@pytest.mark.parametrize(
    "damage",
    [
        "UPDATE element SET what = 'altitude' WHERE number = 2",
        "DELETE FROM element WHERE number = 1",
        "DELETE FROM fault",
        "UPDATE maneuver SET laps = laps + 1",
        "UPDATE element SET seal = 'nothing'",
        "DELETE FROM tally WHERE counted = 'element.maneuver_id'",
    ],
)
def test_what_was_damaged_before_is_found_and_mended_after(
    old: Place, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, damage: str
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    record = look(old)[0]
    with record.writing() as connection:
        migrate.migrate(connection, "0002")
        connection.execute(text(damage))
    opened = open_record(old)
    found = check(opened)
    assert not found.sound
    assert set(found.affected) <= {1, 2}
    with pytest.raises(DamagedError), opened.reading() as connection:
        shown(connection, found.affected[0])
    mend(opened, found.troubles)
    holds_everything(old)


def test_elements_and_faults_are_those_there_were(old: Place) -> None:
    record = look(old)[0]
    wanted = "SELECT maneuver_id, number, {} FROM {} ORDER BY maneuver_id, number"
    with record.writing() as connection:
        migrate.migrate(connection, "0002")
        before = {
            table: [dict(row) for row in connection.execute(text(wanted.format(columns, table))).mappings()]
            for table, columns in (
                ("element", 'code, what, verdict, "limit", target, worst'),
                ("fault", "fault, size_sd, strength"),
            )
        }
        migrate.migrate(connection)
        rows = connection.execute(text("SELECT id, elements, faults FROM maneuver ORDER BY id")).all()
    assert before["element"]
    assert before["fault"]
    for table, names in before.items():
        figures = [
            {"maneuver_id": row.id, "number": number, **each}
            for row in rows
            for number, each in enumerate(json.loads(getattr(row, f"{table}s")), start=1)
        ]
        assert [{name: each[name] for name in names[0]} for each in figures] == names


@pytest.fixture
def one_more(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Migrations with one more; the file can be changed by a test."""
    folder = tmp_path / "migrations"
    shutil.copytree(Path(migrate.__file__).parent, folder)
    added = folder / "versions" / "9001_more.py"
    added.write_text(ADDED.format(newest=NEWEST, then="pass"))
    usual = migrate.configuration

    def configuration(connection: Connection | None = None) -> Config:
        config = usual(connection)
        config.set_main_option("script_location", str(folder))
        return config

    monkeypatch.setattr(migrate, "configuration", configuration)
    monkeypatch.setattr(store, "NEWEST", "9001")
    monkeypatch.setattr(store, "REVISIONS", ("0001", NEWEST, "9001"))
    monkeypatch.setattr(migrate.migrate, "__defaults__", ("9001",))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    return added


def has_frequency(place: Place) -> bool:
    with look(place)[0].reading() as connection:
        try:
            connection.execute(text("SELECT frequency FROM site"))
        except DBAPIError:
            return False
    return True


def test_several_steps_are_one(old: Place, one_more: Path) -> None:
    open_record(old)
    assert look(old)[1] == "9001"
    assert has_frequency(old)


def test_a_step_that_fails_leaves_the_record_as_it_was(
    old: Place, one_more: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    one_more.write_text(ADDED.format(newest=NEWEST, then='op.execute("SELECT nothing FROM nowhere")'))
    with pytest.raises(RecordError):
        open_record(old)
    assert look(old)[1] == "0001"
    monkeypatch.undo()
    holds_everything(old)


def test_an_older_program_refuses_it_and_changes_nothing(old: Place, one_more: Path) -> None:
    open_record(old)
    with pytest.MonkeyPatch.context() as before:
        before.setattr(store, "NEWEST", NEWEST)
        before.setattr(store, "REVISIONS", ("0001", NEWEST))
        with pytest.raises(RecordError, match="written by a newer groundref"):
            open_record(old)
    assert look(old)[1] == "9001"


def _open(place: Place) -> None:
    open_record(place)


def test_two_programs_at_once_change_it_once(
    old: Place, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    both = multiprocessing.get_context("spawn")
    programs = [both.Process(target=_open, args=(old,)) for _ in range(2)]
    for program in programs:
        program.start()
    for program in programs:
        program.join()
    assert [program.exitcode for program in programs] == [0, 0]
    holds_everything(old)
    copies = [*tmp_path.rglob("*-before-change-from-0001.sqlite")]
    assert [look(Place(path=copy))[1] for copy in copies] == ["0001"]
