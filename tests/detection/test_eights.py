"""Elementary eights in whole flights: found, told apart, measured, and not seen in other flying."""

from __future__ import annotations

from dataclasses import replace
from math import radians, tan
from typing import Any

import numpy as np
import pytest

from groundref.debriefing import debrief
from groundref.detection.loops import expected_turn
from groundref.detection.maneuver import Maneuver
from groundref.simulation import Truth, simulate
from groundref.track.clean import clean
from groundref.track.recording import Recording
from groundref.units import degree, foot, knot, standard_gravity
from tests.detection.flights import found_in, other_flying

ALONG, ACROSS, AROUND = "eights-along-a-road", "eights-across-a-road", "eights-around-pylons"
KINDS = (ALONG, ACROSS, AROUND)


def drawn(kind: str, number: int, **options: Any) -> tuple[Recording, Truth]:
    """Return one of many lessons: 60-140 kt, 8-25 kt of wind, 500-3,000 ft, 1-3 eights."""
    chance = np.random.default_rng(number)
    speed = chance.uniform(60, 140) * knot
    wind = min(chance.uniform(8, 25) * knot, 0.35 * speed)
    tightest = (speed + wind) ** 2 / (standard_gravity * tan(radians(44)))
    figures = {
        "true_airspeed": speed,
        "wind_speed": wind,
        "wind_from": chance.uniform(0.0, 2.0 * np.pi),
        "radius": max(chance.uniform(500, 3000) * foot, tightest),
        "direction": ("left", "right")[number % 2],
        "laps": int(chance.integers(1, 4)),
        "recorder": ("phone", "avionics")[(number // 2) % 2],
        "height": 650 * foot,
        "seed": number,
        "flight": "maneuver-only",
    }
    return simulate(kind, **{**figures, **options})


def only(recording: Recording, truth: Truth, **options: Any) -> Maneuver:
    (maneuver,) = found_in(recording, truth, **options)
    return maneuver


def here(recording: Recording, truth: Truth) -> list[tuple[float, float]]:
    """Return the true places in the frame of the track [m]."""
    frame = clean(recording).frame
    return [frame.to_local(*truth.frame.to_geographic(*place)) for place in truth.maneuver.places]


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("number", range(6))
def test_found_and_told_apart(kind: str, number: int) -> None:
    recording, truth = drawn(kind, number)
    maneuver, flown = only(recording, truth), truth.maneuver
    assert maneuver.kind == kind
    assert len(maneuver.laps) == flown.laps
    assert maneuver.direction == "both"
    assert maneuver.radius == pytest.approx(flown.radius, rel=0.03)
    assert maneuver.start == pytest.approx(flown.start, abs=1.5)
    assert maneuver.end == pytest.approx(flown.end, abs=1.5)
    side = 1.0 if number % 2 else -1.0
    assert [np.sign(lap.turn) for lap in maneuver.laps] == [
        side * (-1.0) ** k for k in range(len(maneuver.laps))
    ]


def test_the_pylons_are_found() -> None:
    recording, truth = drawn(AROUND, 2, laps=2, recorder="avionics")
    reference = only(recording, truth).reference
    assert reference.type == "pylons"
    assert reference.source == "fitted"
    for fitted, real in zip(reference.places, here(recording, truth), strict=True):
        assert np.hypot(*np.subtract(fitted, real)) < 100 * foot


@pytest.mark.parametrize("kind", [ALONG, ACROSS])
def test_the_road_is_found(kind: str) -> None:
    recording, truth = drawn(kind, 2, laps=2, recorder="avionics")
    reference = only(recording, truth).reference
    (e1, n1), (e2, n2) = here(recording, truth)
    bearing = np.arctan2(e2 - e1, n2 - n1)
    assert reference.type == "line"
    assert abs(np.sin(reference.bearing - bearing)) < np.sin(5 * degree)
    east, north = reference.places[0]
    off = (east - e1) * np.cos(bearing) - (north - n1) * np.sin(bearing)
    assert abs(off) < 200 * foot


def test_given_pylons_are_used_and_those_far_away_are_not() -> None:
    recording, truth = drawn(AROUND, 3, laps=2)
    places = [truth.frame.to_geographic(*place) for place in truth.maneuver.places]
    near = [(float(latitude), float(longitude)) for latitude, longitude in places]
    used = only(recording, truth, pylons=(near[1], near[0]))
    assert used.reference.source == "given"
    assert used.kind == AROUND
    far = [(latitude + 0.05 * degree, longitude) for latitude, longitude in near]
    other = only(recording, truth, pylons=(far[0], far[1]))
    assert other.reference.source == "fitted"
    assert any("were not used" in note for note in other.notes)


def test_given_pylons_tell_the_kind_in_calm_air() -> None:
    recording, truth = drawn(AROUND, 3, laps=2, wind_speed=0.0)
    places = [truth.frame.to_geographic(*place) for place in truth.maneuver.places]
    near = [(float(latitude), float(longitude)) for latitude, longitude in places]
    told = only(recording, truth, pylons=(near[0], near[1]))
    assert told.kind == AROUND
    assert not any("may as well" in note for note in told.notes)
    untold = only(recording, truth)
    assert untold.confidence < 0.8
    assert any("may as well" in note for note in untold.notes)


@pytest.mark.parametrize("kind", [ALONG, ACROSS])
@pytest.mark.parametrize("number", range(4))
def test_a_given_road_tells_the_kind(kind: str, number: int) -> None:
    recording, truth = drawn(kind, number, laps=2, wind_speed=(0.0, 12 * knot)[number % 2])
    (a, b), (c, d) = (truth.frame.to_geographic(*place) for place in truth.maneuver.places)
    told = only(recording, truth, line=((float(a), float(b)), (float(c), float(d))))
    untold = only(recording, truth)
    before = {untold.kind: untold.confidence, **dict(untold.alternatives)}
    assert told.kind == kind
    assert told.reference.source == "given"
    assert told.confidence >= before[kind] - 1e-3
    assert {AROUND, "eights-on-pylons"}.isdisjoint({name for name, share in told.alternatives if share > 0.2})


def test_in_a_calm_each_of_two_kinds_is_said_with_one_half() -> None:
    # The same circles and ways: no handbook prints a distance or an angle that would tell them apart.
    for kind, other in ((ACROSS, AROUND), (AROUND, ACROSS)):
        said = only(*drawn(kind, 5, laps=2, wind_speed=0.0))
        given = {said.kind: said.confidence, **dict(said.alternatives)}
        assert given[kind] == pytest.approx(given[other], abs=0.03)
        assert given[kind] + given[other] == pytest.approx(1.0, abs=0.05)


def test_the_other_kind_is_named_with_what_is_left_in_wind() -> None:
    said = only(*drawn(AROUND, 3, laps=2))
    told = dict(said.alternatives)
    assert said.confidence > 0.75
    assert said.confidence + sum(told.values()) == pytest.approx(1.0, abs=0.1)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("number", [2, 3])
def test_held_bank_in_strong_wind_is_the_maneuver_with_that_error(kind: str, number: int) -> None:
    recording, truth = drawn(
        kind,
        number,
        laps=2,
        true_airspeed=95 * knot,
        wind_speed=22 * knot,
        radius=1600 * foot,
        faults={"bank-held-constant": None},
    )
    maneuver = only(recording, truth)
    assert maneuver.kind == kind
    flown = truth.maneuver
    shared = min(maneuver.end, flown.end) - max(maneuver.start, flown.start)
    assert shared > 0.8 * (flown.end - flown.start)


def test_tight_loops_of_a_slow_airplane() -> None:
    recording, truth = drawn(
        ACROSS,
        2,
        laps=2,
        true_airspeed=58 * knot,
        wind_speed=9 * knot,
        radius=400 * foot,
        bank_limit=radians(55),
    )
    assert only(recording, truth).kind == ACROSS


@pytest.mark.parametrize("radii", [3.0, 4.0])
def test_long_ways_between_pylons_are_one_eight(radii: float) -> None:
    recording, truth = drawn(
        AROUND,
        4,
        laps=2,
        true_airspeed=90 * knot,
        wind_speed=28 * knot,
        radius=1900 * foot,
        spacing=radii * 1900 * foot,
    )
    maneuver = only(recording, truth)
    assert maneuver.kind == AROUND
    assert len(maneuver.laps) == truth.maneuver.laps


def test_entered_from_elsewhere_the_first_loop_may_go_farther_round() -> None:
    recording, truth = drawn(
        AROUND, 3, laps=1, faults={"entry-not-downwind": 150.0}, wind_speed=10 * knot, direction="right"
    )
    maneuver = only(recording, truth)
    assert maneuver.kind == AROUND
    assert abs(maneuver.laps[0].turn) > 380 * degree


@pytest.mark.parametrize(
    ("spread", "turn"), [(1.0, 360.0), (np.sqrt(2.0), 270.0), (2.0, 240.0), (1e9, 180.0)]
)
def test_how_far_a_loop_turns(spread: float, turn: float) -> None:
    # Plane geometry: the line that touches both circles on opposite sides.
    assert expected_turn(spread) / degree == pytest.approx(turn, abs=1e-4)


@pytest.mark.parametrize("wind", [0.0, 15.0])
@pytest.mark.parametrize(
    "name",
    [
        "steep turns 45° at 1500 ft",
        "steep turns 50° at 4000 ft",
        "s-turns",
        "sightseeing",
        "holding pattern",
        "traffic circuits",
        "thermal climb",
        "procedure turn",
    ],
)
def test_not_seen_in_other_flying(name: str, wind: float) -> None:
    recording, truth = other_flying(name, wind, "phone")
    assert not {one.kind for one in found_in(recording, truth)} & set(KINDS)


@pytest.mark.parametrize("kind", ["turns-around-a-point", "s-turns", "steep-turns"])
def test_not_seen_in_lessons_of_other_kinds(kind: str) -> None:
    height = 2500 * foot if kind == "steep-turns" else 800 * foot
    recording, truth = simulate(
        kind, height=height, radius=1400 * foot, laps=2, seed=4, flight="maneuver-only"
    )
    whole = debrief(recording, ground=truth.ground_elevation)
    assert not {one.maneuver.kind for one in whole.maneuvers} & set(KINDS)


def test_one_loop_alone_is_no_eight() -> None:
    recording, truth = drawn(ALONG, 2, laps=0.5)
    assert not {one.kind for one in found_in(recording, truth)} & set(KINDS)


def test_cut_off_in_the_second_loop_is_still_measured() -> None:
    recording, truth = drawn(AROUND, 2, laps=2)
    bounds = truth.maneuver.boundaries
    cut = 0.5 * (bounds[2] + bounds[3])
    keep = recording.time <= cut
    fields = {
        name: getattr(recording, name)[keep]
        for name in recording.__dataclass_fields__
        if isinstance(getattr(recording, name), np.ndarray)
    }
    (maneuver,) = found_in(replace(recording, **fields), truth)
    assert maneuver.kind == AROUND
    assert 2 <= len(maneuver.laps) <= 3
