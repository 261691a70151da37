"""The mapping file for tables whose headings do not tell."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest

from groundref.errors import InputError
from groundref.readers import read

DATA = Path(__file__).parent.parent / "data"


def mapped(tmp_path: Path, rows: str, mapping: str):
    (tmp_path / "columns.toml").write_text(mapping)
    return read(io.BytesIO(rows.encode()), columns=tmp_path / "columns.toml")


def test_hopeless_headings():
    recording = read(DATA / "hopeless.txt", columns=DATA / "hopeless.toml")
    assert recording.latitude == pytest.approx([0.69987703, 0.69987710])
    assert recording.longitude == pytest.approx([-1.57428699, -1.57427687])
    assert recording.altitude_pressure == pytest.approx([502.92, 503.5296])
    assert recording.true_airspeed == pytest.approx([49.4, 49.5])


def test_no_headings_at_all(tmp_path):
    recording = mapped(
        tmp_path,
        "12:00:00 40.5 -90.5\n12:00:01 40.5 -90.5\n",
        "headings_line = 0\ndate = 2026-05-01\n[columns]\ntime = 1\nlatitude = 2\nlongitude = 3\n",
    )
    assert f"{recording.epoch:%Y-%m-%d %H:%M}" == "2026-05-01 12:00"
    assert np.degrees(recording.latitude) == pytest.approx([40.5, 40.5])


def test_a_named_column_stands_before_the_heading(tmp_path):
    rows = "time,lat,lon,altitude,alt2\n1777636800,40,-90,100,200\n"
    recording = mapped(
        tmp_path,
        rows,
        '[columns]\naltitude_pressure = {column = "altitude", unit = "m"}\n'
        'altitude_msl = {column="alt2", unit="m"}',
    )
    assert recording.altitude_pressure == pytest.approx([100.0])
    assert recording.altitude_msl == pytest.approx([200.0])


def test_a_named_time_stands_before_any_other_time(tmp_path):
    rows = "time utc,clock,lat,lon\n1,1777636800,40,-90\n"
    recording = mapped(tmp_path, rows, '[columns]\ntime = "clock"')
    assert f"{recording.epoch:%Y-%m-%d}" == "2026-05-01"


@pytest.mark.parametrize(
    ("mapping", "sentence"),
    [
        (
            '[columns]\nlatitude = "phi"',
            "has no column 'phi' for latitude; its columns are 'time', 'a', 'b'; correct columns.toml",
        ),
        ('[columns]\naltitude = "a"', "names the unknown quantity 'altitude'"),
        ('[columns]\nlatitude = {column = "a", unit = "ft"}', "gives latitude a unit of length"),
        ('[columns]\nlatitude = {column = "a", unit = "furlong"}', "write { column ="),
        ("[columns]\nlatitude = 1.5", "says '1.5' for latitude"),
        ("columns = 3", "'columns' that is not a table"),
        ("colour = 3", "has the unknown setting 'colour'"),
        ('delimiter = "dash"', "states the delimiter 'dash'"),
        ('decimal = ";"', "states the decimal sign ';'"),
        ("headings_line = -1", "states the line of the headings as '-1'"),
        ('date = "2026-02-30"', "states the date '2026-02-30'"),
        ("x = ", "is not valid TOML"),
    ],
)
def test_each_mistake_has_its_sentence(tmp_path, mapping, sentence):
    with pytest.raises(InputError) as caught:
        mapped(tmp_path, "time,a,b\n1777636800,40,-90\n", mapping)
    assert sentence in str(caught.value)


def test_a_missing_mapping_file(tmp_path):
    with pytest.raises(InputError, match="cannot be opened"):
        read(DATA / "hopeless.txt", columns=tmp_path / "none.toml")
