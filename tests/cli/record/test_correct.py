"""Who flew a lesson, who gave it and where, put right from the command line."""

from __future__ import annotations

import pytest

from groundref.cli import main
from tests.cli.record.conftest import Run


@pytest.fixture
def lesson(run: Run) -> Run:
    """A record with one lesson and a site."""
    run("add", "a.gpx", "--student", "Jo Brandt", "--instructor", "Ines Okafor")
    run("site", "Barn", "--point", "40.1,-90.2")
    return run


def test_a_lesson_goes_to_the_right_student_and_the_rest_stays(lesson: Run) -> None:
    said = lesson("correct", "1", "--student", "Sam Reyes")
    assert said.out == "Lesson 1: Sam Reyes with Ines Okafor. New in the record: Sam Reyes.\n"
    assert "No lesson of Jo Brandt" in lesson("list", "--student", "Jo Brandt").out
    (one,) = lesson("list", "--student", "Sam Reyes", "--json", "-").json["lessons"]
    assert (one["lesson"], one["instructor"], one["site"]) == (1, "Ines Okafor", None)
    assert "1 lesson," in lesson("progress", "Sam Reyes").out


def test_instructor_and_site_are_put_right_and_taken_out(lesson: Run) -> None:
    said = lesson("correct", "1", "--instructor", "ines okafr", "--site", "barn").out
    assert said.partition("\n")[0] == (
        "Lesson 1: Jo Brandt with ines okafr at Barn. New in the record: ines okafr (is this Ines Okafor?)."
    )
    lesson("correct", "1", "--instructor", "", "--site", "")
    (one,) = lesson("list", "--json", "-").json["lessons"]
    assert (one["student"], one["instructor"], one["site"]) == ("Jo Brandt", None, None)


def test_the_debrief_is_that_of_the_other_site_at_once(lesson: Run) -> None:
    """It is what the lesson would have been debriefed to, had it been added with that site."""
    lesson("site", "Barn", "--ground-ft", "640")
    lesson("site", "Well", "--point", "40.0,-88.0")
    first = lesson("show", "1", "--json", "-").json
    said = lesson("correct", "1", "--site", "Barn", "--instructor", "").out
    assert said.startswith("Lesson 1: Jo Brandt with nobody at Barn.\nLesson 1: debrief 2 by version")
    at_barn = lesson("show", "1", "--json", "-").json
    assert [one["counts"] for one in at_barn["results"]] == [False, True]
    assert at_barn["asked"] == {"point": [40.1, -90.2], "ground_ft": 640.0}
    assert "was it flown elsewhere?" in lesson("correct", "1", "--site", "Well").err
    assert lesson("show", "1", "--json", "-").json["asked"] == {"point": [40.0, -88.0]}
    lesson("correct", "1", "--site", "")
    back = lesson("show", "1", "--json", "-").json
    assert (back["asked"], back["debrief"]) == ({}, first["debrief"])
    assert lesson("correct", "1", "--site", "").out == "Lesson 1: Jo Brandt with nobody.\n"
    assert lesson("show", "1", "--json", "-").json["results"] == back["results"]


def test_a_place_given_with_the_lesson_itself_stays(lesson: Run) -> None:
    lesson("site", "Well", "--point", "40.0,-88.0", "--ground-ft", "640")
    lesson("add", "b.gpx", "--student", "Jo Brandt", "--site", "Well", "--ground-ft", "655")
    lesson("correct", "2", "--site", "Barn")
    asked = lesson("show", "2", "--json", "-").json["asked"]
    assert asked == {"point": [40.1, -90.2], "ground_ft": 655.0}


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (["1"], 2, "nothing to put right was said; give --student, --instructor, --site or --plan"),
        (["1", "--plan", "", "--site", "Barn"], 2, "a plan, and who or where, are two requests"),
        (["2", "--student", "Sam Reyes"], 74, "there is no lesson 2"),
        (["1", "--site", "Well"], 74, "there is no site called 'Well'"),
        (["1", "--student", " "], 2, "this is no name"),
    ],
)
def test_what_cannot_be_is_refused(lesson: Run, words: list[str], code: int, says: str) -> None:
    assert says in lesson("correct", *words, code=code).err
    (one,) = lesson("list", "--json", "-").json["lessons"]
    assert (one["student"], one["instructor"], one["site"]) == ("Jo Brandt", "Ines Okafor", None)


def test_a_signed_lesson_stays_whose_it_was(lesson: Run) -> None:
    lesson("sign", "1")
    assert "was signed" in lesson("correct", "1", "--student", "Sam Reyes", code=2).err
    (one,) = lesson("list", "--json", "-").json["lessons"]
    assert one["student"] == "Jo Brandt"


def test_a_plan_is_put_in_anothers_place_and_taken_off(
    lesson: Run, capsys: pytest.CaptureFixture[str]
) -> None:
    for kind in ("s-turns", "turns-around-a-point"):
        assert main(["plan", kind, "--wind", "240/14", "--json", f"{kind}.json"]) == 0
    capsys.readouterr()
    before = lesson("show", "1", "--json", "-").json["debrief"]
    other = lesson("correct", "1", "--plan", "s-turns.json")
    assert other.out == "Lesson 1: this plan is kept with it; debrief 2, worked out so, counts.\n"
    assert "plan and flight are of different kinds, so they are not compared." in other.err
    flown = lesson("correct", "1", "--plan", "turns-around-a-point.json")
    assert "not compared" not in flown.err
    assert lesson("show", "1", "--json", "-").json["debrief"]["plan"]["maneuver"] == 1
    again = lesson("correct", "1", "--plan", "turns-around-a-point.json").out
    assert again == "Lesson 1 has this plan already; nothing was written.\n"
    assert lesson("correct", "1", "--plan", "").out.startswith("Lesson 1: its plan is taken off; debrief 4,")
    there = lesson("show", "1", "--json", "-").json
    assert (there["has_plan"], there["debrief"]) == (False, before)
    assert [one["counts"] for one in there["results"]] == [False, False, False, True]
    assert lesson("correct", "1", "--plan", "").out == "Lesson 1 has no plan; nothing was written.\n"
    lesson("check")


def test_a_plan_that_was_not_flown_is_said_when_it_is_added(
    run: Run, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["plan", "s-turns", "--wind", "240/14", "--json", "other.json"]) == 0
    capsys.readouterr()
    said = run("add", "a.gpx", "--student", "Jo Brandt", "--plan", "other.json")
    assert "warning: The plan is for S-turns, and what was flown is turns around a point" in said.err
