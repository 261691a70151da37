"""ADS-B state vectors in the two open conventions, in CSV, JSON and Parquet."""

from __future__ import annotations

import io
import json
from datetime import UTC, datetime
from typing import Any

import numpy as np
import polars
import pytest

from groundref.errors import InputError, NothingToWorkOnError
from groundref.readers import _parquet, read

from .reading import read_text

START = 1777636800
ROWS_SI: list[dict[str, Any]] = [
    {
        "time": START + i,
        "icao24": "abc123",
        "lat": 40.0 + i * 4e-4,
        "lon": -90.0,
        "velocity": 48.5,
        "heading": 359.5,
        "vertrate": -0.33,
        "callsign": "TEST1  ",
        "onground": i == 0,
        "baroaltitude": 304.8,
        "geoaltitude": 320.04 if i else None,
        "lastposupdate": START + i - 0.4,
    }
    for i in range(4)
]
ROWS_AVIATION: list[dict[str, Any]] = [
    {
        "timestamp": f"2026-05-01 12:00:0{i}+00:00",
        "icao24": "abc123",
        "callsign": "TEST1",
        "latitude": 40.0 + i * 4e-4,
        "longitude": -90.0,
        "altitude": 1000.0,
        "geoaltitude": 1050.0 if i else None,
        "groundspeed": 94.0,
        "track": 359.5,
        "vertical_rate": -64.0,
        "onground": i == 0,
    }
    for i in range(4)
]


def as_csv(rows: list[dict[str, Any]]) -> bytes:
    return polars.DataFrame(rows).write_csv().encode()


def as_json(rows: list[dict[str, Any]]) -> bytes:
    return json.dumps(rows).encode()


def as_lines(rows: list[dict[str, Any]]) -> bytes:
    return "\n".join(json.dumps(row) for row in rows).encode()


def as_columns(rows: list[dict[str, Any]]) -> bytes:
    return json.dumps({name: [row[name] for row in rows] for name in rows[0]}).encode()


def as_labelled_columns(rows: list[dict[str, Any]]) -> bytes:
    return json.dumps({name: {str(i): row[name] for i, row in enumerate(rows)} for name in rows[0]}).encode()


def as_parquet(rows: list[dict[str, Any]]) -> bytes:
    frame = polars.DataFrame(rows)
    if "timestamp" in frame.columns:
        frame = frame.with_columns(polars.col("timestamp").str.to_datetime(time_unit="ns", time_zone="UTC"))
    buffer = io.BytesIO()
    frame.write_parquet(buffer)
    return buffer.getvalue()


WAYS = [as_csv, as_json, as_lines, as_columns, as_labelled_columns, as_parquet]


@pytest.mark.parametrize("write", WAYS)
def test_the_convention_in_si(write):
    recording = read_text(write(ROWS_SI))
    assert recording.format == "adsb"
    assert recording.time + recording.epoch.timestamp() == pytest.approx(START - 0.4 + np.arange(4), abs=1e-6)
    assert np.degrees(recording.latitude) == pytest.approx(40.0 + 4e-4 * np.arange(4))
    assert recording.ground_speed == pytest.approx(np.full(4, 48.5))
    assert np.degrees(recording.track) == pytest.approx(np.full(4, 359.5))
    assert recording.heading is None
    assert recording.vertical_speed == pytest.approx(np.full(4, -0.33))
    assert recording.altitude_pressure == pytest.approx(np.full(4, 304.8))
    assert recording.altitude_ellipsoid == pytest.approx([np.nan, 320.04, 320.04, 320.04], nan_ok=True)
    assert recording.altitude_msl is None
    assert recording.on_ground.tolist() == [True, False, False, False]


@pytest.mark.parametrize("write", WAYS)
def test_the_convention_in_knots_and_feet(write):
    recording = read_text(write(ROWS_AVIATION))
    assert recording.format == "adsb"
    assert recording.epoch == datetime(2026, 5, 1, 12, tzinfo=UTC)
    assert recording.time == pytest.approx([0.0, 1.0, 2.0, 3.0])
    assert recording.ground_speed == pytest.approx(np.full(4, 94 * 1852 / 3600))
    assert recording.vertical_speed == pytest.approx(np.full(4, -64 * 0.3048 / 60))
    assert recording.altitude_pressure == pytest.approx(np.full(4, 304.8))
    assert recording.altitude_ellipsoid == pytest.approx([np.nan, 320.04, 320.04, 320.04], nan_ok=True)
    assert recording.on_ground.tolist() == [True, False, False, False]


@pytest.mark.parametrize("zone", [None, "UTC", "America/New_York"])
def test_a_timestamp_in_parquet_is_utc_unless_it_says_otherwise(zone):
    moment = polars.col("timestamp").str.to_datetime(time_zone="UTC").dt
    frame = polars.DataFrame(ROWS_AVIATION).with_columns(
        moment.convert_time_zone(zone) if zone else moment.replace_time_zone(None)
    )
    buffer = io.BytesIO()
    frame.write_parquet(buffer)
    recording = read_text(buffer.getvalue())
    assert recording.epoch == datetime(2026, 5, 1, 12, tzinfo=UTC)
    assert any("state no time zone" in note for note in recording.notes) == (zone is None)


def state(position: float, latitude: float) -> list[Any]:
    return ["abc123", "TEST1", "Nowhere", position, position, -90.0, latitude, 304.8, False, 48.5, 10.0, 0.0,
            None, 320.0, "1200", False, 0]  # fmt: skip


def test_answers_of_time_and_states():
    answers = [{"time": START + i, "states": [state(START + i - 0.5, 40 + i * 4e-4)]} for i in range(3)]
    recording = read_text(json.dumps(answers))
    assert recording.time == pytest.approx([0.5, 1.5, 2.5])
    assert np.degrees(recording.track) == pytest.approx(np.full(3, 10.0))
    assert recording.altitude_pressure == pytest.approx(np.full(3, 304.8))
    assert len(read_text(json.dumps(answers[0]))) == 1
    assert len(read_text("\n".join(json.dumps(answer) for answer in answers))) == 3


def test_repeated_and_old_positions_are_set_aside():
    rows = [dict(row) for row in ROWS_SI]
    rows[1].update({name: rows[0][name] for name in ("lat", "lon", "lastposupdate")})
    rows[3]["time"] += 60
    recording = read_text(as_csv(rows))
    assert len(recording) == 2
    assert [row.why for row in recording.rejected] == [
        "row 2: the position is repeated from an earlier row",
        "row 4: the position is more than 5 s old",
    ]


@pytest.mark.parametrize("kind", ["ms", "iso", "datetime"])
def test_the_last_position_in_the_convention_in_knots_and_feet(kind):
    ages = [0.4, 1.4, 0.25, 0.5]
    rows = [
        dict(row, last_position=round((START + i - ages[i]) * 1000), latitude=40.0 + 4e-4 * max(i, 1))
        for i, row in enumerate(ROWS_AVIATION)
    ]
    frame = polars.DataFrame(rows)
    moment = polars.from_epoch("last_position", time_unit="ms")
    if kind == "iso":
        frame = frame.with_columns(moment.dt.to_string("%Y-%m-%d %H:%M:%S%.3f+00:00"))
    if kind == "datetime":
        frame = frame.with_columns(moment)
    buffer = io.BytesIO()
    frame.write_parquet(buffer)
    for data in (
        [buffer.getvalue()] if kind == "datetime" else [buffer.getvalue(), frame.write_csv().encode()]
    ):
        recording = read_text(data)
        assert recording.time + recording.epoch.timestamp() - START == pytest.approx(
            [-0.4, 1.75, 2.5], abs=1e-5
        )
        assert [row.why for row in recording.rejected] == [
            "row 2: the position is repeated from an earlier row"
        ]


def test_updates_that_do_not_fit_the_positions_are_not_used():
    rows = [dict(row, lastposupdate=START) for row in ROWS_SI]
    recording = read_text(as_csv(rows))
    assert recording.time.tolist() == [0.0, 1.0, 2.0, 3.0]
    assert any("the updates' times were not used" in note for note in recording.notes)


def test_an_update_of_zero_is_none():
    rows = [dict(row, lastposupdate=0) for row in ROWS_SI]
    assert read_text(as_csv(rows)).time.tolist() == [0.0, 1.0, 2.0, 3.0]


def test_several_airplanes_are_named():
    rows = [dict(row, icao24=f"abc12{i}") for i, row in enumerate(ROWS_SI)]
    with pytest.raises(
        InputError, match=r"holds 4 airplanes \(abc120, abc121, abc122, abc123\); keep the rows"
    ):
        read_text(as_csv(rows))


def test_units_in_the_headings_stand_before_the_convention():
    rows = [
        {
            "time": START,
            "icao24": "abc123",
            "lat": 40,
            "lon": -90,
            "groundspeed_kt": 94,
            "baro_altitude_ft": 1000,
        }
    ]
    recording = read_text(as_json(rows))
    assert recording.ground_speed == pytest.approx([94 * 1852 / 3600])
    assert recording.altitude_pressure == pytest.approx([304.8])


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ('{"time": 1, "states": null}', "no column for latitude and longitude"),
        ('{"time": 1, "states": [[1, 2]]}', "no array of at least 11 values"),
        ("[1, 2, 3]", "no table of state vectors"),
        ('[{"time": 1, "lat": 2}', "is not whole JSON"),
        ('{"time": 1, "lat": 2, "lon": [', "is not whole JSON"),
        ("[" * 100_000, "is not whole JSON"),
        ("[]", "no table of state vectors"),
        ("{}", "no column for latitude and longitude and time"),
        ('[{"a": 1}]', "its columns are 'a'"),
    ],
)
def test_json_that_is_no_table(text, sentence):
    with pytest.raises(InputError) as caught:
        read_text(text)
    assert sentence in str(caught.value)


def test_empty_states_are_nothing_to_work_on():
    with pytest.raises((NothingToWorkOnError, InputError)):
        read_text('{"time": 1, "states": []}')


def test_a_damaged_parquet_file(tmp_path):
    packed = as_parquet(ROWS_SI)
    (tmp_path / "x.parquet").write_bytes(packed[: len(packed) // 2])
    with pytest.raises(InputError, match=r"x\.parquet: is a Parquet file that is damaged"):
        read(tmp_path / "x.parquet")


def test_damage_that_would_end_the_process_is_a_damaged_file(tmp_path, monkeypatch):
    (tmp_path / "x.parquet").write_bytes(as_parquet(ROWS_SI))
    monkeypatch.setattr(_parquet, "_UNPACK", "import os; os.abort()")
    with pytest.raises(InputError, match=r"x\.parquet: is a Parquet file that is damaged"):
        read(tmp_path / "x.parquet")


def test_no_file_beside_the_recording_is_run(tmp_path, monkeypatch):
    (tmp_path / "polars.py").write_text("raise SystemExit(1)")
    (tmp_path / "x.parquet").write_bytes(as_parquet(ROWS_SI))
    monkeypatch.chdir(tmp_path)
    assert len(read("x.parquet")) == len(ROWS_SI)
