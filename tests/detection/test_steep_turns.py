"""Steep turns found in flights of known truth, and told from turns around a point of the same radius."""

from __future__ import annotations

from dataclasses import replace
from math import radians, tan
from typing import Any

import numpy as np
import pytest

from groundref.angles import full_turn
from groundref.detection.maneuver import Maneuver
from groundref.simulation import Truth, Weather, airborne, compose, simulate
from groundref.simulation.legs import Straight, Turn
from groundref.simulation.steep_turns import FAULTS_THAT_APPLY
from groundref.track.recording import Recording
from groundref.units import foot, knot, standard_gravity

from .flights import RECORDERS, found_in

EDGE = 3.0  # [s] a roll-in takes as long; the sample interval is 1 s


def drawn(number: int, fault: str | None = None, **options: Any) -> tuple[Recording, Truth]:
    """Return one of many flights: 55-160 kt, 0-30 kt of wind, 45° or 50°, one turn or two, any recorder."""
    chance = np.random.default_rng([3, number])
    speed = chance.uniform(55, 160) * knot
    drawn_options = {
        "true_airspeed": speed,
        "wind_speed": min(chance.uniform(0, 30) * knot, 0.4 * speed),
        "wind_from": chance.uniform(0, full_turn),
        "course": chance.uniform(0, full_turn),
        "height": chance.uniform(1500, 4000) * foot,
        "bank_limit": radians(float(chance.choice([45, 50]))),
        "direction": ("left", "right")[number % 2],
        "laps": 1 + (number // 2) % 2,
        "gust_sd": float(chance.choice([0.0, 1.0])),
        "recorder": RECORDERS[number % 3],
        "seed": number,
        "faults": {fault: None} if fault else {},
        "flight": "maneuver-only",
    }
    return simulate("steep-turns", **{**drawn_options, **options})


def agrees(found: list[Maneuver], truth: Truth) -> None:
    assert [maneuver.kind for maneuver in found] == ["steep-turns"]
    maneuver, flown = found[0], truth.maneuver
    assert maneuver.direction == flown.direction
    assert len(maneuver.laps) == flown.laps
    assert abs(maneuver.start - flown.start) < EDGE
    assert abs(maneuver.end - flown.end) < EDGE
    for lap, start in zip(maneuver.laps, flown.boundaries, strict=False):
        assert abs(lap.start - start) < EDGE


@pytest.mark.parametrize("number", range(16))
def test_turns_are_found_with_their_number_direction_and_times(number: int) -> None:
    recording, truth = drawn(number)
    agrees(found_in(recording, truth), truth)


@pytest.mark.parametrize(("number", "fault"), list(enumerate(sorted(FAULTS_THAT_APPLY), start=100)))
def test_every_error_of_the_pilot_leaves_them_found(number: int, fault: str) -> None:
    recording, truth = drawn(number, fault)
    agrees(found_in(recording, truth), truth)


def test_without_the_elevation_of_the_ground() -> None:
    recording, truth = drawn(6)
    agrees(found_in(recording, truth, ground=None), truth)


def test_nothing_on_the_ground_is_named_and_no_distance() -> None:
    recording, truth = drawn(2)
    (maneuver,) = found_in(recording, truth)
    assert maneuver.reference.type == "none"
    assert maneuver.reference.places == ()
    assert np.isnan([maneuver.radius, maneuver.entry.distance, maneuver.laps[0].radial_rms]).all()
    assert maneuver.entry.abeam_time is None


def test_the_drift_is_that_of_the_air() -> None:
    recording, truth = drawn(
        2, true_airspeed=95 * knot, wind_speed=18 * knot, wind_from=radians(240), gust_sd=0.0
    )
    (maneuver,) = found_in(recording, truth)
    lap = maneuver.laps[0]
    carried = 18 * knot * (lap.end - lap.start) * full_turn / abs(lap.turn)
    downwind = np.array([np.sin(radians(60)), np.cos(radians(60))])
    assert np.array([maneuver.drift_east, maneuver.drift_north]) @ downwind == pytest.approx(carried, rel=0.2)


@pytest.mark.parametrize("wind", [10.0, 18.0, 25.0])
@pytest.mark.parametrize("laps", [1, 2])
def test_a_turn_around_a_point_of_the_same_radius_is_another(wind: float, laps: int) -> None:
    """One radius and one airspeed: at 45° in calm air both are the same circle; the wind tells them apart."""
    speed = 95 * knot
    radius = speed**2 / standard_gravity / tan(radians(40))
    options: dict[str, Any] = {"true_airspeed": speed, "wind_speed": wind * knot, "laps": laps, "seed": 4}
    point = simulate(radius=radius, bank_limit=radians(55), height=900 * foot, **options)
    steep = simulate("steep-turns", bank_limit=radians(40), height=2500 * foot, **options)
    for (recording, truth), kind in ((point, "turns-around-a-point"), (steep, "steep-turns")):
        (found,) = found_in(recording, truth)
        assert found.kind == kind
        assert found.confidence > 0.7


def test_in_calm_air_one_circle_at_a_height_between_is_not_claimed_for_sure() -> None:
    """Nothing tells a steep turn from a turn around a point then: both are the same circle."""
    options: dict[str, Any] = {"wind_speed": 0.0, "laps": 1, "flight": "maneuver-only"}
    recording, truth = simulate("steep-turns", height=1200 * foot, bank_limit=radians(42), **options)
    for found in found_in(recording, truth):
        assert found.confidence < 0.9


@pytest.mark.parametrize("laps", [1, 2])
def test_steep_loops_too_low_for_steep_turns_are_an_eight(laps: int) -> None:
    """The same path in a calm, but steep turns ask for 1,500 ft and more (from memory), eights for less."""
    speed = 90 * knot
    recording, truth = simulate(
        "eights-along-a-road",
        true_airspeed=speed,
        wind_speed=0.0,
        radius=speed**2 / (standard_gravity * tan(radians(42))),
        height=800 * foot,
        laps=laps,
        flight="maneuver-only",
    )
    (maneuver,) = found_in(recording, truth)
    assert maneuver.kind == "eights-along-a-road"


@pytest.mark.parametrize(("bank", "fpm"), [(50.0, 3000.0), (64.0, 1500.0)])
def test_a_pair_of_turns_that_end_in_a_dive_are_still_steep_turns(bank: float, fpm: float) -> None:
    """Too much bank and too little pull: the nose drops, and height goes as fast as in a spiral."""
    speed, weather = 110 * knot, Weather.blowing(8 * knot, 1.0, height=3000 * foot)
    high, lasts = 3500 * foot, full_turn * speed / (standard_gravity * tan(radians(bank)))
    low = high - fpm * foot / 60.0 * lasts
    dive = Turn(full_turn, radians(bank), speed, height=low)
    level = Straight(low, speed, seconds=8.0)
    other = Turn(-full_turn, radians(45), speed, height=low)
    away = Straight(high, speed, seconds=60.0)
    recording, truth = compose(
        [away, dive, level, other, replace(away, height=low)],
        airborne(0.0, 0.0, high, 0.0, speed, weather),
        weather=weather,
    )
    (found,) = found_in(recording, truth)
    assert (found.kind, len(found.laps)) == ("steep-turns", 2)


@pytest.mark.parametrize("speed_kt", [62.0, 90.0])
def test_a_turn_the_same_way_soon_after_is_no_part_of_it(speed_kt: float) -> None:
    """Rolled out 25° early, and after some seconds on to where to fly next: it ends with its roll-out."""
    speed, height, weather = speed_kt * knot, 2500 * foot, Weather.blowing(10 * knot, 1.0, height=2500 * foot)
    away, level = Straight(height, speed, seconds=60.0), Straight(height, speed, seconds=4.0)
    steep, on = (
        Turn(radians(turn), radians(bank), speed, height=height) for turn, bank in ((335, 47), (30, 25))
    )
    recording, truth = compose(
        [away, steep, level, on, away], airborne(0.0, 0.0, height, 0.0, speed, weather), weather=weather
    )
    (found,) = found_in(recording, truth)
    assert found.kind == "steep-turns"
    assert np.degrees(found.laps[0].turn) == pytest.approx(335.0, abs=10.0)


def test_turns_minutes_apart_are_two_maneuvers() -> None:
    weather = Weather.blowing(10 * knot, 1.0, height=2500 * foot)
    height, speed = 2500 * foot, 95 * knot
    turn = Turn(full_turn, radians(45), speed, height=height)
    away = Straight(height, speed, seconds=120.0)
    recording, truth = compose(
        [away, turn, away, turn, away], airborne(0.0, 0.0, height, 0.0, speed, weather), weather=weather
    )
    found = found_in(recording, truth)
    assert [(each.kind, len(each.laps), each.direction) for each in found] == [
        ("steep-turns", 1, "right")
    ] * 2


def test_a_cut_recording_of_half_a_turn_holds_none() -> None:
    recording, truth = drawn(4, laps=1)
    middle = 0.5 * (truth.maneuver.start + truth.maneuver.end)
    assert found_in(recording.take(recording.time < middle), truth) == []
