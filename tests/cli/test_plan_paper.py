"""``groundref plan`` on paper: files whole or not at all, one thing on standard output."""

from __future__ import annotations

from pathlib import Path

import pytest

from groundref.cli import main

PLAN = ["plan", "turns-around-a-point", "--wind", "240/14"]


def test_everything_is_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    names = {option: tmp_path / f"plan.{option}" for option in ("svg", "png", "pdf", "json")}
    words = [word for option, path in names.items() for word in (f"--{option}", str(path))]
    assert main([*PLAN, *words, "--paper", "a5", "--student", "Anna Example"]) == 0
    assert names["svg"].read_text("utf-8").startswith("<svg")
    assert names["png"].read_bytes().startswith(b"\x89PNG")
    assert names["pdf"].read_bytes().startswith(b"%PDF")
    assert "Turns around a point" not in capsys.readouterr().err


def test_a_brief_on_standard_output_stands_alone(capfdbinary: pytest.CaptureFixture[bytes]) -> None:
    assert main([*PLAN, "--pdf", "-"]) == 0
    out, err = capfdbinary.readouterr()
    assert out.startswith(b"%PDF")
    assert out.rstrip().endswith(b"%%EOF")
    assert err == b""


def test_an_unknown_paper_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*PLAN, "--pdf", "-", "--paper", "a3"]) == 2
    assert "'a3' is no paper; choose a4, letter or a5" in capsys.readouterr().err


def test_two_results_for_one_place(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    name = str(tmp_path / "plan")
    assert main([*PLAN, "--pdf", name, "--svg", name]) == 2
    assert "two results cannot go to one place" in capsys.readouterr().err


def test_nothing_is_written_when_one_cannot_be(tmp_path: Path) -> None:
    svg = tmp_path / "plan.svg"
    assert main([*PLAN, "--svg", str(svg), "--pdf", str(tmp_path / "missing" / "brief.pdf")]) == 73
    assert not svg.exists()


def test_a_name_that_cannot_be_set_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    brief = tmp_path / "brief.pdf"
    assert main([*PLAN, "--pdf", str(brief), "--student", "李明"]) == 2
    assert "the brief has no letter '李'; write it in Latin, Greek or Cyrillic" in capsys.readouterr().err
    assert not brief.exists()
    assert main([*PLAN, "--pdf", str(brief), "--student", "Ελένη Żółć-Иванова, Jr."]) == 0
