"""Copies of a record on each engine, and the way back from them."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from groundref.cli.main import main
from groundref.errors import DamagedError, RecordError
from groundref.record.checking import check
from groundref.record.copying import abandoned, copy_to
from groundref.record.lessons import add
from groundref.record.migrations import NEWEST
from groundref.record.place import Place
from groundref.record.restoring import prove, restore
from groundref.record.store import Record, open_record
from tests.record.small import answers, filled, small


def test_a_copy_answers_as_the_record_does(place: Place, tmp_path: Path) -> None:
    record = filled(place, 4)
    copy = Place(path=tmp_path / "copy.sqlite")
    assert copy.path is not None
    copy_to(record, copy.path, NEWEST)
    assert stat.S_IMODE(copy.path.stat().st_mode) == 0o600
    assert [path.name for path in tmp_path.iterdir() if path.name.startswith("copy")] == ["copy.sqlite"]
    assert answers(copy) == answers(place)
    assert check(open_record(copy)).troubles == ()


def test_a_copy_made_while_another_writes_is_of_one_moment(place: Place, tmp_path: Path) -> None:
    record = filled(place, 2)
    with record.writing():  # holds the lock for writing, and has written nothing yet
        copy_to(record, tmp_path / "copy.sqlite", NEWEST)
    add(record, small(3))
    assert check(open_record(Place(path=tmp_path / "copy.sqlite"))).lessons == 2


def test_a_damaged_record_never_takes_the_place_of_a_good_copy(place: Place, tmp_path: Path) -> None:
    record = filled(place, 2)
    copy = tmp_path / "copy.sqlite"
    copy_to(record, copy, NEWEST)
    good = copy.read_bytes()
    with record.writing() as connection:
        connection.exec_driver_sql("UPDATE maneuver SET wind_kt = 99")
    with pytest.raises(DamagedError, match="the copy is not sound"):
        copy_to(record, copy, NEWEST, lambda one: prove(one, "the copy"))
    assert copy.read_bytes() == good
    assert {path.name for path in tmp_path.iterdir()} <= {"copy.sqlite", *_names(record)}


def _names(record: Record) -> set[str]:
    path = record.place.path
    return set() if path is None else {path.name + ending for ending in ("", "-wal", "-shm")}


def test_a_backup_is_put_back_and_what_lay_there_is_kept(place: Place, tmp_path: Path) -> None:
    record = filled(place, 2)
    before = answers(place)
    backup = tmp_path / "backup.sqlite"
    copy_to(record, backup, NEWEST)
    add(record, small(3))
    if place.path is None:
        with pytest.raises(RecordError, match="there is something in this database"):
            restore(backup, place)
        return
    aside = restore(backup, place)
    assert answers(place) == before
    assert aside is not None
    assert check(open_record(Place(path=aside))).lessons == 3


def test_a_record_moves_to_another_place_and_back(place: Place, tmp_path: Path) -> None:
    origin = Place(path=tmp_path / "origin.sqlite")
    filled(origin, 3)
    assert origin.path is not None
    assert restore(origin.path, place) is None
    assert answers(place) == answers(origin)
    add(open_record(place), small(4))
    back = Place(path=tmp_path / "back.sqlite")
    assert back.path is not None
    copy_to(open_record(place), back.path, NEWEST)
    assert answers(back) == answers(place)


def test_what_an_interrupted_copy_left_is_told_and_swept_away(tmp_path: Path) -> None:
    record = filled(Place(path=tmp_path / "record.sqlite"), 1)
    left = tmp_path / ".groundref-copy.99999999.copy.sqlite"
    left.write_bytes(b"half")
    running = tmp_path / f".groundref-copy.{os.getppid()}.copy.sqlite"
    running.write_bytes(b"of another program, which is at it")
    assert abandoned(tmp_path) == [left]
    assert [trouble.where for trouble in check(record).troubles] == [str(left)]
    copy_to(record, tmp_path / "copy.sqlite", NEWEST)
    assert not left.exists()
    assert running.exists()


def test_the_command_replaces_nothing_without_a_yes(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    filled(Place(path=tmp_path / "record.sqlite"), 1)
    where, copy = ["--record", str(tmp_path / "record.sqlite")], tmp_path / "copy.sqlite"
    assert main(["record", "backup", str(copy), *where]) == 0
    before = copy.read_bytes()
    assert main(["record", "backup", str(copy), *where]) == 2
    assert "is there already" in capsys.readouterr().err
    assert copy.read_bytes() == before
    assert main(["record", "backup", str(copy), "--yes", *where]) == 0
    assert main(["record", "backup", str(tmp_path / "record.sqlite"), "--yes", *where]) == 2
    assert main(["record", "restore", str(copy), *where]) == 2
    assert main(["record", "restore", str(copy), "--yes", *where]) == 0
    folder = tmp_path / "backups"
    folder.mkdir()
    assert main(["record", "backup", str(folder), *where]) == 0
    assert [path.suffix for path in folder.iterdir()] == [".sqlite"]
    loop = tmp_path / "loop"
    loop.symlink_to(loop)
    assert main(["record", "backup", str(loop), *where]) == 73
    assert main(["record", "backup", str(tmp_path / "nowhere" / "copy.sqlite"), *where]) == 73
