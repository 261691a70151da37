"""The debrief as a document: its keys, units and numbers against the truth of a simulated lesson."""

from __future__ import annotations

import json
import math
import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import numpy as np
import pytest
from pyproj import Geod

from groundref.assessment.plain import bearing, clock, number
from groundref.debriefing import Debrief, debrief
from groundref.errors import NothingToWorkOnError, UsageError
from groundref.simulation import Truth, simulate
from groundref.track.recording import Recording
from groundref.units import degree, foot, knot

FOOT, KNOT = 0.3048, 1852 / 3600

# The keys of the debrief as it is promised to scripts; more may stand beside them.
FLIGHT = {
    "source",
    "format",
    "start",
    "end",
    "samples",
    "interval_s",
    "rejected",
    "gaps",
    "measured",
    "notes",
}
WIND = {"from_deg", "speed_kt", "north_sd_kt", "east_sd_kt", "tas_kt", "tas_sd_kt"}
MANEUVER = {
    "kind": None,
    "start": None,
    "end": None,
    "direction": None,
    "confidence": None,
    "reference": {"type", "lat", "lon", "sd_m", "source"},
    "radius_ft": None,
    "radius_sd_ft": None,
    "wind": WIND,
    "entry": {"time", "height_agl_ft", "track_deg", "off_downwind_deg", "distance_ft"},
    "altitude": {"reference_ft", "max_ft", "min_ft", "sd_ft", "height_agl_ft"},
    "airspeed": {"source", "reference_kt", "max_kt", "min_kt", "sd_kt"},
    "bank": {"source", "max_deg", "max_at", "sd_deg"},
    "laps": None,
    "elements": None,
    "findings": None,
}
LAP = {
    "start",
    "end",
    "turn_deg",
    "lat",
    "lon",
    "radius_ft",
    "radial_rms_ft",
    "radial_max_ft",
    "radial_min_ft",
    "altitude_max_ft",
    "altitude_min_ft",
    "bank_max_deg",
    "bank_min_deg",
}
ELEMENT = {"code", "what", "verdict", "limit", "worst", "worst_sd", "at", "why"}
FINDING = {"fault", "laps", "size", "size_unit", "size_sd", "from", "to", "says", "cure"}
SERIES = [
    "time",
    "lat",
    "lon",
    "altitude_ft",
    "height_agl_ft",
    "ground_speed_kt",
    "track_deg",
    "tas_kt",
    "heading_deg",
    "crab_deg",
    "bank_deg",
    "bank_sd_deg",
    "bank_required_deg",
    "radial_ft",
    "wind_from_deg",
    "wind_kt",
    "maneuver",
    "lap",
]

Lesson = tuple[Recording, Truth, Debrief, dict[str, Any]]


@pytest.fixture(scope="module")
def lesson() -> Lesson:
    recording, truth = simulate(seed=11, faults={"overbanked-upwind": 9.0})
    made = debrief(recording, ground=truth.ground_elevation)
    return recording, truth, made, made.to_dict()


def moment(text: str) -> datetime:
    assert text.endswith("Z")
    assert len(text) == len("2026-05-01T12:00:00.000Z")
    return datetime.fromisoformat(text)


def seconds(text: str, truth: Truth) -> float:
    return (moment(text) - truth.epoch).total_seconds()


def walk(value: Any, path: str = "") -> list[tuple[str, Any]]:
    if isinstance(value, dict):
        return [pair for key, each in value.items() for pair in walk(each, f"{path}.{key}")]
    if isinstance(value, list):
        return [pair for i, each in enumerate(value) for pair in walk(each, f"{path}[{i}]")]
    return [(path, value)]


def test_every_promised_key_is_there(lesson: Lesson) -> None:
    document = lesson[3]
    assert document["schema"] == "groundref/debrief/1"
    assert document["flight"].keys() >= FLIGHT
    assert document["wind"]
    assert all(wind.keys() >= WIND | {"start", "end"} for wind in document["wind"])
    (maneuver,) = document["maneuvers"]
    assert maneuver.keys() >= MANEUVER.keys()
    for name, keys in MANEUVER.items():
        if keys is not None:
            assert maneuver[name].keys() >= keys
    assert len(maneuver["laps"]) == 3
    assert all(lap.keys() >= LAP for lap in maneuver["laps"])
    assert maneuver["elements"]
    assert all(element.keys() >= ELEMENT for element in maneuver["elements"])
    assert maneuver["findings"]
    assert all(finding.keys() >= FINDING for finding in maneuver["findings"])


def test_it_is_strict_json_of_plain_values(lesson: Lesson) -> None:
    document = lesson[3]
    assert json.loads(json.dumps(document, allow_nan=False, ensure_ascii=False)) == document
    for path, value in walk(document):
        assert value is None or type(value) in (str, int, float, bool), path
        assert not isinstance(value, float) or math.isfinite(value), path


def test_times_are_utc_to_the_millisecond(lesson: Lesson) -> None:
    for path, value in walk(lesson[3]):
        if isinstance(value, str) and path.rsplit(".", 1)[-1] in {
            "start",
            "end",
            "time",
            "at",
            "from",
            "to",
            "max_at",
        }:
            moment(value)


def test_numbers_are_those_of_the_truth_in_their_units(lesson: Lesson) -> None:
    """Within three stated deviations, or what a phone's sample a second allows where none is stated."""
    recording, truth, _, document = lesson
    flown, (found,) = truth.maneuver, document["maneuvers"]
    assert document["flight"]["samples"] == len(recording)
    assert document["flight"]["interval_s"] == 1.0
    assert seconds(document["flight"]["end"], truth) == pytest.approx(recording.time[-1], abs=0.001)
    assert (found["kind"], found["direction"]) == (flown.kind, flown.direction)
    assert abs(seconds(found["start"], truth) - flown.start) < 3.0
    assert abs(seconds(found["end"], truth) - flown.end) < 3.0
    inside = truth.during(flown.start, flown.end)

    at = found["reference"]
    latitude, longitude = truth.where(flown)
    _, _, off = Geod(ellps="WGS84").inv(at["lon"], at["lat"], longitude / degree, latitude / degree)
    assert off < 3 * math.sqrt(2) * at["sd_m"]
    mean_distance = float(np.hypot(truth.east[inside], truth.north[inside]).mean()) / FOOT
    assert found["radius_ft"] == pytest.approx(mean_distance, rel=0.03)

    wind_east, wind_north = truth.wind_east[inside].mean() / KNOT, truth.wind_north[inside].mean() / KNOT
    wind = found["wind"]
    blows_to = math.radians(wind["from_deg"] + 180.0)
    assert abs(wind["speed_kt"] * math.sin(blows_to) - wind_east) < 3 * wind["east_sd_kt"]
    assert abs(wind["speed_kt"] * math.cos(blows_to) - wind_north) < 3 * wind["north_sd_kt"]
    assert abs(wind["tas_kt"] - truth.true_airspeed[inside].mean() / KNOT) < 3 * wind["tas_sd_kt"]

    entry = found["entry"]
    assert entry["distance_ft"] == pytest.approx(flown.entry_distance / FOOT, abs=60.0)
    assert entry["track_deg"] == pytest.approx(flown.entry_track / degree, abs=6.0)
    assert entry["height_agl_ft"] == pytest.approx(
        float(truth.at("height", np.array([flown.start]))[0]) / FOOT, abs=3 * entry["height_agl_sd_ft"]
    )

    altitude = truth.altitude[inside] / FOOT
    assert found["altitude"]["reference_ft"] == pytest.approx(float(np.median(altitude)), abs=60.0)
    assert found["altitude"]["max_ft"] - found["altitude"]["min_ft"] == pytest.approx(
        np.ptp(altitude), abs=50.0
    )
    assert found["airspeed"]["source"] == found["bank"]["source"] == "derived"
    steepest = np.abs(truth.bank[inside]).max() / degree
    assert abs(found["bank"]["max_deg"]) == pytest.approx(steepest, abs=4.0)
    assert math.copysign(1.0, found["bank"]["max_deg"]) == (-1.0 if flown.direction == "left" else 1.0)
    assert sum(lap["turn_deg"] for lap in found["laps"]) == pytest.approx(-1080.0, abs=25.0)
    assert {finding["fault"] for finding in found["findings"]} >= {"overbanked-upwind"}


def test_series_has_its_columns_and_a_row_a_sample(lesson: Lesson) -> None:
    _, _, made, document = lesson
    series = made.series()
    assert list(series) == SERIES
    assert {column.shape for column in series.values()} == {(document["flight"]["samples_used"],)}
    assert series["time"].dtype == np.dtype("datetime64[ms]")
    assert np.all(np.diff(series["time"]) > np.timedelta64(0, "ms"))


def test_series_and_document_say_the_same(lesson: Lesson) -> None:
    _, _, made, document = lesson
    series, (found,) = made.series(), document["maneuvers"]
    times = series["time"].astype("datetime64[ms]")
    inside = series["maneuver"] == 1
    assert np.flatnonzero(inside).size == np.ptp(np.flatnonzero(inside)) + 1
    start, end = (np.datetime64(found[name][:-1], "ms") for name in ("start", "end"))
    assert start <= times[inside][0] <= start + np.timedelta64(1500, "ms")
    assert end - np.timedelta64(1500, "ms") <= times[inside][-1] <= end
    assert set(series["lap"][inside].tolist()) == {1, 2, 3}
    assert np.all(series["lap"][~inside] == 0)
    assert np.isnan(series["radial_ft"][~inside].astype(float)).all()
    for n, lap in enumerate(found["laps"], start=1):
        part = series["lap"] == n
        bank = series["bank_deg"][part].astype(float)
        assert -bank.min() == pytest.approx(-lap["bank_max_deg"], abs=0.06)
        radial = series["radial_ft"][part].astype(float)
        assert radial.max() == pytest.approx(
            lap["radial_max_ft"], abs=15.0
        )  # laps share the sample between them
    assert found["altitude"]["max_ft"] == pytest.approx(
        series["altitude_ft"][inside].astype(float).max(), abs=0.06
    )
    wind_kt = series["wind_kt"][inside].astype(float).mean()
    assert wind_kt == pytest.approx(found["wind"]["speed_kt"], abs=0.3)


def test_series_follows_the_truth(lesson: Lesson) -> None:
    """Root mean squares over the maneuver of a phone's lesson; generous twice what was seen."""
    _, truth, made, _ = lesson
    series = made.series()
    inside = series["maneuver"] == 1
    time = made.track.time[inside]

    def rms(name: str, wanted: Any, turn: float | None = None) -> float:
        off = series[name][inside].astype(float) - wanted
        return float(np.sqrt(np.mean(off**2 if turn is None else ((off + turn / 2) % turn - turn / 2) ** 2)))

    assert rms("ground_speed_kt", truth.at("ground_speed", time) / KNOT) < 1.5
    assert rms("track_deg", truth.at("track", time) / degree, 360.0) < 1.5
    assert rms("tas_kt", truth.at("true_airspeed", time) / KNOT) < 4.0
    assert rms("crab_deg", truth.at("crab", time) / degree) < 3.0
    assert rms("bank_deg", truth.at("bank", time) / degree) < 3.0
    assert rms("height_agl_ft", truth.at("height", time) / FOOT) < 50.0


def test_what_cannot_be_told_is_null(lesson: Lesson) -> None:
    recording, *_ = lesson
    bare = replace(recording, altitude_msl=None)
    document = debrief(bare).to_dict()
    json.dumps(document, allow_nan=False)
    (found,) = document["maneuvers"]
    assert found["entry"]["height_agl_ft"] is None
    assert set(found["altitude"].values()) == {None}
    assert all(lap["altitude_max_ft"] is None for lap in found["laps"])
    assert np.isnan(debrief(bare).series()["altitude_ft"].astype(float)).all()


def test_a_flight_without_a_maneuver_is_a_debrief_too() -> None:
    recording, truth = simulate(seed=2, flight="maneuver-only")
    document = debrief(recording.take(recording.time < truth.maneuver.start - 5.0)).to_dict()
    assert document["maneuvers"] == []
    assert document["wind"] == []  # straight flight tells no wind
    json.dumps(document, allow_nan=False)


def test_only_the_part_between_start_and_end(lesson: Lesson) -> None:
    recording, truth, _, _ = lesson
    start = truth.epoch + timedelta(seconds=600)
    end = start + timedelta(seconds=300)
    part = debrief(recording, start=start, end=end).to_dict()["flight"]
    assert start <= moment(part["start"]) <= start + timedelta(seconds=1)
    assert end - timedelta(seconds=1) <= moment(part["end"]) <= end
    to_the_end = debrief(recording, start=start).to_dict()["flight"]
    assert seconds(to_the_end["end"], truth) == pytest.approx(recording.time[-1], abs=0.001)


def test_what_was_left_out_as_asked_is_counted_and_said(lesson: Lesson) -> None:
    recording, truth, whole, _ = lesson
    start, end = truth.epoch + timedelta(seconds=600), truth.epoch + timedelta(seconds=1200)
    part = debrief(recording, start=start, end=end)
    flight = part.to_dict()["flight"]
    before, after = int((recording.time < 600).sum()), int((recording.time > 1200).sum())
    assert flight["samples"] == whole.to_dict()["flight"]["samples"] == len(recording)
    said = (
        f"{before} samples before 14:10:00 UTC were left out as asked.",
        f"{after} samples after 14:20:00 UTC were left out as asked.",
    )
    assert part.left_out == said
    assert set(said) <= set(flight["notes"])
    assert any("no time on the ground in what was looked at" in note for note in flight["notes"])
    used_and_not = flight["samples_used"] + len(flight["rejected"]) + before + after
    assert used_and_not == flight["samples"]
    assert whole.left_out == ()


def test_nothing_found_says_what_was_left_out(lesson: Lesson) -> None:
    from groundref.reports.html import page
    from groundref.reports.recorded import none_reasons

    recording, truth, whole, _ = lesson
    part = debrief(recording, start=truth.epoch + timedelta(seconds=1500))
    assert part.maneuvers == ()
    assert re.match(r"1,\d{3} samples before 14:25:00 UTC were left out as asked", none_reasons(part)[0])
    assert none_reasons(part)[0].split(".")[0] in page(part)
    assert len(none_reasons(whole)) == len(none_reasons(part)) - 1 - len(part.cut_short)


def test_nothing_between_start_and_end_is_a_wrong_request(lesson: Lesson) -> None:
    recording, truth, _, _ = lesson
    hour = timedelta(hours=1)
    for start, end in ((truth.epoch + hour, truth.epoch), (truth.epoch - hour, truth.epoch - hour / 2)):
        with pytest.raises(UsageError, match=r"between the times.*14:00:00 to 14:"):
            debrief(recording, start=start, end=end)


def test_no_sample_at_all() -> None:
    nothing = np.empty(0)
    with pytest.raises(NothingToWorkOnError, match="no sample"):
        debrief(
            Recording("e", "gpx", datetime(2026, 5, 1, tzinfo=UTC), nothing, nothing.copy(), nothing.copy())
        )


def test_the_same_recording_gives_the_same_debrief(lesson: Lesson) -> None:
    recording, truth, _, document = lesson
    again = debrief(recording, ground=truth.ground_elevation)
    assert json.dumps(again.to_dict()) == json.dumps(document)


def test_a_given_wind_and_point_are_what_is_reported(lesson: Lesson) -> None:
    recording, truth, _, _ = lesson
    place = truth.where(truth.maneuver)
    made = debrief(recording, point=place, wind=(6.0, 3.0)).to_dict()["maneuvers"][0]
    assert made["reference"]["source"] == "given"
    assert made["reference"]["lat"] == pytest.approx(place[0] / degree, abs=1e-6)
    assert made["reference"]["lon"] == pytest.approx(place[1] / degree, abs=1e-6)
    assert made["wind"]["speed_kt"] == pytest.approx(math.hypot(6.0, 3.0) / knot, abs=2.0)


def test_numbers_at_the_edge() -> None:
    assert number(None) is number(math.nan) is number(math.inf) is None
    assert number(100 * foot, foot) == 100.0
    assert math.copysign(1.0, number(-0.001) or 0.0) == 1.0
    assert bearing(359.97 * degree) == 0.0
    assert bearing(math.nan) is None


def test_a_clock_in_another_zone_states_utc() -> None:
    east = datetime(2026, 5, 1, 1, 30, tzinfo=timezone(timedelta(hours=2)))
    assert clock(east)(1.5) == "2026-04-30T23:30:01.500Z"
    assert clock(east)(None) is None
    assert clock(datetime(2026, 12, 31, 23, 59, 59, tzinfo=UTC))(1.0) == "2027-01-01T00:00:00.000Z"


def test_series_of_a_recording_in_another_zone_is_in_utc() -> None:
    recording, truth = simulate(seed=2, flight="maneuver-only")
    zone = timezone(timedelta(hours=-5))
    moved = debrief(replace(recording, epoch=truth.epoch.astimezone(zone)))
    assert moved.series()["time"][0] == debrief(recording).series()["time"][0]
