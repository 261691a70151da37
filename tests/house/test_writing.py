"""Results are written whole or not at all."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from groundref import writing
from groundref.errors import OutputError


def test_a_result_replaces_what_was_there(tmp_path: Path) -> None:
    target = tmp_path / "debrief.json"
    target.write_text("old")
    target.chmod(0o640)
    writing.write(str(target), b"new")
    assert target.read_bytes() == b"new"
    assert stat.S_IMODE(target.stat().st_mode) == 0o640
    assert list(tmp_path.iterdir()) == [target]


def test_a_new_file_gets_the_usual_permissions(tmp_path: Path) -> None:
    plain, ours = tmp_path / "plain", tmp_path / "ours"
    plain.write_bytes(b"")
    writing.write(str(ours), b"")
    assert stat.S_IMODE(ours.stat().st_mode) == stat.S_IMODE(plain.stat().st_mode)


def test_a_private_file_is_for_its_owner_only(tmp_path: Path) -> None:
    fresh, there = tmp_path / "fresh", tmp_path / "there"
    there.write_bytes(b"")
    there.chmod(0o644)
    writing.write_all({str(fresh): b"new", str(there): b"new"}, private=True)
    assert {stat.S_IMODE(path.stat().st_mode) for path in (fresh, there)} == {0o600}


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    target, link = tmp_path / "target", tmp_path / "link"
    target.write_bytes(b"old")
    link.symlink_to(target)
    writing.write(str(link), b"new")
    assert link.is_symlink()
    assert target.read_bytes() == b"new"


def test_when_one_cannot_be_written_none_is(tmp_path: Path) -> None:
    good, bad = tmp_path / "debrief.json", tmp_path / "nowhere" / "debrief.html"
    good.write_text("old")
    with pytest.raises(OutputError, match="the folder does not exist; make it first"):
        writing.write_all({str(good): b"new", str(bad): b"new"})
    assert good.read_text() == "old"
    assert list(tmp_path.iterdir()) == [good]


def test_a_full_disk_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    target = tmp_path / "debrief.json"
    with pytest.raises(OutputError, match="the disk is full"):
        writing.write(str(target), b"new")
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("name", [".", "/dev/full", "file/below"])
def test_places_that_cannot_be_written(name: str, tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(OutputError) as refused:
        writing.write(str(tmp_path / name), b"x")
    assert refused.value.remedy
