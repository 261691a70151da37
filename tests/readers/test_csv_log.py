"""Text tables in the shapes that people write them."""

from __future__ import annotations

import gzip
import io
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from groundref import units
from groundref.errors import InputError, NothingToWorkOnError
from groundref.readers import read

from .reading import read_text

DATA = Path(__file__).parent.parent / "data"
NOON = datetime(2026, 5, 1, 12, tzinfo=UTC)


def table(*rows: str) -> str:
    return "\n".join(rows) + "\n"


def test_a_panel_log_with_comments_a_units_row_local_time_and_offset():
    recording = read(DATA / "panel_log.csv")
    assert recording.epoch == datetime(2026, 5, 1, 13, 30, tzinfo=UTC)
    assert recording.time.tolist() == [0.0, 1.0, 2.0]
    assert recording.format == "csv"
    assert np.degrees(recording.latitude[1]) == pytest.approx(40.1000036, abs=1e-10)
    assert recording.altitude_pressure == pytest.approx([1650 * 0.3048, 1652 * 0.3048, np.nan], nan_ok=True)
    assert recording.altitude_msl == pytest.approx(np.array([1700, 1701, 1702]) * 0.3048)
    assert recording.altitude_ellipsoid is None
    assert recording.ground_speed == pytest.approx([96 * units.knot, 96.2 * units.knot, np.nan], nan_ok=True)
    assert np.degrees(recording.track) == pytest.approx([89.5, 89.6, np.nan], nan_ok=True)
    assert recording.indicated_airspeed[0] == pytest.approx(95 * units.knot)
    assert recording.true_airspeed[0] == pytest.approx(98 * units.knot)
    assert np.degrees(recording.heading_magnetic[0]) == pytest.approx(87.0)
    assert recording.heading is None
    assert np.degrees(recording.bank) == pytest.approx([0.5, 1.0, -1.5])
    assert np.degrees(recording.pitch) == pytest.approx([2.1, 2.0, np.nan], nan_ok=True)
    assert recording.lateral_acceleration == pytest.approx([0.0980665, np.nan, 0.196133], nan_ok=True)
    assert recording.normal_acceleration[1] == pytest.approx(1.01 * 9.80665)
    assert recording.temperature == pytest.approx([288.15, 288.15, 287.65])
    assert [row.why for row in recording.rejected] == ["row 4: no position"]
    assert recording.rejected[0].time == 3.0
    assert recording.notes == ("Columns not used: Fuel Flow.",)


ROWS = (
    ("2026-05-01T12:00:00Z", "40.1", "-90.2", "1000.5"),
    ("2026-05-01T12:00:01Z", "40.2", "-90.3", "1001.5"),
)


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|", "   ", " ", " , "])
@pytest.mark.parametrize("newline", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("quoted", [False, True])
def test_delimiters_newlines_and_quotes(delimiter, newline, quoted):
    lines = [("time", "lat", "lon", "alt_msl_ft"), *ROWS]
    cells = [[f'"{cell}"' if quoted and delimiter.strip() else cell for cell in line] for line in lines]
    recording = read_text(newline.join(delimiter.join(line) for line in cells))
    assert recording.time.tolist() == [0.0, 1.0]
    assert np.degrees(recording.longitude) == pytest.approx([-90.2, -90.3])
    assert recording.altitude_msl == pytest.approx([1000.5 * 0.3048, 1001.5 * 0.3048])


@pytest.mark.parametrize("delimiter", [";", "\t", "|", "  "])
def test_decimal_comma(delimiter):
    lines = ["time|lat|lon|alt_msl_ft", *("|".join(row).replace(".", ",") for row in ROWS)]
    recording = read_text(table(*lines).replace("|", delimiter))
    assert np.degrees(recording.latitude) == pytest.approx([40.1, 40.2])
    assert recording.altitude_msl == pytest.approx([1000.5 * 0.3048, 1001.5 * 0.3048])


def test_decimal_comma_in_quotes_between_commas():
    recording = read_text(table("time,lat,lon", '1777636800,"40,5","-90,25"'))
    assert np.degrees(recording.latitude) == pytest.approx([40.5])


@pytest.mark.parametrize(
    "head", ["# ", "#", "", "// made by hand\n# second\n\n#", "Airplane: invented\nPilot: nobody\n"]
)
def test_lines_above_and_a_heading_behind_a_comment_mark(head):
    assert len(read_text(head + table("time,lat,lon", "1777636800,40,-90"))) == 1


def test_units_row_above():
    recording = read_text(table("s,deg,deg,ft", "time,lat,lon,alt msl", "1777636800,40,-90,1000"))
    assert recording.altitude_msl == pytest.approx([304.8])


@pytest.mark.parametrize(
    ("heading", "cells"),
    [
        ("time", "2026-05-01T12:00:00Z"),
        ("time", "2026-05-01 12:00:00+00:00"),
        ("time", "2026-05-01T14:00:00+02:00"),
        ("time", "2026-05-01 12:00:00 UTC"),
        ("time", "2026/05/01 12:00:00"),
        ("time", "1.5.2026 12:00"),
        ("time", "01.05.2026 12:00:00"),
        ("time", "13/04/2026 12:00:00"),
        ("time", "05/01/2026 12:00:00 PM"),
        ("time", "1777636800"),
        ("time", "1777636800.0"),
        ("timestamp", "1777636800000"),
        ("time_ms", "1777636800000"),
        ("epoch_us", "1777636800000000"),
        ("timestamp", "1777636800000000000"),
        ("date,time", "2026-05-01,12:00:00"),
        ("date,time", "20260501,120000"),
        ("date,time_s", "2026-05-01,43200.0"),
        ("date,time,tz", "2026-05-01,50400,+02:00"),
        ("time,timestamp", "17,2026-05-01T12:00:00Z"),
        ("date,time", "1.5.26,12:00:00"),
        ("date,time,utc offset", "2026-05-01,14:00:00,+02:00"),
        ("date,time,utc offset", "2026-05-01,06:00:00,-6"),
        ("date,time,tz", "2026-05-01,17:30:00,UTC+5:30"),
        ("local date,local time,utc time,utc offset", "2026-05-01,07:00:00,12:00:00,-05:00"),
        ("date,time", "05/01/2026,12:00:00 pm"),
    ],
)
def test_ways_to_write_noon(heading, cells):
    recording = read_text(table(f"{heading},lat,lon", f"{cells},40,-90"))
    day = datetime(2026, 4, 13, 12, tzinfo=UTC) if "13/04" in cells else NOON
    assert recording.epoch == day
    assert recording.time == pytest.approx([0.0], abs=1e-6)


def test_an_undecided_date_is_noted():
    recording = read_text(table("time,lat,lon", "05/01/2026 12:00:00,40,-90"))
    assert recording.epoch == NOON
    assert any("read as month/day" in note for note in recording.notes)


def test_a_date_decided_by_another_row_needs_no_note():
    recording = read_text(table("time,lat,lon", "01/05/2026 12:00:00,40,-90", "30/05/2026 12:00:00,40,-90"))
    assert recording.epoch == NOON
    assert not any("month/day" in note for note in recording.notes)


def test_the_time_of_day_rolls_over_midnight(tmp_path):
    rows = table("time,lat,lon", "23:59:59,40,-90", "00:00:00,40,-90", ",40,-90", "00:00:01.5,40,-90")
    (tmp_path / "log_2026-05-01.csv").write_text(rows)
    recording = read(tmp_path / "log_2026-05-01.csv")
    assert recording.epoch == datetime(2026, 5, 1, 23, 59, 59, tzinfo=UTC)
    assert recording.time.tolist() == [0.0, 1.0, 2.5]
    assert any("2026-05-01 was taken from the file's name" in note for note in recording.notes)


def test_a_date_column_that_turns_at_midnight_is_not_turned_twice():
    recording = read_text(
        table("date,time,lat,lon", "2026-05-01,23:59:59,40,-90", "2026-05-02,00:00:00,40,-90")
    )
    assert recording.time.tolist() == [0.0, 1.0]


def test_without_any_date_it_is_said():
    recording = read_text(table("time,lat,lon", "12:00:00,40,-90", "12:00:01,40,-90"))
    assert recording.epoch == datetime(1970, 1, 1, 12, tzinfo=UTC)
    assert "The file states no date: its times count from 1970-01-01." in recording.notes


def test_a_time_of_day_without_colons_is_no_count_of_seconds():
    recording = read_text(table("# 2026-05-01", "time,lat,lon", "115959,40,-90", "120000,40,-90"))
    assert recording.epoch == datetime(2026, 5, 1, 11, 59, 59, tzinfo=UTC)
    assert recording.time.tolist() == [0.0, 1.0]


def test_an_offset_stated_once_holds_for_the_rows_below(monkeypatch):
    monkeypatch.setattr("groundref.readers.csv_log._ROWS_AT_ONCE", 60)
    monkeypatch.setattr("groundref.readers._source.BLOCK", 30)
    rows = [f"2026-05-01,14:00:{i:02},{'+02:00' if i == 0 else ''},40,-90" for i in range(30)]
    recording = read_text(table("date,time,utc offset,lat,lon", *rows))
    assert recording.epoch == NOON
    assert recording.time.tolist() == list(range(30))


def test_an_offset_that_cannot_be_read_is_no_silent_utc():
    recording = read_text(table("date,time,tz,lat,lon", "2026-05-01,14:00:00,home,40,-90"))
    assert "The times state no time zone and were taken as UTC." in recording.notes


def test_a_named_ground_speed_stands_before_a_plain_speed():
    recording = read_text(table("time,lat,lon,speed kt,ground speed kt", "1777636800,40,-90,100,90"))
    assert recording.ground_speed == pytest.approx([90 * units.knot])


def test_elapsed_seconds():
    recording = read_text(table("# 2026-05-01", "elapsed_s,lat,lon", "0,40,-90", "0.02,40,-90"))
    assert recording.epoch == datetime(2026, 5, 1, tzinfo=UTC)
    assert recording.time == pytest.approx([0.0, 0.02], abs=1e-6)


@pytest.mark.parametrize(
    ("cell", "degrees"),
    [
        ("N40.5", 40.5),
        ("40.5N", 40.5),
        ("40.5 S", -40.5),
        ("-40.5", -40.5),
        ("N40 30.0", 40.5),
        ("40°30'00\"S", -40.5),
    ],
)
def test_hemispheres(cell, degrees):
    quoted = cell.replace('"', '""')
    recording = read_text(table("time,lat,lon", f'1777636800,"{quoted}",-90', "1777636801,41,W090.25"))
    assert np.degrees(recording.latitude[0]) == pytest.approx(degrees)
    assert np.degrees(recording.longitude) == pytest.approx([-90.0, -90.25])


@pytest.mark.parametrize("names", ["N/S,E/W", "Lat N/S,Lon E/W", "lat hemisphere,lon hemisphere"])
def test_columns_of_hemispheres(names):
    latitude, longitude = names.split(",")
    recording = read_text(
        table(
            f"time,lat,{latitude},lon,{longitude}", "1777636800,40.5,S,90.25,W", "1777636801,40.5,N,90.25,E"
        )
    )
    assert np.degrees(recording.latitude) == pytest.approx([-40.5, 40.5])
    assert np.degrees(recording.longitude) == pytest.approx([-90.25, 90.25])


MISSING = ["", "NaN", "nan", "inf", "-inf", "--", "---", "n/a", "N/A", "null", "None", " "]


@pytest.mark.parametrize("cell", MISSING)
def test_missing_cells_are_missing_and_nothing_else(cell):
    recording = read_text(
        table("time,lat,lon,alt msl m,bank", f"1777636800,40,-90,{cell},5", f"1777636801,{cell},-90,300,6",
              f"{cell},40,-90,300,6", "1777636803,40,-90,301,7")
    )  # fmt: skip
    assert recording.time.tolist() == [0.0, 3.0]
    assert recording.altitude_msl == pytest.approx([np.nan, 301.0], nan_ok=True)
    assert [row.why for row in recording.rejected] == ["row 2: no position", "row 3: no readable time"]
    assert not any("no numbers" in note for note in recording.notes)


def test_unreadable_cells_are_counted():
    recording = read_text(table("time,lat,lon,bank", "1777636800,40,-90,oops", "1777636801,40,-90,3"))
    assert "Column 'bank' has 1 cell without a number in it, such as 'oops'; left out." in recording.notes
    assert np.degrees(recording.bank) == pytest.approx([np.nan, 3.0], nan_ok=True)


def moving(factor: float, name: str = "speed") -> str:
    """A table of an airplane going north at 50 m/s, with its speed in another unit and no unit stated."""
    step = np.degrees(50 / 6_371_000)
    rows = [f"{1777636800 + i},{40 + i * step:.8f},-90,{50 / factor:.2f},1000" for i in range(20)]
    return table(f"time,lat,lon,{name},alt", *rows)


@pytest.mark.parametrize(
    ("factor", "unit", "height"),
    [
        (1.0, "metres per second", 1000.0),
        (units.knot, "knots", 304.8),
        (units.kilometre_per_hour, "km/h", 1000.0),
        (units.mile_per_hour, "mph", 1000.0),
    ],
)
def test_positions_tell_the_unit_of_a_speed_that_states_none(factor, unit, height):
    recording = read_text(moving(factor))
    assert recording.ground_speed == pytest.approx(np.full(20, 50.0), abs=0.01)
    assert recording.altitude_msl == pytest.approx(np.full(20, height))
    assert any(f"agrees with the positions in {unit}" in note for note in recording.notes)


def test_a_heading_that_may_be_a_track_is_left_out_and_said():
    recording = read_text(table("time,lat,lon,heading", "1777636800,40,-90,80"))
    assert recording.heading is None
    assert recording.heading_magnetic is None
    assert "Column 'heading' may be heading or track and was not used." in recording.notes


def test_altitudes_are_never_mixed():
    recording = read_text(
        table("time,lat,lon,alt msl ft,gps alt ft,pressure alt ft", "1777636800,40,-90,1000,900,1100")
    )
    assert recording.altitude_msl == pytest.approx([304.8])
    assert recording.altitude_ellipsoid == pytest.approx([274.32])
    assert recording.altitude_pressure == pytest.approx([335.28])


def test_an_accelerometer_that_shows_zero_in_level_flight():
    recording = read_text(
        table("time,lat,lon,vertical g", *(f"177763680{i},40,-90,0.0{i}" for i in range(5)))
    )
    assert recording.normal_acceleration[0] == pytest.approx(9.80665)
    assert any("counted from one g" in note for note in recording.notes)


def test_rows_of_uneven_length_keep_what_they_have():
    recording = read_text(
        table("time,lat,lon,bank", "1777636800,40,-90", "1777636801,40,-90,3,4,5", "", "#x,1")
    )
    assert recording.time.tolist() == [0.0, 1.0]
    assert np.degrees(recording.bank) == pytest.approx([np.nan, 3.0], nan_ok=True)


def test_a_stray_quotation_mark_stays_in_its_cell():
    recording = read_text(table("time,lat,lon,remark", '1777636800,40,-90,6" wide', "1777636801,40,-90,x"))
    assert len(recording) == 2


@pytest.mark.parametrize("encoding", ["utf-16", "utf-8-sig", "cp1252"])
def test_encodings(encoding):
    text = table("time;lat [°];lon [°];alt msl [m]", "1777636800;40,5;-90,5;300")
    recording = read_text(text.encode(encoding))
    assert np.degrees(recording.latitude) == pytest.approx([40.5])


def test_blocks_join_without_a_seam(monkeypatch):
    text = table(
        "time,lat,lon,bank", *(f"{1777636800 + i},{40 + i / 1e4:.4f},-90,{i % 30}" for i in range(5000))
    )
    whole = read_text(text)
    monkeypatch.setattr("groundref.readers.csv_log._ROWS_AT_ONCE", 1000)
    monkeypatch.setattr("groundref.readers._source.BLOCK", 777)
    parts = read_text(text)
    assert len(whole) == 5000
    for name in ("time", "latitude", "bank"):
        assert getattr(parts, name).tolist() == getattr(whole, name).tolist()


def test_a_packed_table_that_breaks_off_keeps_its_rows():
    rng = np.random.default_rng(2)
    text = table("time,lat,lon", *(f"{1777636800 + i},{40 + rng.random()},-90" for i in range(3000)))
    packed = gzip.compress(text.encode())
    recording = read(io.BytesIO(packed[: len(packed) // 2]))
    assert 1000 < len(recording) < 2000
    assert recording.notes[0].startswith("The packed file ends too early")


def test_many_rejected_rows_are_counted():
    text = table("time,lat,lon", "1777636800,40,-90", *(["1777636801,,"] * 1500))
    recording = read_text(text)
    assert len(recording.rejected) == 1000
    assert "1500 rows were set aside, of which the first 1000 are listed." in recording.notes


def test_the_columns_that_were_seen_are_named():
    with pytest.raises(
        InputError, match=r"no column for latitude and longitude; its columns are 'time', 'x', 'y'"
    ):
        read_text(table("time,x,y", "1,2,3"))


def test_headings_without_rows_are_nothing_to_work_on():
    with pytest.raises(NothingToWorkOnError, match="it has no row"):
        read_text("time,lat,lon\n")


def test_absurd_numbers_are_missing():
    recording = read_text(table("time,lat,lon,bank", "1777636800,40,-90,1e308", "1777636801,1e300,-90,3"))
    assert recording.bank is None
    assert recording.rejected[0].why == "row 2: no position"


def test_a_time_that_cannot_be_read_is_shown():
    with pytest.raises(InputError, match="column 'time': has times that cannot be read, such as 'noon'"):
        read_text(table("time,lat,lon", "noon,40,-90"))


def test_a_german_table():
    recording = read_text(
        table(
            "Datum;Uhrzeit;Breite;Länge;Höhe (m);Geschwindigkeit (km/h);Kurs",
            "01.05.2026;12:00:00;48,1;11,5;500;36;90",
            "01.05.2026;12:00:01;48,1;11,500135;501,5;36;90",
        )
    )
    assert recording.epoch == NOON
    assert np.degrees(recording.longitude) == pytest.approx([11.5, 11.500135])
    assert recording.altitude_msl.tolist() == [500.0, 501.5]
    assert recording.ground_speed == pytest.approx([10.0, 10.0])
    assert np.degrees(recording.track) == pytest.approx([90.0, 90.0])


def test_hopeless_headings_are_refused_with_the_file_that_would_help(tmp_path):
    rows = table("K1;K2;K3", *(f"2026-05-01T12:00:0{second}Z;40.{second};-90.0" for second in range(3)))
    (tmp_path / "k.csv").write_text(rows)
    with pytest.raises(InputError) as caught:
        read(tmp_path / "k.csv")
    assert "has no column for latitude and longitude and time; its columns are 'K1', 'K2', 'K3'" in str(
        caught.value
    )
    assert "--columns FILE" in caught.value.remedy
    assert "docs/recordings.md" in caught.value.remedy
    shown = caught.value.remedy.partition("FILE: ")[2].partition(" (see")[0].split(" | ")
    for name in ("K2", "K3", "K1"):
        shown = "\n".join(shown).replace("…", name, 1).split("\n")
    (tmp_path / "columns.toml").write_text("\n".join(shown))
    recording = read(tmp_path / "k.csv", columns=tmp_path / "columns.toml")
    assert np.degrees(recording.latitude) == pytest.approx([40.0, 40.1, 40.2])
