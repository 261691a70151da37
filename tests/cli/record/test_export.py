"""groundref record export and import, as they are typed."""

from __future__ import annotations

import csv
import io
import json
import stat
from pathlib import Path

import polars
import pytest

from groundref.cli import exits, main
from groundref.record.lessons import add
from groundref.record.place import Place
from groundref.record.store import open_record
from tests.record.invented import another, flown


@pytest.fixture(autouse=True)
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A record of three lessons of two students, in the current folder."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("GROUNDREF_RECORD", "record.sqlite")
    record = open_record(Place(path=tmp_path / "record.sqlite"), make=True)
    add(record, flown())
    add(record, another(2, day=2))
    add(record, another(3, day=3, student="=HYPERLINK(1)"))
    return tmp_path


def refused(*words: str, code: int, capsys: pytest.CaptureFixture[str]) -> str:
    capsys.readouterr()
    assert main(["record", *words]) == code
    said = capsys.readouterr().err
    assert said.startswith("groundref: ")
    assert said.count("\n") == 1
    return said


def test_out_and_in_again(kept: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["record", "export", "out"]) == 0
    assert "out: 3 lessons with 3 recordings" in capsys.readouterr().out
    assert main(["record", "import", "out", "--record", "other.sqlite"]) == 0
    assert "out: 3 lessons, 3 new, 0 in the record already" in capsys.readouterr().out
    assert main(["record", "export", "again", "--record", "other.sqlite"]) == 0
    first, second = (
        {
            path.relative_to(kept / name): path.read_bytes()
            for path in (kept / name).rglob("*.*")
            if path.is_file()
        }
        for name in ("out", "again")
    )
    assert first == second
    assert first[Path("recordings/lesson-00001-part-1-lesson.gpx")] == flown().parts[0][1]
    assert "record.json" in first[Path("README.txt")].decode()


def test_only_the_owner_can_read_it(kept: Path) -> None:
    assert main(["record", "export", "out"]) == 0
    modes = {stat.S_IMODE(path.stat().st_mode) for path in (kept / "out").rglob("*") if path.is_file()}
    folders = {stat.S_IMODE(path.stat().st_mode) for path in (kept / "out").rglob("*") if path.is_dir()}
    assert (modes, folders) == ({0o600}, {0o700})
    assert stat.S_IMODE((kept / "out").stat().st_mode) == 0o700


def test_an_empty_folder_will_do_and_a_full_one_not(kept: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (kept / "out").mkdir()
    assert main(["record", "export", "out"]) == 0
    before = set(kept.rglob("*"))
    assert "out: this folder is not empty; name a new one" in refused(
        "export", "out", code=exits.OUTPUT, capsys=capsys
    )
    assert set(kept.rglob("*")) == before


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("record.sqlite", "this is a file"),
        ("nowhere/out", "make it first"),
        ("record.sqlite/out", "not a folder"),
    ],
)
def test_places_where_no_folder_can_be(name: str, says: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert says in refused("export", name, code=exits.OUTPUT, capsys=capsys)


def test_a_full_disk_leaves_nothing_behind(
    kept: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def full(descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    before = {path.name for path in kept.iterdir()}
    monkeypatch.setattr("os.fsync", full)
    assert "the disk is full" in refused("export", "out", code=exits.OUTPUT, capsys=capsys)
    assert {path.name for path in kept.iterdir()} == before


def test_one_table(kept: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["--table", "elements", "e.csv", "--table", "maneuvers", "m.parquet", "--student", "jo brandt"]
    assert main(["record", "export", *words, "--table", "lessons", "-"]) == 0
    lessons = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert [(row["lesson"], row["date"]) for row in lessons] == [
        ("1", lessons[0]["date"]),
        ("2", "2026-05-02"),
    ]
    elements = list(csv.DictReader((kept / "e.csv").read_text("utf-8-sig").splitlines()))
    debriefed = json.loads(flown().document)["maneuvers"][0]["elements"]
    assert [row["code"] for row in elements[: len(debriefed)]] == [one["code"] for one in debriefed]
    assert [float(row["worst"] or 0) for row in elements[: len(debriefed)]] == [
        one["worst"] or 0 for one in debriefed
    ]
    maneuvers = polars.read_parquet(kept / "m.parquet")
    assert maneuvers["lesson"].to_list() == [1, 2]
    assert maneuvers.schema["radius_ft"] == polars.Float64


def test_a_spreadsheet_works_out_no_name(kept: Path) -> None:
    assert main(["record", "export", "--table", "lessons", "l.csv", "--table", "lessons", "l.parquet"]) == 0
    told = list(csv.DictReader((kept / "l.csv").read_text("utf-8-sig").splitlines()))
    assert told[0]["student"] in {"Jo Brandt", "'=HYPERLINK(1)"}
    assert {row["student"] for row in told} == {"Jo Brandt", "'=HYPERLINK(1)"}
    assert set(polars.read_parquet(kept / "l.parquet")["student"]) == {"Jo Brandt", "=HYPERLINK(1)"}


def test_tables_of_a_record_without_lessons(kept: Path) -> None:
    open_record(Place(path=kept / "empty.sqlite"), make=True)
    assert main(["record", "export", "out", "--parquet", "--record", "empty.sqlite"]) == 0
    assert len(list((kept / "out" / "tables").iterdir())) == 8
    assert polars.read_parquet(kept / "out" / "tables" / "faults.parquet").height == 0
    assert main(["record", "import", "out", "--record", "another.sqlite"]) == 0


def test_what_was_done_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["record", "export", "out", "--json", "-"]) == 0
    written = json.loads(capsys.readouterr().out)
    assert written["schema"] == "groundref/record-export/1"
    assert (written["lessons"], written["recordings"], written["people"]) == (3, 3, 3)
    assert main(["record", "import", "out", "--json", "-"]) == 0
    taken = json.loads(capsys.readouterr().out)
    assert taken["schema"] == "groundref/record-import/1"
    assert [one["what"] for one in taken["lessons"]] == ["known"] * 3


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ([], "it is not said what to write"),
        (["--table", "lessons", "l.xlsx"], "as .csv or .parquet, not .xlsx"),
        (["--table", "lessons", "-", "--json", "x.json"], "this belongs to a folder"),
        (["--table", "lessons", "l.csv", "--table", "faults", "l.csv"], "two results cannot go to one place"),
        (["--table", "pilots", "l.csv"], "pilots"),
    ],
)
def test_what_makes_no_sense(words: list[str], says: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert says in refused("export", *words, code=exits.USAGE, capsys=capsys)


def test_nobody_of_that_name(kept: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert "Kim" in refused("export", "out", "--student", "Kim", code=exits.RECORD, capsys=capsys)
    assert not (kept / "out").exists()


def test_a_folder_that_is_none_makes_no_record(kept: Path, capsys: pytest.CaptureFixture[str]) -> None:
    says = refused("import", "nothing", "--record", "new.sqlite", code=exits.INPUT, capsys=capsys)
    assert "nothing: there is no such folder" in says
    assert not (kept / "new.sqlite").exists()


def test_numbers_and_what_was_left_are_said(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["record", "export", "out"]) == 0
    other = open_record(Place(path=Path("other.sqlite")), make=True)
    add(other, another(9))
    capsys.readouterr()
    assert main(["record", "import", "out", "--record", "other.sqlite"]) == 0
    assert "Lesson 1 of the folder is lesson 4 here, as the number was taken." in capsys.readouterr().out
