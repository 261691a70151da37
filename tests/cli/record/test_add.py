"""A lesson put into the record: what is said, what is kept, what is refused."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from groundref.cli import main
from groundref.record.lessons import lesson_row, shown
from groundref.record.place import place_of
from groundref.record.results import document_of, in_force
from groundref.record.store import open_record
from tests.cli.record.conftest import Run

JO = ("--student", "Jo Brandt", "--instructor", "Ines Okafor")


def test_a_lesson_is_debriefed_and_kept(run: Run) -> None:
    said = run("add", "a.gpx", *JO, "--aircraft", "high-wing-trainer", "--remarks", "Windy.")
    assert "Lesson 1 is in the record: Jo Brandt with Ines Okafor, 1 May 2026." in said.out
    assert "Turns around a point, left, 3 laps" in said.out
    assert "What to talk about first" in said.out
    assert "New in the record: Jo Brandt\n" in said.out
    assert "It is the first lesson of this record: " in said.out
    (lesson,) = run("list", "--json", "-").json["lessons"]
    assert lesson["student"] == "Jo Brandt"
    assert lesson["airplane"] == "high-wing-trainer"
    assert lesson["remarks"] == "Windy."
    assert lesson["flown"] == [{"kind": "turns-around-a-point", "times": 1}]


def test_its_json_says_what_was_added(run: Run) -> None:
    said = run("add", "a.gpx", *JO, "--json", "-")
    assert said.json["schema"] == "groundref/record-add/1"
    (lesson,) = said.json["lessons"]
    assert (lesson["lesson"], lesson["new"]) == (1, True)
    assert [one["name"] for one in lesson["new_people"]] == ["Jo Brandt", "Ines Okafor"]


def test_the_same_recording_is_recognized_whatever_its_name(run: Run) -> None:
    run("add", "a.gpx", *JO)
    Path("other.gpx").write_bytes(Path("a.gpx").read_bytes())
    said = run("add", "other.gpx", "--student", "jo  brandt")
    assert said.out == "Lesson 1 holds this recording already; nothing was added.\n"
    assert run("list", "--json", "-").json["lessons_in_all"] == 1


def test_a_recording_that_is_another_students_lesson_is_said_to_be(run: Run) -> None:
    run("add", "a.gpx", *JO)
    said = run("add", "a.gpx", "--student", "Sam Reyes")
    assert " ".join(said.out.split()) == (
        "Lesson 1 holds this recording already, as one of Jo Brandt, not of Sam Reyes; nothing was added. "
        'If that is wrong: groundref record correct 1 --student "Sam Reyes"'
    )
    (lesson,) = run("add", "a.gpx", "--student", "Sam Reyes", "--json", "-").json["lessons"]
    assert (lesson["new"], lesson["student"]) == (False, "Jo Brandt")
    assert [one["name"] for one in run("person", "--json", "-").json["people"]] == [
        "Ines Okafor",
        "Jo Brandt",
    ]


def test_a_name_that_is_nearly_another_is_pointed_at(run: Run) -> None:
    run("add", "a.gpx", *JO)
    said = run("add", "b.gpx", "--student", "Jo Brant", "--instructor", "ines  okafor")
    assert "New in the record: Jo Brant (is this Jo Brandt?)" in said.out
    assert "Okafor" not in said.out.partition("New in the record")[2]


def test_what_was_asked_is_kept_for_the_next_debrief(run: Run) -> None:
    run(
        "add", "a.gpx", *JO, "--point", "40.1,-90.2", "--ground-ft", "620", "--wind", "240/12",
        "--from", "14:05", "--standard", "commercial-pilot",
    )  # fmt: skip
    with open_record(place_of(None)).reading() as connection:
        asked = shown(connection, 1).asked
    assert (asked.point, asked.ground_ft) == ((40.1, -90.2), 620.0)
    assert (asked.wind_from_deg, asked.wind_kt) == (240.0, 12.0)
    assert asked.start is not None
    assert asked.start.isoformat() == "2026-05-01T14:05:00+00:00"
    assert asked.standard is not None
    assert "commercial" in asked.standard


def test_the_debrief_that_is_kept_is_the_one_of_the_debrief_command(
    run: Run, capsys: pytest.CaptureFixture[str]
) -> None:
    options = ["--point", "40.1,-90.2", "--ground-ft", "620", "--aircraft", "high-wing-trainer"]
    run("add", "a.gpx", "--student", "Jo Brandt", *options)
    assert main(["debrief", "a.gpx", *options, "--json", "-"]) == 0
    expected = json.loads(capsys.readouterr().out)
    with open_record(place_of(None)).reading() as connection:
        (result,) = in_force(connection, [lesson_row(connection, 1)]).values()
        assert json.loads(document_of(connection, result, "lesson 1")) == expected


@pytest.mark.parametrize(
    ("words", "code", "sentence"),
    [
        (["a.gpx"], 2, "--student: whose lesson it is was not said"),
        (["a.gpx", "--student", "  "], 2, "this is no name"),
        (["a.gpx", *JO, "--site", "North field"], 74, "there is no site called 'North field'"),
        (["a.gpx", *JO, "--plan", "a.gpx"], 3, "a.gpx: this is not a plan"),
        (["a.gpx", *JO, "--plan", "none.json"], 3, "none.json: there is no such file"),
        (["none.gpx", *JO], 3, "none.gpx: there is no such file"),
        (["a.gpx", *JO, "--point", "north"], 2, "--point: 'north' is not a position"),
        (["a.gpx", *JO, "--aircraft", "zeppelin"], 2, "no aircraft is called 'zeppelin'"),
        (["a.gpx", *JO, "--ground-ft", "9000"], 2, "--ground-ft: the airplane, at"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_kept(
    run: Run, words: list[str], code: int, sentence: str
) -> None:
    said = run("add", *words, code=code)
    (line,) = said.err.splitlines()
    assert sentence in line
    assert run("list", "--json", "-").json["lessons_in_all"] == 0


def test_nothing_to_add_is_said(run: Run) -> None:
    assert "name a recording, or a table of lessons" in run("add", code=2).err
