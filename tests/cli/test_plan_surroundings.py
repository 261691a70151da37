"""What lies around a plan, as a user types it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from groundref.cli import main

CIRCLE = ["plan", "turns-around-a-point", "--wind", "240/14"]
PLACE = ["--point", "40.1,-90.2"]


def planned(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, dict[str, dict[str, object]]]:
    assert main([*CIRCLE, *words, "--json", "-"]) == 0
    document: dict[str, dict[str, dict[str, object]]] = json.loads(capsys.readouterr().out)
    return document


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (
            ["--surroundings", "congested", "--obstacle-ft", "120"],
            "below the 1,120 ft (341.4 m) that 14 CFR 91.119(b) asks for here",
        ),
        (["--surroundings", "open", "--rules", "europe", "--obstacle-ft", "350"], "below the 850 ft"),
        (["--surroundings", "desert"], "choose one of open, sparse, congested, water"),
        (["--rules", "moon"], "take one of europe, us"),
        (["--obstacle-ft", "nan"], "--obstacle-ft: nan is out of range"),
        (["--obstacle-ft", "-5"], "--obstacle-ft: -5 is out of range"),
        (["--landing", "40.1,-90.2"], "without those of the maneuver"),
        ([*PLACE, "--landing", "50,8"], "more than 50 NM from the maneuver"),
        ([*PLACE, "--landing", "here"], "--landing: 'here' is not a position"),
        (["--landing-from-point", "400/1"], "is not a bearing and a distance"),
        (["--landing-from-point", "240/80"], "is out of range"),
        ([*PLACE, "--landing", "40.1,-90.2", "--landing-from-point", "240/1"], "two landing places"),
        (["--noise-place", "40.1,-90.2"], "without those of the maneuver"),
    ],
)
def test_what_makes_no_sense_is_refused_in_one_sentence(
    words: list[str], says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([*CIRCLE, *words]) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert says in shown.err
    assert len(shown.err.strip().splitlines()) == 1
    assert "Traceback" not in shown.err


def test_all_of_it_reaches_the_plan(capsys: pytest.CaptureFixture[str]) -> None:
    words = [
        "--surroundings",
        "open",
        "--obstacle-ft",
        "150",
        "--rules",
        "europe",
        "--noise-place",
        "40.1,-90.21",
    ]
    safety = planned(capsys, *PLACE, *words, "--landing-from-point", "60/0.25nm")["safety"]
    assert safety["heights"]["least_ft"] == 650.0
    assert safety["heights"]["least_source"] == "SERA.5005(f)(2)"
    assert safety["quiet"]["nearer_than_asked"] is True
    landing = safety["engine_out"]["landing"]
    assert isinstance(landing, dict)
    assert (landing["east_ft"], landing["north_ft"]) == (1316.0, 760.0)  # 1,519 ft toward 060°


def test_a_landing_place_by_coordinates(capsys: pytest.CaptureFixture[str]) -> None:
    landing = planned(capsys, *PLACE, "--landing", "40.103,-90.2")["safety"]["engine_out"]["landing"]
    assert isinstance(landing, dict)
    # 0.003° of latitude at 40° are 333.1 m (111,035 m a degree, from a table of the ellipsoid, from memory).
    assert landing["north_ft"] == pytest.approx(1093, abs=1)
    assert landing["east_ft"] == 0.0


def test_cautions_are_printed_most_serious_first(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    out = tmp_path / "plan.json"
    assert main([*CIRCLE, "--landing-from-point", "240/2", "--json", str(out)]) == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert "the landing place is out of reach" in shown
    weights = [each["weight"] for each in json.loads(out.read_text("utf-8"))["cautions_ranked"]]
    assert weights == sorted(weights, key=["stop", "care", "note"].index)
    assert weights[0] == "stop"
