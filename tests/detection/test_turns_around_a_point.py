"""What is found in flights of known truth, and what is not taken for turns around a point."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from itertools import product
from math import radians, tan

import numpy as np
import pytest

from groundref.debriefing import debrief
from groundref.detection.maneuver import Maneuver
from groundref.simulation import Truth, Weather, airborne, compose, simulate
from groundref.simulation.around_point import FAULTS_THAT_APPLY
from groundref.simulation.legs import Straight
from groundref.units import degree, foot, knot, standard_gravity

from .flights import OTHER, RECORDERS, around, calm_radius, drawn, found_in, other_flying

EDGE = 3.0  # [s] a roll-in takes as long; the sample interval is 1 s
# At constant bank a single lap drifts with the air like any other full circle: nothing speaks for a point.
TELLABLE = [fault for fault in sorted(FAULTS_THAT_APPLY) if fault != "bank-held-constant"]


def agrees(found: list[Maneuver], truth: Truth, edge: float = EDGE) -> None:
    assert len(found) == 1
    maneuver, flown = found[0], truth.maneuver
    assert maneuver.direction == flown.direction
    assert len(maneuver.laps) == round(flown.laps)
    assert abs(maneuver.start - flown.start) < edge
    assert abs(maneuver.end - flown.end) < edge


@pytest.mark.parametrize("number", range(18))
def test_a_flight_is_found_once_with_its_direction_laps_and_times(number: int) -> None:
    recording, truth = drawn(number)
    agrees(found_in(recording, truth), truth)


@pytest.mark.parametrize(("number", "fault"), list(enumerate(TELLABLE, start=200)))
def test_every_error_of_the_pilot_leaves_it_found(number: int, fault: str) -> None:
    recording, truth = drawn(number, fault)
    agrees(found_in(recording, truth), truth)


@pytest.mark.parametrize(("name", "wind"), list(product(OTHER, [0.0, 12.0, 22.0])))
def test_other_flying_is_not_taken_for_it(name: str, wind: float) -> None:
    """With each recorder in turn, and whether the ground elevation is known or not."""
    recorder = RECORDERS[(OTHER.index(name) + int(wind)) % 3]
    recording, truth = other_flying(name, wind, recorder)
    for found in (found_in(recording, truth), found_in(recording, truth, ground=None)):
        assert "turns-around-a-point" not in [maneuver.kind for maneuver in found]


def test_a_whole_lesson_holds_one_maneuver() -> None:
    recording, truth = simulate(seed=9)
    agrees(found_in(recording, truth), truth)


def test_every_five_seconds_is_enough() -> None:
    for recorder in RECORDERS:
        recording, truth = simulate(seed=3, interval=5.0, recorder=recorder, flight="maneuver-only")
        agrees(found_in(recording, truth), truth, edge=EDGE + 5.0)  # a roll-in hides between two samples


def test_left_and_then_right_in_one_flight() -> None:
    weather = Weather.blowing(0.0, 0.0)
    straight = Straight(800 * foot, 90 * knot, seconds=60.0)
    recording, truth = compose(
        [straight, *around(-1.0, 2.0), straight, *around(1.0, 3.0), straight],
        airborne(0.0, 0.0, 800 * foot, 1.0, 90 * knot, weather),
        weather=weather,
    )
    found = found_in(recording, truth)
    assert [(m.direction, len(m.laps)) for m in found] == [("left", 2), ("right", 3)]
    assert found[0].end < found[1].start
    for maneuver in found:
        assert maneuver.radius == pytest.approx(calm_radius(), rel=0.05)


def test_a_recording_cut_in_the_middle_of_a_lap() -> None:
    recording, truth = simulate(seed=5, laps=2, flight="maneuver-only")
    start, lap = truth.maneuver.start, truth.maneuver.boundaries[1] - truth.maneuver.start
    half = recording.take(recording.time < start + 0.5 * lap)
    assert found_in(half, truth) == []
    longer = found_in(recording.take(recording.time < start + 1.5 * lap), truth)
    assert len(longer) == 1
    turned = np.degrees(sum(part.turn for part in longer[0].laps))
    assert turned == pytest.approx(-540.0, abs=25.0)
    assert len(longer[0].laps) == 2
    assert longer[0].end <= recording.time[recording.time < start + 1.5 * lap][-1] + 1e-6


def test_laps_follow_each_other_and_each_is_one_turn() -> None:
    recording, truth = simulate(seed=6, laps=4, direction="right", flight="maneuver-only")
    (maneuver,) = found_in(recording, truth)
    assert maneuver.laps[0].start == maneuver.start
    assert maneuver.laps[-1].end == maneuver.end
    for one, following in zip(maneuver.laps, maneuver.laps[1:], strict=False):
        assert one.end == following.start
    for lap, end in zip(maneuver.laps[:-1], truth.maneuver.boundaries[1:], strict=False):
        assert np.degrees(lap.turn) == pytest.approx(360.0, abs=1.0)
        assert lap.end == pytest.approx(end, abs=2.0)
    assert all(lap.radial_min < lap.radial_max for lap in maneuver.laps)
    assert all(0.0 <= lap.radial_rms <= max(lap.radial_max, -lap.radial_min) for lap in maneuver.laps)


@pytest.mark.parametrize("seed", range(4))
def test_fitted_point_and_radius_lie_within_what_is_stated(seed: int) -> None:
    """Within three standard deviations per axis; one in 370 would be outside by chance."""
    recording, truth = simulate(seed=seed, flight="maneuver-only")
    (maneuver,) = found_in(recording, truth)
    east, north = debrief(recording).track.frame.to_local(*truth.where(truth.maneuver))
    assert maneuver.reference.source == "fitted"
    assert abs(maneuver.reference.east - float(east)) < 3 * maneuver.reference.sd
    assert abs(maneuver.reference.north - float(north)) < 3 * maneuver.reference.sd
    inside = truth.during(truth.maneuver.start, truth.maneuver.end)
    flown = np.hypot(truth.east[inside], truth.north[inside]).mean()
    assert abs(maneuver.radius - flown) < 3 * maneuver.radius_sd + 0.01 * flown


def test_a_given_point_is_used_and_a_far_one_is_not() -> None:
    recording, truth = simulate(seed=2, flight="maneuver-only")
    place = truth.where(truth.maneuver)
    (maneuver,) = found_in(recording, truth, point=place)
    assert (maneuver.reference.source, maneuver.reference.sd) == ("given", 0.0)
    off = maneuver.radius / truth.maneuver.radius
    assert off == pytest.approx(1.0, abs=0.05)
    (far,) = found_in(recording, truth, point=(place[0] + 0.001, place[1]))
    assert far.reference.source == "fitted"
    assert any("given point" in note for note in far.notes)


@pytest.mark.parametrize("seed", range(2))
@pytest.mark.parametrize("wind", [10.0, 18.0])
def test_constant_bank_drifts_and_a_held_distance_does_not(wind: float, seed: int) -> None:
    """At 10 kt a lap of a minute drifts by 300 m straight downwind, W·2πV/(g tan φ)."""
    fly = partial(simulate, wind_speed=wind * knot, wind_from=radians(240), seed=seed, flight="maneuver-only")
    recording, truth = fly(faults={"bank-held-constant": None})
    (drifting,) = found_in(recording, truth)
    assert drifting.drifts
    carried = wind * knot * (truth.maneuver.end - truth.maneuver.start) / truth.maneuver.laps
    drift = np.array([drifting.drift_east, drifting.drift_north])
    downwind = np.array([np.sin(radians(60)), np.cos(radians(60))])
    assert drift @ downwind == pytest.approx(carried, rel=0.25)
    held_recording, held_truth = fly()
    (held,) = found_in(held_recording, held_truth)
    assert not held.drifts


def test_entry_is_where_it_was() -> None:
    recording, truth = simulate(seed=8, faults={"entry-not-downwind": 30.0}, flight="maneuver-only")
    (maneuver,) = found_in(recording, truth, point=truth.where(truth.maneuver))
    off = np.angle(np.exp(1j * (maneuver.entry.track - truth.maneuver.entry_track)))
    assert abs(np.degrees(off)) < 5.0
    assert maneuver.entry.distance == pytest.approx(truth.maneuver.entry_distance, abs=20.0)


def test_it_does_not_matter_how_the_recorder_counts_time() -> None:
    recording, truth = simulate(seed=4, flight="maneuver-only")
    (one,) = found_in(recording, truth)
    (later,) = found_in(replace(recording, time=recording.time + 7000.0), truth)
    assert later.start - one.start == pytest.approx(7000.0, abs=0.01)
    assert later.radius == pytest.approx(one.radius, abs=0.05)


def test_confidence_is_a_probability_and_more_laps_raise_it() -> None:
    confidence = []
    for laps in (1, 3):
        recording, truth = simulate(seed=1, laps=laps, flight="maneuver-only")
        confidence.append(found_in(recording, truth)[0].confidence)
    assert 0.5 <= confidence[0] < confidence[1] <= 1.0


def test_the_radius_of_drifting_laps_is_that_begun_also_with_a_given_point() -> None:
    """1,200 ft at the entry, held by no lap: the mean distance from the point would be half as much again."""
    recording, truth = simulate(
        seed=11, wind_from=240 * degree, wind_speed=14 * knot, faults={"bank-held-constant": None}
    )
    place = truth.where(truth.maneuver)
    for point in (None, place):
        maneuver = debrief(recording, point=point).maneuvers[0].maneuver
        assert maneuver.drifts
        assert maneuver.radius == pytest.approx(1200 * foot, rel=0.12)  # the bank held is a mean one


@pytest.mark.parametrize("wind", [0.0, 5.0])
@pytest.mark.parametrize("laps", [1, 2])
def test_the_slowest_airplane_may_turn_as_tightly_as_45_allow(laps: int, wind: float) -> None:
    """55 kt at 45° turn about 82 m, V²/(g tan φ), in 18 s a lap: nothing of it is too tight or too quick."""
    recording, truth = simulate(
        true_airspeed=55 * knot,
        wind_speed=wind * knot,
        radius=((55.0 + wind) * knot) ** 2 / (standard_gravity * tan(radians(45))),
        laps=laps,
        seed=laps,
        bank_limit=radians(50),
        flight="maneuver-only",
    )
    agrees(found_in(recording, truth), truth)


@pytest.mark.parametrize(
    ("laps", "begin_ft", "end_ft", "kinds"), [(2.0, 800, 500, ["turns-around-a-point"]), (5.0, 1600, 600, [])]
)
def test_height_lost_in_quick_laps_is_an_error_and_a_spiral_is_meant(
    laps: float, begin_ft: float, end_ft: float, kinds: list[str]
) -> None:
    """300 ft in two laps of 23 s go with 400 fpm; who goes down by 1,000 ft lap after lap means to."""
    weather, speed = Weather.blowing(0.0, 0.0), 65 * knot
    before, after = (Straight(height * foot, speed, seconds=60.0) for height in (begin_ft, end_ft))
    turns = [replace(leg, height=end_ft * foot) for leg in around(1.0, laps, 42.0, speed)]
    recording, truth = compose(
        [before, *turns, after], airborne(0.0, 0.0, begin_ft * foot, 1.0, speed, weather), weather=weather
    )
    assert [maneuver.kind for maneuver in found_in(recording, truth)] == kinds


@pytest.mark.parametrize("seed", [0, 4, 6])
def test_a_single_lap_that_winds_in_drifts_nowhere(seed: int) -> None:
    """A moving circle of any size fits a spiral: how far it moved cannot be told."""
    recording, truth = simulate(
        true_airspeed=80 * knot,
        wind_speed=10 * knot,
        wind_from=0.0,
        radius=320.0,
        laps=1,
        seed=seed,
        faults={"late-turn-entry": 4.5, "entry-not-downwind": 40.0},
        recorder=RECORDERS[seed % 3],
        flight="maneuver-only",
    )
    assert [maneuver.kind for maneuver in found_in(recording, truth)] == ["turns-around-a-point"]
