"""A table of lessons: each row kept and reported, a bad one said, what is there not added twice."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.record.conftest import Run

SHEET = "recording,student,instructor,airplane,ground_ft,remarks\n"
A = "a.gpx,Jo Brandt,Ines Okafor,high-wing-trainer,620,Windy.\n"
B = "b.gpx,Sam Reyes,Ines Okafor,,,\n"


def test_a_table_goes_in_and_a_second_time_adds_nothing(run: Run) -> None:
    Path("lessons.csv").write_text(SHEET + A + "\n" + B, "utf-8")
    said = run("add", "--lessons", "lessons.csv")
    lines = said.out.splitlines()
    assert lines[0].startswith("1/2 lesson 1: Jo Brandt, 1 May 2026; turns around a point; ")
    assert lines[0].endswith("; new in the record: Jo Brandt, Ines Okafor")
    assert lines[2] == "2 added, 0 there already, 0 failed."
    again = run("add", "--lessons", "lessons.csv")
    assert again.out.splitlines()[-1] == "0 added, 2 there already, 0 failed."
    first = run("list", "--student", "Jo Brandt", "--json", "-").json["lessons"][0]
    assert (first["airplane"], first["remarks"]) == ("high-wing-trainer", "Windy.")


def test_a_row_that_fails_is_said_and_the_rest_goes_on(run: Run) -> None:
    rows = [
        "none.gpx,Jo Brandt,,,,",
        "a.gpx,,,,,",
        "a.gpx,Jo Brandt,,,high,",
        "a.gpx,Jo Brandt,,,620,one,two",
        B.strip(),
    ]
    Path("lessons.csv").write_text(SHEET + "\n".join(rows), "utf-8")
    said = run("add", "--lessons", "lessons.csv", "--json", "out.json", code=3)
    assert said.err.splitlines() == [
        "groundref: lessons.csv: line 2: none.gpx: there is no such file; name the recording's file",
        "groundref: lessons.csv: line 3: --student: whose lesson it is was not said; give the student's name",
        "groundref: lessons.csv: line 4: ground_ft: 'high' is no number; write it such as 620",
        "groundref: lessons.csv: line 5: it has 7 cells and the table 6 columns; "
        "put a cell that holds the separator in quotes",
        "groundref: lessons.csv: 4 of 5 lessons could not be added; "
        "mend their rows and run it again; what is in the record is not added twice",
    ]
    assert [row["student"] for row in run("list", "--json", "-").json["lessons"]] == ["Sam Reyes"]


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"student\nJo Brandt\n", "it has no column 'recording'; its first line names the columns"),
        (b"recording\na.gpx\n", "it has no column 'student'"),
        (b"", "it has no column 'recording'"),
        (b"recording,student,student\n", "it has two columns 'student'"),
        (b"recording,student\na.gpx,J\xf6rg\n", "this is not a table in UTF-8"),
        (b'recording,student\n"a.gpx,Jo\n', "this is not a table"),
    ],
)
def test_what_is_no_table_of_lessons(run: Run, content: bytes, sentence: str) -> None:
    Path("lessons.csv").write_bytes(content)
    said = run("add", "--lessons", "lessons.csv", code=3)
    (line,) = said.err.splitlines()
    assert sentence in line


def test_a_column_that_is_not_known_is_said(run: Run) -> None:
    Path("lessons.csv").write_text("recording;student;grond ft\na.gpx;Jo Brandt;620\n", "utf-8")
    said = run("add", "--lessons", "lessons.csv")
    assert "nothing to do with the column 'grond_ft'" in said.err


def test_names_count_from_the_tables_folder_and_options_for_every_row(run: Run) -> None:
    Path("lessons.csv").write_text("Recording\nb.gpx\n", "utf-8")
    here = Path.cwd()
    os.chdir("/")
    run("add", "--lessons", str(here / "lessons.csv"), "--student", "Sam Reyes")
    assert run("list", "--json", "-").json["lessons"][0]["student"] == "Sam Reyes"


def test_an_interrupt_leaves_what_was_reported(run: Run, tmp_path: Path) -> None:
    content = Path("a.gpx").read_bytes()
    for number in range(60):
        (tmp_path / f"{number}.gpx").write_bytes(content + f"<!-- {number} -->".encode())
    rows = "".join(f"{number}.gpx,Jo Brandt\n" for number in range(60))
    Path("lessons.csv").write_text("recording,student\n" + rows, "utf-8")
    words = [sys.executable, "-m", "groundref", "record", "add", "--lessons", "lessons.csv"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        reported = [process.stdout.readline() for _ in range(3)]
        process.send_signal(signal.SIGINT)
        rest, err = process.communicate(timeout=60)
    reported += [line for line in rest.splitlines() if "lesson" in line]
    assert process.returncode == 130
    assert "which are in the record; run it again for the rest" in err
    assert "Traceback" not in err
    kept = run("list", "--json", "-").json["lessons_in_all"]
    assert len(reported) <= kept < 60
