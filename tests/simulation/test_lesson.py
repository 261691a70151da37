"""A whole lesson: chance, time on the ground, truth and its document."""

from __future__ import annotations

import json
import time
from dataclasses import fields
from datetime import UTC, datetime

import numpy as np
import pytest

from groundref.errors import GroundrefError, NoSolutionError, UsageError
from groundref.simulation import Weather, airborne, compose, simulate
from groundref.simulation.patterns import (
    holding_pattern,
    procedure_turn,
    s_turns,
    sightseeing,
    steep_turns,
    traffic_circuit,
)
from groundref.track.recording import CHANNELS
from groundref.units import degree, foot, knot


@pytest.mark.parametrize("recorder", ["phone", "avionics", "adsb"])
def test_the_same_number_gives_the_same_flight(recorder: str) -> None:
    state = np.random.get_state()[1].copy()
    options = {"flight": "maneuver-only", "laps": 1, "recorder": recorder, "gust_sd": 0.5}
    (one, first), (two, second), (other, _) = (simulate(**options, seed=number) for number in (7, 7, 8))
    for name in CHANNELS:
        values = getattr(one, name)
        if values is not None:
            assert values.tobytes() == getattr(two, name).tobytes()
    assert first.to_dict() == second.to_dict()
    assert one.latitude[:50].tobytes() != other.latitude[:50].tobytes()
    assert np.array_equal(np.random.get_state()[1], state)  # no common source of chance was touched


@pytest.mark.parametrize("wind_from", [10.0, 100.0, 190.0, 280.0])
def test_a_lesson_is_a_whole_flight(flown, wind_from: float) -> None:
    _, truth = flown(flight="lesson", wind_from=wind_from * degree)
    assert 18 * 60 < truth.time[-1] < 35 * 60
    ground = truth.on_ground
    assert ground[truth.time < 120].all()
    assert ground[truth.time > truth.time[-1] - 90].all()
    assert np.count_nonzero(np.diff(ground.astype(int))) == 2  # one take-off and one landing
    assert truth.height[ground] == pytest.approx(0.0)
    assert truth.height[~ground].min() > -0.5
    touch_down = np.flatnonzero(~ground)[-1]
    assert abs(truth.climb[touch_down]) < 2.0
    assert np.degrees(np.abs(truth.bank[~ground])).max() < 45.0
    assert truth.true_airspeed[~ground].min() > 48 * knot
    home = np.hypot(truth.east[-1] - truth.east[0], truth.north[-1] - truth.north[0])
    assert home < 20.0


def test_the_truth_says_where_the_runway_lies(flown) -> None:
    _, truth = flown(flight="lesson", wind_from=280.0 * degree)
    (east, north), (far_east, far_north) = truth.runway
    assert np.hypot(far_east - east, far_north - north) == pytest.approx(900.0)
    assert np.arctan2(far_east - east, far_north - north) % (2 * np.pi) == pytest.approx(280.0 * degree)
    # It lands between the ends, on the line from one to the other.
    touched = np.flatnonzero(~truth.on_ground)[-1]
    on_east, on_north = truth.east[touched] - east, truth.north[touched] - north
    along, across = np.sin(280.0 * degree), np.cos(280.0 * degree)
    assert 0.0 < on_east * along + on_north * across < 900.0
    assert abs(on_east * across - on_north * along) < 10.0
    written = truth.to_dict(60.0)["runway"]
    assert written[0] == pytest.approx(np.degrees(truth.frame.to_geographic(east, north)), abs=1e-6)
    assert flown(wind_from=280.0 * degree)[1].to_dict(60.0)["runway"] is None


@pytest.mark.parametrize(("airspeed", "radius"), [(48.0, 600.0), (145.0, 3600.0)])
def test_slow_and_fast_airplanes_fly_it_too(flown, circle, airspeed: float, radius: float) -> None:
    options = {"true_airspeed": airspeed * knot, "radius": radius * foot, "wind_speed": 0.2 * airspeed * knot}
    _, truth = flown(flight="lesson", **options)
    assert np.abs(circle(truth)["radial"]).max() < 70 * foot
    assert truth.true_airspeed[~truth.on_ground].min() > 0.5 * airspeed * knot
    assert truth.on_ground[-1]


def test_a_lesson_is_quick_to_simulate() -> None:
    begin = time.process_time()
    simulate(recorder="avionics", interval=0.2)
    assert time.process_time() - begin < 2.0


def test_the_recording_is_that_of_the_truth(flown) -> None:
    recording, truth = flown(flight="lesson")
    east, north = truth.frame.to_local(recording.latitude, recording.longitude)
    off = np.hypot(east - truth.at("east", recording.time), north - truth.at("north", recording.time))
    assert off.max() < 15.0
    assert recording.epoch == truth.epoch


def test_place_time_and_numbers_are_those_asked_for() -> None:
    epoch = datetime(2027, 3, 14, 23, 58, tzinfo=UTC)
    _, truth = simulate(
        latitude=-35 * degree,
        longitude=179.99 * degree,
        epoch=epoch,
        direction="right",
        laps=2,
        radius=900 * foot,
        height=700 * foot,
        ground_elevation=100.0,
        wind_speed=8 * knot,
        wind_from=30 * degree,
        flight="maneuver-only",
        recorder="adsb",
    )
    flown = truth.maneuver
    assert truth.epoch == epoch
    assert np.degrees(truth.where(flown)) == pytest.approx([-35.0, 179.99])
    inside = truth.during(flown.start, flown.end)
    assert truth.altitude[inside].mean() == pytest.approx(100.0 + 700 * foot, abs=5.0)
    assert np.hypot(truth.east, truth.north)[inside].mean() == pytest.approx(900 * foot, rel=0.02)
    assert truth.wind_north[inside].mean() == pytest.approx(-8 * knot * np.cos(30 * degree))
    assert len(flown.boundaries) == 3


@pytest.mark.parametrize("laps", [0.5, 1, 1.5, 4])
def test_laps_are_counted_by_track(flown, laps: float) -> None:
    _, truth = flown(laps=laps)
    flown_ = truth.maneuver
    assert len(flown_.boundaries) - 1 == int(np.ceil(laps))
    assert flown_.boundaries[0] == flown_.start
    assert flown_.boundaries[-1] == flown_.end
    track = np.unwrap(truth.track)
    turned = np.degrees(np.abs(np.diff(np.interp(flown_.boundaries, truth.time, track))))
    assert turned[:-1] == pytest.approx(360.0, abs=0.5)
    assert turned.sum() == pytest.approx(360.0 * laps, abs=20.0)


def test_start_and_end_are_at_half_of_the_bank(flown) -> None:
    _, truth = flown(unsteadiness=0.0)
    flown_ = truth.maneuver
    bank = np.degrees(-truth.bank)
    assert np.interp(flown_.start, truth.time, bank) == pytest.approx(
        0.5 * np.interp(flown_.start + 3.0, truth.time, bank), abs=2.0
    )
    assert np.interp(flown_.end, truth.time, bank) == pytest.approx(
        0.5 * np.interp(flown_.end - 3.0, truth.time, bank), abs=2.0
    )


def test_truth_document(flown) -> None:
    _, truth = flown({"overbanked-upwind": 5.0})
    document = json.loads(json.dumps(truth.to_dict(), allow_nan=False))
    assert document["schema"] == "groundref/truth/1"
    assert document["faults"] == [{"fault": "overbanked-upwind", "size": 5.0, "size_unit": "deg"}]
    maneuver = document["maneuvers"][0]
    assert maneuver["kind"] == "turns-around-a-point"
    assert maneuver["wind"]["from_deg"] == pytest.approx(240.0)
    assert maneuver["wind"]["speed_kt"] == pytest.approx(12.0)
    assert maneuver["radius_ft"] == pytest.approx(1200.0)
    start = datetime.fromisoformat(maneuver["start"])
    assert (start - truth.epoch).total_seconds() == pytest.approx(truth.maneuver.start, abs=0.001)
    lengths = {len(column) for column in document["states"].values()}
    assert lengths == {int(np.ceil(truth.time[-1]))}
    assert all(
        key.endswith(("_s", "_ft", "_kt", "_deg", "_fpm", "_g"))
        for key in document["states"]
        if key not in {"lat", "lon", "on_ground"}
    )


def test_truth_cannot_be_changed(flown) -> None:
    _, truth = flown()
    for item in fields(truth):
        values = getattr(truth, item.name)
        if isinstance(values, np.ndarray):
            assert not values.flags.writeable, item.name


@pytest.mark.parametrize(
    ("legs", "turned"),
    [
        (traffic_circuit(240 * degree), -360.0),
        (holding_pattern(0.0, 240.0, times=2), 720.0),
        (s_turns(0.0, 240.0), 0.0),
        (steep_turns(240.0), 0.0),
        (sightseeing(240.0), -80.0),
        (procedure_turn(0.0, 240.0), -180.0),
    ],
)
def test_other_patterns_turn_as_they_should(legs, turned: float) -> None:
    weather = Weather.blowing(10 * knot, 240 * degree)
    start = airborne(0.0, 0.0, 200.0, 0.0 if turned != -360.0 else 240 * degree, 44.0, weather)
    _, truth = compose(legs, start, weather=weather, unsteadiness=0.0)
    heading = np.unwrap(truth.heading)
    assert np.degrees(heading[-1] - heading[0]) == pytest.approx(turned, abs=20.0)
    assert truth.maneuvers == ()


@pytest.mark.parametrize(
    ("options", "kind"),
    [
        ({"maneuver": "lazy-eights"}, UsageError),
        ({"direction": "up"}, UsageError),
        ({"flight": "all"}, UsageError),
        ({"recorder": "quill"}, UsageError),
        ({"laps": 0}, UsageError),
        ({"radius": float("nan")}, UsageError),
        ({"height": -5.0}, UsageError),
        ({"true_airspeed": 0.0}, UsageError),
        ({"wind_speed": 80 * knot}, NoSolutionError),
        ({"wind_from": float("inf")}, UsageError),
        ({"gust_sd": -1.0}, UsageError),
    ],
)
def test_nonsense_is_refused_in_a_sentence(options, kind: type[GroundrefError]) -> None:
    with pytest.raises(kind) as refused:
        simulate(**options)
    assert refused.value.remedy
