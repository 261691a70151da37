"""Practice sites and people of the record."""

from __future__ import annotations

import pytest

from tests.cli.record.conftest import Run


def test_a_sites_place_and_ground_are_used_unless_given(run: Run) -> None:
    said = run("site", "North field", "--point", "40.1,-90.2", "--ground-ft", "620")
    assert "North field is in the record." in said.out
    run("add", "a.gpx", "--student", "Jo Brandt", "--site", "north FIELD")
    shown = run("show", "1", "--json", "-").json
    assert shown["site"] == "North field"
    assert shown["asked"] == {"ground_ft": 620.0, "point": [40.1, -90.2]}
    assert shown["debrief"]["maneuvers"][0]["reference"]["source"] == "given"
    run("add", "b.gpx", "--student", "Jo Brandt", "--site", "North field", "--ground-ft", "600")
    assert run("show", "2", "--json", "-").json["asked"]["ground_ft"] == 600.0


def test_a_site_is_changed_and_lessons_keep_theirs(run: Run) -> None:
    run("site", "North field", "--point", "40.1,-90.2")
    run("add", "a.gpx", "--student", "Jo Brandt", "--site", "North field")
    run("site", "north field", "--line", "40.1,-90.2,40.12,-90.2", "--remarks", "Power line")
    (site,) = run("site", "--json", "-").json["sites"]
    assert (site["type"], site["remarks"], site["name"]) == ("line", "Power line", "North field")
    assert run("show", "1", "--json", "-").json["asked"]["point"] == [40.1, -90.2]
    assert "line" in run("site", "NORTH field").out


def test_a_lesson_flown_elsewhere_is_warned_of(run: Run) -> None:
    run("site", "South field", "--point", "39.1,-90.2")
    said = run("add", "a.gpx", "--student", "Jo Brandt", "--site", "South field")
    assert "warning: --site: South field lies" in said.err


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["North field", "--remarks", "x"], "a new site needs its place; give --point"),
        (["North field", "--point", "40.1,-90.2", "--line", "40.1,-90.2,40.2,-90.2"], "a site is one place"),
        (["--ground-ft", "600"], "the site is not named"),
        (["North field", "--point", "40.1"], "--point: '40.1' is not a position"),
        ([" ", "--point", "40.1,-90.2"], "this is no name"),
        (["North field", "--point", "40.1,-90.2", "--ground-ft", "nan"], "--ground-ft: nan is out of range"),
    ],
)
def test_what_is_no_site(run: Run, words: list[str], sentence: str) -> None:
    assert sentence in run("site", *words, code=2).err


def test_people_are_added_renamed_and_joined(run: Run) -> None:
    run("add", "a.gpx", "--student", "Jo Brandt", "--instructor", "Ines Okafor")
    run("add", "b.gpx", "--student", "Jo Brant", "--instructor", "Ines Okafor")
    run("sign", "2")
    assert "jo brandt is called Jo Ruiz now." in run("person", "jo brandt", "--rename", "Jo Ruiz").out
    assert "--yes" in run("person", "Jo Brant", "--join", "Jo Ruiz", code=2).err
    assert "in 1 place in the record" in run("person", "Jo Brant", "--join", "Jo Ruiz", "--yes").out
    people = run("person", "--json", "-").json["people"]
    assert [(one["name"], one["as_student"], one["as_instructor"]) for one in people] == [
        ("Ines Okafor", 0, 2),
        ("Jo Ruiz", 2, 0),
    ]
    assert "New in the record: Ines Okafo (is this Ines Okafor?)" in run("person", "Ines Okafo", "--add").out
    assert "Already there." in run("person", "ines OKAFOR", "--add").out


@pytest.mark.parametrize(
    ("words", "code", "sentence"),
    [
        (["Jim"], 74, "there is no person called 'Jim'; the record holds Jo Brandt, Sam Reyes"),
        (["--add"], 2, "the person is not named"),
        (["Jo Brandt", "--add", "--rename", "X"], 2, "these are two requests"),
        (["Jo Brandt", "--rename", "Sam Reyes"], 2, "somebody is called Sam Reyes already"),
        (["Jo Brandt", "--rename", " "], 2, "this is no name"),
        (["Jo Brandt", "--join", "jo brandt", "--yes"], 2, "this is one entry already"),
        (
            ["Jo Brant", "--rename", "Jo"],
            74,
            "'Jo Brant'; is it Jo Brandt? the record holds Jo Brandt, Sam Reyes",
        ),
        (["Jim", "--join", "Jo Brandt", "--yes"], 74, "there is no person called 'Jim'"),
    ],
)
def test_what_makes_no_sense_is_refused(run: Run, words: list[str], code: int, sentence: str) -> None:
    run("person", "Jo Brandt", "--add")
    run("person", "Sam Reyes", "--add")
    assert sentence in run("person", *words, code=code).err
