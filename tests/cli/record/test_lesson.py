"""What the instructor says of a lesson: shown, remarks, own verdicts, signature; and it worked out anew."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from tests.cli.record.conftest import Run

ALTITUDE = "PA.V.B.S7:altitude"


@pytest.fixture
def lesson(run: Run) -> Run:
    """A record with one lesson."""
    run("add", "a.gpx", "--student", "Jo Brandt", "--instructor", "Ines Okafor", "--remarks", "Windy.")
    return run


def element(lesson: Run, code: str) -> dict[str, Any]:
    shown = lesson("show", "1", "--json", "-").json
    name, _, quantity = code.partition(":")
    (found,) = [
        one
        for one in shown["maneuvers"][0]["elements"]
        if one["code"] == name and quantity in ("", one["quantity"])
    ]
    return dict(found)


def test_a_lesson_is_shown_with_all_that_is_known(lesson: Run) -> None:
    said = lesson("show", "1").out
    for part in (
        "Lesson 1, 1 May 2026", "Jo Brandt", "Ines Okafor", "Windy.", "a.gpx", "private-pilot",
        "1. Turns around a point, left, 3 laps", "steeper than the", "Next time:", ALTITUDE,
        "only an instructor on board sees it",
    ):  # fmt: skip
        assert part in said
    assert max(map(len, said.splitlines())) <= 100


@pytest.mark.parametrize(
    ("wind", "beside"), [("60/30", "(given; the recording says "), ("240/12", "(given)")]
)
def test_a_wind_that_was_given_stands_beside_what_the_recording_says(
    run: Run, wind: str, beside: str
) -> None:
    run("add", "a.gpx", "--student", "Jo Brandt", "--instructor", "Ines Okafor", "--wind", wind)
    assert beside in " ".join(run("show", "1").out.split())


def test_it_is_shown_on_a_narrow_terminal(lesson: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    assert max(map(len, lesson("show", "1").out.splitlines())) <= 80


def test_the_page_of_a_lesson_is_the_debriefs(lesson: Run) -> None:
    lesson("show", "1", "--html", "page.html")
    assert "Turns around a point" in Path("page.html").read_text("utf-8")


def test_the_instructors_verdict_goes_before_the_programs_and_can_be_taken_back(lesson: Run) -> None:
    before = element(lesson, ALTITUDE)["verdict"]
    assert before == "met"
    refused = lesson("verdict", "1", ALTITUDE, "not-met", code=2)
    assert "differs from what the recording shows (met); say why" in refused.err
    said = lesson("verdict", "1", ALTITUDE, "not-met", "--reason", "Sank until told")
    assert " ".join(said.out.split()) == (
        "Lesson 1, maneuver 1, altitude held within 100 ft (PA.V.B.S7:altitude): not met, says the "
        "instructor; the recording shows: met."
    )
    shown = lesson("show", "1", "--json", "-").json
    (own,) = shown["own_verdicts"]
    assert (own["own"], own["verdict"], own["by"]) == ("not-met", "met", "Ines Okafor")
    told = " ".join(lesson("show", "1").out.split())
    assert re.search(r"not met by Ines Okafor, \d+ \w+ \d{4} \(the recording: met\): Sank until told", told)
    lesson("verdict", "1", ALTITUDE, "undetermined", "--reason", "Not looked at")
    assert element(lesson, ALTITUDE)["own"] == "undetermined"
    lesson("verdict", "1", ALTITUDE, "--withdraw")
    assert element(lesson, ALTITUDE)["own"] is None
    assert "nothing to withdraw" in lesson("verdict", "1", ALTITUDE, "--withdraw", code=2).err


def test_what_only_the_instructor_sees_needs_no_reason(lesson: Run) -> None:
    lesson("verdict", "1", "PA.V.B.S5", "met")
    assert element(lesson, "PA.V.B.S5")["own"] == "met"


@pytest.mark.parametrize(
    ("words", "code", "sentence"),
    [
        (["show", "2"], 74, "there is no lesson 2; groundref record list shows those there are"),
        (["remark", "2", "x"], 74, "there is no lesson 2"),
        (["sign", "2"], 74, "there is no lesson 2"),
        (["recompute", "2"], 74, "there is no lesson 2"),
        (["recompute"], 2, "no lesson is named; give numbers of lessons, or --all"),
        (["show", "first"], 2, "first"),
        (["verdict", "1", "PA.V.B.S7", "met"], 2, "say which: PA.V.B.S7:altitude, PA.V.B.S7:airspeed"),
        (["verdict", "1", "XX", "met"], 2, "XX: there is no such element in this lesson; it has PA."),
        (["verdict", "1", ALTITUDE, "good"], 2, "'good' is no verdict; choose met, not-met, undetermined"),
        (["verdict", "1", ALTITUDE], 2, "the verdict is missing"),
        (["verdict", "1", ALTITUDE, "met", "--maneuver", "3"], 2, "--maneuver: lesson 1 has 1 maneuver"),
        (["verdict", "1", ALTITUDE, "met", "--instructor", "Jim"], 74, "there is no person called 'Jim'"),
        (["sign", "1", "--instructor", "Jim"], 74, "there is no person called 'Jim'"),
        (["sign", "1", "--withdraw", "--yes"], 2, "lesson 1 is not signed"),
        (["progress", "Jim"], 74, "there is no person called 'Jim'"),
        (["progress", "Jo Brandt", "--paper", "a5"], 2, "'a5' is no paper; choose a4 or letter"),
        (["progress", "Jo Brandt", "--paper", "a4"], 2, "only --pdf has use for it; give --pdf too"),
        (["progress", "Jo Brandt", "--pdf", "x.svg"], 2, "x.svg does not end in .pdf"),
    ],
)
def test_what_makes_no_sense_is_refused_in_one_sentence(
    lesson: Run, words: list[str], code: int, sentence: str
) -> None:
    (line,) = lesson(*words, code=code).err.splitlines()
    assert sentence in line


def test_a_signature_holds_everything_until_it_is_taken_back(lesson: Run) -> None:
    assert lesson("sign", "1").out == "Lesson 1 is signed by Ines Okafor.\n"
    for words in (["remark", "1", "x"], ["verdict", "1", ALTITUDE, "met"], ["sign", "1"]):
        assert (
            "groundref record sign 1 --withdraw takes the signature back first" in lesson(*words, code=2).err
        )
    assert lesson("list", "--json", "-").json["lessons"][0]["signed_by"] == "Ines Okafor"
    assert "--yes" in lesson("sign", "1", "--withdraw", code=2).err
    lesson("sign", "1", "--withdraw", "--yes")
    lesson("remark", "1", "Calm.")
    assert lesson("show", "1", "--json", "-").json["remarks"] == "Calm."


def test_remarks_are_replaced_and_taken_out(lesson: Run) -> None:
    assert lesson("remark", "1", "Calm.").out == "Lesson 1 now has these remarks.\n"
    lesson("remark", "1", "")
    assert lesson("show", "1", "--json", "-").json["remarks"] == ""


def test_worked_out_anew_by_the_same_version_nothing_is_written(lesson: Run) -> None:
    said = lesson("recompute", "1", "--json", "out.json")
    assert "just what is kept; nothing was written" in said.out
    assert len(lesson("show", "1", "--json", "-").json["results"]) == 1


def test_progress_is_shown_and_written_in_every_form(lesson: Run) -> None:
    said = lesson(
        "progress", "jo brandt", "--html", "p.html", "--pdf", "p.pdf", "--paper", "letter", "--svg", "p.svg"
    )
    assert "Progress of Jo Brandt" in said.out
    assert Path("p.pdf").read_bytes().startswith(b"%PDF")
    assert "<svg" in Path("p.svg").read_text("utf-8")
    assert "Jo Brandt" in Path("p.html").read_text("utf-8")
    assert lesson("progress", "Jo Brandt", "--json", "-").json["schema"] == "groundref/progress/1"


def test_a_backup_that_is_not_there_is_said_before_anything_is_asked(lesson: Run) -> None:
    assert (
        "nothere.sqlite: there is no such file; name the backup"
        in lesson("restore", "nothere.sqlite", code=74).err
    )
    assert lesson("list", "--json", "-").json["lessons_in_all"] == 1


def test_pages_and_pictures_are_read_in_meters_where_asked(lesson: Run) -> None:
    lesson("show", "1", "--html", "us.html")
    lesson("show", "1", "--html", "metric.html", "--units", "metric")
    us, metric = (Path(f"{name}.html").read_text("utf-8") for name in ("us", "metric"))
    assert re.search(r"<dt>radius held</dt>\s*<dd[^>]*>[\d,]+.±[\d,]+.ft \([\d,]+.m\)", us)
    assert re.search(r"<dt>radius held</dt>\s*<dd[^>]*>[\d,]+.±[\d,]+.m \([\d,]+.ft\)", metric)
    lesson("add", "b.gpx", "--student", "Jo Brandt")
    files = ("--html", "told.html", "--svg", "told.svg", "--pdf", "told.pdf")
    lesson("progress", "Jo Brandt", *files)
    before = [Path(name).read_bytes() for name in files[1::2]]
    lesson("progress", "Jo Brandt", *files, "--units", "metric")
    for name, content in zip(files[1::2], before, strict=True):
        assert Path(name).read_bytes() != content, name
    for name in ("told.html", "told.svg"):
        assert re.search(r"\d.m\b", Path(name).read_text("utf-8"))


@pytest.mark.parametrize("command", [("show", "1"), ("progress", "Jo Brandt")])
def test_units_without_anything_to_write_in_them_are_refused(lesson: Run, command: tuple[str, str]) -> None:
    assert (
        "--units: only pages and sheets have use for it" in lesson(*command, "--units", "metric", code=2).err
    )
    wrong = lesson(*command, "--html", "a.html", "--units", "yards", code=2)
    assert "there are no units 'yards'" in wrong.err
    assert not Path("a.html").exists()
