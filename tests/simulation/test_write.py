"""Files that are written are read by others, and come back as they were."""

from __future__ import annotations

import csv
import gzip
import json
from datetime import UTC, datetime
from pathlib import Path

import gpxpy
import numpy as np
import pytest

from groundref.errors import OutputError, UsageError
from groundref.readers import read
from groundref.simulation import write
from groundref.units import degree, knot


@pytest.mark.parametrize("packed", ["", ".gz"])
def test_gpx_is_read_by_gpxpy(flown, tmp_path: Path, packed: str) -> None:
    recording, _ = flown(laps=1)
    path = tmp_path / f"lesson.gpx{packed}"
    write(recording, path)
    text = (gzip.decompress(path.read_bytes()) if packed else path.read_bytes()).decode()
    gpx = gpxpy.parse(text, version="1.1")
    points = gpx.tracks[0].segments[0].points
    assert gpx.version == "1.1"
    assert len(points) == len(recording)
    np.testing.assert_allclose(
        [point.latitude for point in points], np.degrees(recording.latitude), atol=6e-8
    )
    np.testing.assert_allclose(
        [point.longitude for point in points], np.degrees(recording.longitude), atol=6e-8
    )
    assert recording.altitude_msl is not None
    np.testing.assert_allclose([point.elevation for point in points], recording.altitude_msl, atol=0.051)
    times = [(point.time - recording.epoch).total_seconds() for point in points]
    np.testing.assert_allclose(times, recording.time, atol=1e-3)


def test_panel_log_states_its_units(flown, tmp_path: Path) -> None:
    recording, _ = flown(laps=1, recorder="avionics")
    path = tmp_path / "panel.csv"
    write(recording, path)
    lines = path.read_text(encoding="utf-8").splitlines()
    assert lines[0].startswith("#")
    rows = list(csv.DictReader(lines[1:]))
    assert len(rows) == len(recording)
    assert recording.bank is not None
    assert recording.true_airspeed is not None
    np.testing.assert_allclose(
        [float(row["Bank (deg)"]) for row in rows], recording.bank / degree, atol=0.006
    )
    np.testing.assert_allclose(
        [float(row["True Airspeed (kt)"]) for row in rows], recording.true_airspeed / knot, atol=0.06
    )
    assert datetime.fromisoformat(rows[0]["Time (UTC)"]) == datetime(2026, 5, 1, 14, tzinfo=UTC)


def test_state_vectors_as_json(flown, tmp_path: Path) -> None:
    recording, truth = flown(laps=1, recorder="adsb")
    path = tmp_path / "heard.json"
    write(recording, path)
    rows = json.loads(path.read_text(encoding="utf-8"))
    assert len(rows) == len(recording)
    assert rows[0]["timestamp"] == pytest.approx(truth.epoch.timestamp() + recording.time[0], abs=1e-3)
    assert all(row["baro_altitude_ft"] % 25 == 0 for row in rows)


@pytest.mark.parametrize(
    ("recorder", "name"),
    [
        ("phone", "a.gpx"),
        ("phone", "a.gpx.gz"),
        ("phone", "a.csv"),
        ("avionics", "a.csv"),
        ("avionics", "a.csv.gz"),
        ("adsb", "a.json"),
        ("adsb", "a.json.gz"),
        ("adsb", "a.csv"),
    ],
)
def test_what_is_written_is_read_back(flown, tmp_path: Path, recorder: str, name: str) -> None:
    recording, _ = flown(laps=1, recorder=recorder)
    write(recording, tmp_path / name)
    back = read(tmp_path / name)
    assert back.measured == recording.measured
    assert back.rejected == ()
    shift = (back.epoch - recording.epoch).total_seconds()
    np.testing.assert_allclose(back.time + shift, recording.time, atol=2e-3)
    for channel in recording.measured:
        ours, theirs = getattr(recording, channel), getattr(back, channel)
        np.testing.assert_allclose(
            np.asarray(theirs, float), np.asarray(ours, float), atol=0.16, err_msg=channel
        )
    np.testing.assert_allclose(back.latitude, recording.latitude, atol=1e-8)
    np.testing.assert_allclose(back.longitude, recording.longitude, atol=1e-8)


@pytest.mark.parametrize("name", ["a.gpx.gz", "a.csv", "a.json"])
def test_the_same_recording_gives_the_same_bytes(flown, tmp_path: Path, name: str) -> None:
    recording, _ = flown(laps=1)
    write(recording, tmp_path / name)
    first = (tmp_path / name).read_bytes()
    write(recording, tmp_path / name)
    assert (tmp_path / name).read_bytes() == first
    assert [path.name for path in tmp_path.iterdir()] == [name]


def test_an_unknown_suffix_is_refused(flown, tmp_path: Path) -> None:
    recording, _ = flown(laps=1)
    with pytest.raises(UsageError, match="format"):
        write(recording, tmp_path / "lesson.txt")


def test_an_unwritable_place_leaves_nothing(flown, tmp_path: Path) -> None:
    recording, _ = flown(laps=1)
    with pytest.raises(OutputError, match="does not exist"):
        write(recording, tmp_path / "nowhere" / "lesson.gpx")
    (tmp_path / "lesson.gpx").mkdir()
    with pytest.raises(OutputError, match=r"lesson\.gpx"):
        write(recording, tmp_path / "lesson.gpx")
    assert [path.name for path in tmp_path.iterdir()] == ["lesson.gpx"]
