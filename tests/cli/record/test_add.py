"""A lesson put into the record: what is said, what is kept, what is refused."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from groundref.cli import main
from tests.cli.record.conftest import Run

JO = ("--student", "Jo Brandt", "--instructor", "Ines Okafor")


def test_a_lesson_is_debriefed_and_kept(run: Run) -> None:
    said = run("add", "a.gpx", *JO, "--aircraft", "high-wing-trainer", "--remarks", "Windy.")
    assert "Lesson 1 is in the record: Jo Brandt with Ines Okafor, 1 May 2026." in said.out
    assert "Turns around a point, left, 3 laps" in said.out
    assert "What to talk about first" in said.out
    assert "New in the record: Jo Brandt\n" in said.out
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
    said = run("add", "other.gpx", "--student", "Somebody Else")
    assert said.out == "Lesson 1 holds this recording already; nothing was added.\n"
    if words:
        assert run("list", "--json", "-").json["lessons_in_all"] == 0
