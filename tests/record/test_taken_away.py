"""The record's file or folder goes, or may no longer be written to, while somebody adds a lesson."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from groundref.errors import RecordError
from groundref.record.checking import check
from groundref.record.lessons import add, listed
from groundref.record.place import Place
from groundref.record.store import Record, open_record
from tests.record.small import answers, filled, small
from tests.record.test_hostile import as_nobody

GONE = "the record's file was there and is gone, or another lies in its place"


@pytest.fixture
def kept(tmp_path: Path) -> Record:
    """A record in a folder of its own, and a backup of its file elsewhere."""
    folder = tmp_path / "disk"
    folder.mkdir()
    record = filled(Place(path=folder / "record.sqlite"), 2)
    shutil.copy(folder / "record.sqlite", tmp_path / "backup.sqlite")
    return record


def _delete_file(path: Path) -> None:
    path.unlink()


def _delete_folder(path: Path) -> None:
    shutil.rmtree(path.parent)


def _move_folder(path: Path) -> None:
    path.parent.rename(path.parent.with_name("elsewhere"))


def _put_another(path: Path) -> None:
    shutil.copy(path, path.with_name("other"))
    path.with_name("other").replace(path)


AWAY = [_delete_file, _delete_folder, _move_folder]


@pytest.mark.parametrize("take", AWAY)
def test_gone_before_the_lesson_is_written(kept: Record, take: Callable[[Path], None]) -> None:
    """As while the debrief is worked out: no empty record is made in its place."""
    path = kept.place.path
    assert path is not None
    take(path)
    for work in (lambda: add(kept, small(3)), lambda: check(kept)):
        with pytest.raises(RecordError) as refusal:
            work()
        assert str(refusal.value) == (
            f"{path}: {GONE}; put the file or its disk back, or restore a backup; nothing of this was saved"
        )
    assert not path.exists()


@pytest.mark.parametrize("take", [*AWAY, _put_another])
def test_gone_while_it_is_written(kept: Record, tmp_path: Path, take: Callable[[Path], None]) -> None:
    """Nothing is reported as saved that went with the file."""
    path = kept.place.path
    assert path is not None

    def write() -> None:
        with kept.writing() as connection:
            connection.exec_driver_sql("UPDATE site SET remarks = 'never seen'")
            take(path)

    with pytest.raises(RecordError, match=GONE):
        write()
    path.parent.mkdir(exist_ok=True)
    for each in path.parent.iterdir():
        each.unlink()
    shutil.copy(tmp_path / "backup.sqlite", path)
    assert check(open_record(kept.place)).troubles == ()
    assert add(kept, small(3)) == (3, True)


def test_a_disk_that_comes_back_brings_all_that_was_saved(kept: Record) -> None:
    path = kept.place.path
    assert path is not None
    before = answers(kept.place)
    away = path.parent.with_name("away")
    path.parent.rename(away)
    with pytest.raises(RecordError, match=GONE):
        add(kept, small(3))
    away.rename(path.parent)
    assert answers(kept.place) == before
    assert add(kept, small(3)) == (3, True)


def test_rights_taken_away_before_the_lesson_is_written(kept: Record, tmp_path: Path) -> None:
    """As after the disk was mounted anew to be read only."""
    path = kept.place.path
    assert path is not None
    before = answers(kept.place)
    for folder in (tmp_path, *tmp_path.parents):
        if folder != Path("/") and folder.owner() == tmp_path.owner():
            folder.chmod(folder.stat().st_mode | 0o055)
    path.chmod(0o444)
    path.parent.chmod(0o555)

    def refused() -> int:
        try:
            add(kept, small(3))
        except RecordError as problem:
            print(problem)
            return 0 if "may only be read" in str(problem) or "cannot be opened" in str(problem) else 2
        return 3

    assert as_nobody(refused) == 0
    path.parent.chmod(0o700)
    path.chmod(0o600)
    assert answers(kept.place) == before
    with kept.reading() as connection:
        assert len(listed(connection)) == 2
