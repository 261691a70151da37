"""A summer's demo: recordings and their table, nothing of another's written over."""

from __future__ import annotations

from pathlib import Path

import pytest

from groundref.cli import main
from groundref.simulation import summer


def test_a_table_names_every_recording_and_comes_out_the_same_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    first = list(summer.summer())[:1]
    monkeypatch.setattr(summer, "summer", lambda: iter(first))
    for _ in range(2):
        assert main(["demo", "--summer", str(tmp_path / "summer")]) == 0
    head, *rows = (tmp_path / "summer" / "lessons.csv").read_text("utf-8").splitlines()
    assert head == "recording,student,instructor,airplane,ground_ft"
    assert [(tmp_path / "summer" / row.partition(",")[0]).is_file() for row in rows] == [True]
    assert "groundref record add --lessons" in capsys.readouterr().out


def test_another_table_is_not_written_over(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "lessons.csv").write_text("mine", "utf-8")
    assert main(["demo", "--summer", str(tmp_path)]) == 2
    assert "the demo would overwrite this table; give another folder" in capsys.readouterr().err
    assert (tmp_path / "lessons.csv").read_text("utf-8") == "mine"
    assert list(tmp_path.iterdir()) == [tmp_path / "lessons.csv"]


def test_a_summer_has_no_page(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["demo", "--summer", str(tmp_path), "--open"]) == 2
    assert "a summer has no page to open" in capsys.readouterr().err
