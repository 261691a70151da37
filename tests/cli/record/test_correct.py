"""Who flew a lesson, who gave it and where, put right from the command line."""

from __future__ import annotations

import pytest

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
        (["1"], 2, "nothing to put right was said; give --student, --instructor or --site"),
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
