"""Airplanes: conversion to SI, sense of the invented trainers, and what a wrong file is answered."""

from __future__ import annotations

from importlib.resources import files
from math import radians
from pathlib import Path

import pytest

from groundref.aircraft.loading import aircraft_names, load_aircraft, parse_aircraft
from groundref.errors import InputError, UsageError

TEXT = files("groundref.aircraft").joinpath("high-wing-trainer.toml").read_text("utf-8")


def test_edges_are_converted_once() -> None:
    airplane = load_aircraft("high-wing-trainer")
    # A knot is 1852 m an hour (International Hydrographic Conference, 1929).
    assert airplane.practice_speed == pytest.approx(90 * 1852 / 3600, rel=1e-12)
    assert airplane.roll_rate == pytest.approx(radians(15), rel=1e-12)
    assert (airplane.mass, airplane.wing_span, airplane.high_wing) == (1050.0, 11.0, True)


@pytest.mark.parametrize("name", aircraft_names())
def test_the_invented_trainers_hang_together(name: str) -> None:
    airplane = load_aircraft(name)
    assert airplane.name == name
    assert airplane.stall_speed < airplane.glide_speed < airplane.practice_speed < airplane.maneuvering_speed
    # 14 CFR 23 (amendment 63 and before), 23.335(c): maneuvering speed at least stall speed times
    # the root of the limit load factor, 3.8 in the normal category.
    assert airplane.maneuvering_speed >= airplane.stall_speed * 3.8**0.5
    assert "invented" in airplane.source


def test_there_is_a_high_and_a_low_wing() -> None:
    assert {load_aircraft(name).high_wing for name in aircraft_names()} == {True, False}


@pytest.mark.parametrize(
    ("find", "replacement", "sentence"),
    [
        ("= 90 ", "= 900 ", "own.toml: practice_speed_kt: 900.0 lies outside 30 to 250"),
        ("= 90 ", "= inf ", "own.toml: practice_speed_kt: inf lies outside"),
        ("= 90 ", "= 46 ", "own.toml: stall_speed_kt: the stall speed is not below the practice speed"),
        ("= 90 ", '= "90" ', "own.toml: practice_speed_kt: expected a number, found text"),
        ("practice_speed_kt", "practise_speed_kt", "own.toml: the key `practise_speed_kt` is not known"),
        ("high_wing = true", "", "own.toml: the key `high_wing` is missing"),
        ("high_wing = true", "high_wing = yes", "own.toml: line 11, column 13: this is not valid TOML"),
    ],
)
def test_a_wrong_file_is_refused_by_name_and_key(find: str, replacement: str, sentence: str) -> None:
    assert find in TEXT
    with pytest.raises(InputError) as refused:
        parse_aircraft(TEXT.replace(find, replacement, 1), "own.toml")
    assert sentence in str(refused.value)
    assert refused.value.remedy


def test_unknown_name_and_unreadable_files(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="low-wing-trainer"):
        load_aircraft("flying-carpet")
    binary = tmp_path / "binary.toml"
    binary.write_bytes(b"\xff\xfe\x00junk")
    with pytest.raises(InputError, match="not a text file"):
        load_aircraft(str(binary))
