"""``groundref aircraft``: readable at both widths, JSON and template, wrong requests and files refused."""

from __future__ import annotations

import json
import re
from importlib.resources import files
from pathlib import Path

import pytest

from groundref.aircraft.keys import KEYS, NOTHING
from groundref.aircraft.loading import aircraft_names, load_aircraft
from groundref.cli import exits, main

TEXT = files("groundref.aircraft").joinpath("high-wing-trainer.toml").read_text("utf-8")


def printed(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert main(("aircraft", *words)) == exits.DONE
    captured = capsys.readouterr()
    assert captured.err == ""
    return captured.out


def flat(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("columns", [80, 100])
def test_the_list_has_every_airplane_with_its_speeds(
    columns: int, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    out = printed(capsys)
    assert max(map(len, out.splitlines())) <= columns
    assert [name for name in aircraft_names() if name not in out] == []
    assert re.search(r"^high-wing-trainer +1,050 +90 +47 +41 +98 +65 *$", out, re.MULTILINE)
    for name in aircraft_names():
        assert load_aircraft(name).title in flat(out)


@pytest.mark.parametrize("columns", [80, 100])
@pytest.mark.parametrize("name", aircraft_names())
def test_one_is_printed_within_the_width_in_both_units(
    name: str, columns: int, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    out = printed(capsys, name)
    assert max(map(len, out.splitlines())) <= columns
    assert "…" not in out
    assert "Assumed" not in out
    assert load_aircraft(name).source in flat(out)
    # 1 lb is 0.45359237 kg and 1 ft is 0.3048 m, exact.
    assert re.search(r"Mass for these speeds +(2,315 lb +1,050 kg|2,535 lb +1,150 kg)", out)
    assert re.search(r"Wing span +(36\.1 ft +11\.00 m|34\.1 ft +10\.40 m)", out)


def test_another_mass_changes_the_speeds(capsys: pytest.CaptureFixture[str]) -> None:
    out = printed(
        capsys, "low-wing-trainer", "--mass-kg", "931.5"
    )  # 0.81 of 1,150 kg: nine tenths of each speed
    assert re.search(r"Stall speed, clean, calibrated +47 kt", out)
    assert re.search(r"Maneuvering speed, calibrated +99 kt", out)
    assert re.search(r"Practice speed, calibrated +100 kt", out)


def test_stall_speeds_in_the_turn_are_those_of_the_handbooks_chart(
    capsys: pytest.CaptureFixture[str],
) -> None:
    # Rise of 7.5, 18.9 and 41.4 % over 47 kt: root of the load factor, as charted in FAA-H-8083-25, Pilot's
    # Handbook of Aeronautical Knowledge.
    out = printed(capsys, "high-wing-trainer")
    assert re.findall(r"^ *(\d+)° +([\d.]+) +(\d+) kt +(\d+) kt *$", out, re.MULTILINE) == [
        ("0", "1.00", "47", "43"), ("30", "1.15", "51", "39"),
        ("45", "1.41", "56", "34"), ("60", "2.00", "66", "24"),
    ]  # fmt: skip
    assert "At 74° the airplane stalls" in out  # cos φ = (47/90)²


def test_the_template_is_written_filled_in_and_read_back(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    own = tmp_path / "own.toml"
    assert printed(capsys, "--template", str(own)) == ""
    out = flat(printed(capsys, str(own)))
    for key in KEYS:
        if not key.needed and key.assumed != NOTHING:
            assert f"{key.name}: {key.assumed}" in out
    assert "Stall speed, flaps down, calibrated not known not known" in out
    text = own.read_text("utf-8")
    own.write_text(text.replace("# stall_speed_flaps_kt = 44", "stall_speed_flaps_kt = 43"), "utf-8")
    assert "flaps down, calibrated 43 kt" in flat(printed(capsys, str(own)))
    assert printed(capsys, "--template", "-") == text


def test_a_template_replaces_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    own = tmp_path / "own.toml"
    own.write_text("kept", "utf-8")
    assert main(("aircraft", "--template", str(own))) == exits.OUTPUT
    assert "there is a file of this name" in capsys.readouterr().err
    assert own.read_text("utf-8") == "kept"


def test_json_has_all_or_one(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    every = json.loads(printed(capsys, "--json", "-"))
    assert every["schema"] == "groundref/aircraft/1"
    assert [each["name"] for each in every["aircraft"]] == aircraft_names()
    out = tmp_path / "one.json"
    assert "Invented" in printed(capsys, "low-wing-trainer", "--mass-kg", "900", "--json", str(out))
    (one,) = json.loads(out.read_text("utf-8"))["aircraft"]
    assert (one["mass_kg"], one["practice_speed_kt"], one["assumed"]) == (900, 100, [])
    assert one["stall_speed_kt"] == pytest.approx(52 * (900 / 1150) ** 0.5, abs=1e-6)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--template", "-", "low-wing-trainer"), "--template: the template is no airplane yet"),
        (("--template", "-", "--json", "-"), "--template: the template is no airplane yet"),
        (("--mass-kg", "900"), "--mass-kg: a mass is that of one airplane"),
        (("low-wing-trainer", "--mass-kg", "2000"), "2000 kg lies outside 800 to 1,150 kg"),
        (("low-wing-trainer", "--mass-kg", "nan"), "nan kg lies outside 800 to 1,150 kg"),
        (("low-wing-trainer", "--mass-kg", "heavy"), "mass-kg"),
        (("flying-carpet",), "no aircraft is called 'flying-carpet'"),
    ],
)
def test_a_wrong_request_is_one_sentence_and_code_2(
    words: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(("aircraft", *words)) == exits.USAGE
    captured = capsys.readouterr()
    assert captured.out == ""
    (line,) = captured.err.splitlines()
    assert said in line
    assert ";" in line


@pytest.mark.parametrize(
    ("find", "replacement", "said"),
    [
        (
            "= 41 ",
            "= 50 ",
            "stall_speed_flaps_kt: the stall speed with flaps is not below the clean one (50 and 47",
        ),
        ("glide_ratio = 9.0", "glide_ratio = inf", "glide_ratio: inf lies outside 2 to 60"),
        (
            "mass_kg = 1050",
            "mass_kg = 2000",
            "mass_kg: 2000 kg, which the speeds are for, does not lie in 740 to",
        ),
        ("wing_span_m", "wing_span_ft", "the key `wing_span_ft` is not known"),
    ],
)
def test_a_wrong_file_is_one_sentence_and_code_3(
    find: str, replacement: str, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert find in TEXT
    own = tmp_path / "own.toml"
    own.write_text(TEXT.replace(find, replacement, 1), "utf-8")
    assert main(("aircraft", str(own))) == exits.INPUT
    captured = capsys.readouterr()
    assert captured.out == ""
    (line,) = captured.err.splitlines()
    assert line.startswith("groundref: ")
    assert said in line
    assert ";" in line


def test_the_json_does_not_take_the_place_of_the_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    own = tmp_path / "own.toml"
    own.write_text(TEXT, "utf-8")
    assert main(("aircraft", str(own), "--json", str(own))) == exits.USAGE
    assert "would overwrite" in capsys.readouterr().err
    assert own.read_text("utf-8") == TEXT


def test_brackets_in_a_schools_words_are_words(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    own = tmp_path / "own.toml"
    own.write_text(TEXT.replace("Invented two-seat", "[bold]Our[/bold]"), "utf-8")
    assert "[bold]Our[/bold] trainer" in printed(capsys, str(own))
