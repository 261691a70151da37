"""An airplane at another mass, its wing as seen from either seat, the template and the document."""

from __future__ import annotations

import json
import re
import tomllib
from dataclasses import fields
from importlib.resources import files
from io import StringIO

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.console import Console

from groundref.aircraft.aircraft import LEFT_SEAT, RIGHT_SEAT, Aircraft
from groundref.aircraft.document import aircraft_dict, aircraft_document
from groundref.aircraft.keys import KEYS, NOTHING, Key
from groundref.aircraft.loading import aircraft_names, load_aircraft, parse_aircraft
from groundref.aircraft.template import EXAMPLE, template
from groundref.cli.airplane import show
from groundref.errors import InputError, UsageError
from groundref.mechanics.wing_view import is_hidden
from groundref.units import degree, knot

SCALED = ("stall_speed", "stall_speed_flaps", "maneuvering_speed", "glide_speed")
HIGH, LOW = load_aircraft("high-wing-trainer"), load_aircraft("low-wing-trainer")


@given(st.floats(740.0, 1050.0))
def test_speeds_go_with_the_root_of_the_mass(mass: float) -> None:
    there = load_aircraft("high-wing-trainer", mass)
    for field in fields(there):
        here, now = getattr(HIGH, field.name), getattr(there, field.name)
        if field.name in SCALED:
            assert (now / here) ** 2 == pytest.approx(mass / 1050.0, rel=1e-9)
        else:
            assert now == (mass if field.name == "mass" else here)
    back = there.at_mass(1050.0)
    assert [getattr(back, name) for name in SCALED] == pytest.approx([getattr(HIGH, name) for name in SCALED])


def test_a_tenth_less_mass_takes_a_twentieth_off_the_maneuvering_speed() -> None:
    # FAA-H-8083-25, Pilot's Handbook of Aeronautical Knowledge: it falls by half the percentage of weight
    # (from memory).
    assert LOW.at_mass(0.9 * LOW.mass).maneuvering_speed / LOW.maneuvering_speed == pytest.approx(
        0.95, abs=0.002
    )


@pytest.mark.parametrize("mass", [739.9, 1050.1, float("nan"), float("inf"), -800.0])
def test_a_mass_that_it_is_not_flown_at_is_refused(mass: float) -> None:
    with pytest.raises(UsageError, match=r"mass of high-wing-trainer: .* lies outside 740 to 1,050 kg"):
        load_aircraft("high-wing-trainer", mass)


def test_a_mass_outside_an_assumed_range_says_which_keys_to_give() -> None:
    with pytest.raises(UsageError, match="put mass_min_kg and mass_max_kg, assumed so far"):
        parse_aircraft(template(), "own.toml").at_mass(1100.0)


def test_the_flaps_that_are_not_known_stay_so() -> None:
    assert parse_aircraft(template(), "own.toml").at_mass(900.0).stall_speed_flaps is None


@pytest.mark.parametrize("airplane", [HIGH, LOW], ids=lambda each: each.name)
def test_either_seat_sees_its_own_wing_alike(airplane: Aircraft) -> None:
    near, far = airplane.wing_corners(-1.0, LEFT_SEAT), airplane.wing_corners(1.0, LEFT_SEAT)
    assert np.array_equal(near, airplane.wing_corners(1.0, RIGHT_SEAT))
    assert np.array_equal(far, airplane.wing_corners(-1.0, RIGHT_SEAT))
    # The far tip is farther by twice the eye's distance from the centerline.
    assert far[:, 1] - near[:, 1] == pytest.approx(2 * airplane.eye_from_centerline)
    assert near[0, 0] - near[1, 0] == pytest.approx(airplane.wing_chord)
    assert near[2, 1] == pytest.approx(airplane.wing_span / 2 - airplane.eye_from_centerline)


def test_high_and_low_wing_hide_opposite_sides_of_the_bank() -> None:
    depression, bank = 27 * degree, np.array([15.0, 40.0]) * degree
    assert is_hidden(HIGH.wing_corners(-1.0), depression, 0.0, bank).tolist() == [False, True]
    assert is_hidden(LOW.wing_corners(-1.0), depression, 0.0, bank).tolist() == [True, False]


def test_the_template_is_a_valid_file_that_says_every_key() -> None:
    text = template()
    airplane = parse_aircraft(text, "template.toml")
    assert (airplane.name, airplane.practice_speed / knot) == ("our-trainer", pytest.approx(90.0))
    assert list(EXAMPLE) == [key.name for key in KEYS]
    assert set(tomllib.loads(text)) == {key.name for key in KEYS if key.needed}
    flat = " ".join(text.replace("# ", "").split())
    for key in KEYS:
        assert f"{key.name} = " in text
        left_out = "it is then not known" if key.assumed == NOTHING else key.assumed
        for words in (key.meaning, key.unit, key.typical, left_out):
            assert words in flat or words.capitalize() in flat, key.name
    assert max(map(len, text.splitlines())) <= 88


def test_the_template_is_valid_with_every_key_given() -> None:
    lines = template().splitlines()
    names = tuple(f"# {key.name} = " for key in KEYS)
    whole = "\n".join(line.removeprefix("# ") if line.startswith(names) else line for line in lines)
    assert tomllib.loads(whole) == EXAMPLE
    assert parse_aircraft(whole, "template.toml").assumed == ()


@pytest.mark.parametrize("name", aircraft_names())
def test_the_document_is_the_file(name: str) -> None:
    said = tomllib.loads(files("groundref.aircraft").joinpath(f"{name}.toml").read_text("utf-8"))
    written = aircraft_dict(load_aircraft(name))
    assert written.pop("assumed") == []
    assert written == said
    assert list(written) == [key.name for key in KEYS]


def test_what_is_not_known_is_null() -> None:
    (written,) = aircraft_document([parse_aircraft(template(), "own.toml")])["aircraft"]
    assert written["never_exceed_speed_kt"] is None
    assert "wing_chord_m" in written["assumed"]


def near(key: Key) -> st.SearchStrategy[float]:
    """Return numbers near that of the template."""
    usual = float(EXAMPLE[key.name])
    return st.floats(0.95 * usual, 1.05 * usual)


NUMBERS = [key for key in KEYS if key.accepted is not None]
usual_numbers = st.fixed_dictionaries({}, optional={key.name: near(key) for key in NUMBERS})
# One number at the end of what is accepted, or none at all.
odd_number = st.sampled_from(NUMBERS).flatmap(
    lambda key: st.tuples(st.just(key.name), st.sampled_from([*(key.accepted or ()), np.nan, np.inf, -1.0]))
)


@given(usual_numbers, st.lists(odd_number, max_size=1), st.booleans())
def test_whatever_the_numbers_a_file_is_refused_or_of_use(
    usual: dict[str, float], odd: list[tuple[str, float]], high_wing: bool
) -> None:
    said = usual | dict(odd)
    whole = {key.name: EXAMPLE[key.name] for key in KEYS if key.needed} | said | {"high_wing": high_wing}
    # As TOML writes them: text and booleans as in JSON, numbers with a point, nan and inf bare.
    text = "\n".join(
        f"{name} = {json.dumps(value) if isinstance(value, str | bool) else repr(float(value))}"
        for name, value in whole.items()
    )
    try:
        airplane = parse_aircraft(text, "own.toml")
    except InputError as problem:
        refused = problem
    else:
        for mass in (airplane.mass_min, airplane.mass_max):
            there = airplane.at_mass(mass)
            assert there.stall_speed < there.practice_speed
            show(there, Console(file=StringIO()))
        left_out = {key.name for key in KEYS if key.assumed not in ("", NOTHING)} - set(said)
        assert set(airplane.assumed) == left_out
        return
    assert re.match(r"own\.toml: [a-z_]+: ", str(refused))
    assert refused.remedy
