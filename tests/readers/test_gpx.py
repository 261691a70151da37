"""GPX against gpxpy as an independent reader, and against what the schema says."""

from __future__ import annotations

import gzip
import io
from datetime import UTC, datetime

import gpxpy
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groundref.errors import InputError, NothingToWorkOnError
from groundref.readers import read

from .reading import gpx, point, read_text

HEADS = (
    '<gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1">',
    '<gpx version="1.0" creator="x" xmlns="http://www.topografix.com/GPX/1/0">',
    '<gpx version="1.1" creator="x">',
)

samples = st.lists(
    st.tuples(
        st.floats(-89.9, 89.9).filter(lambda value: abs(value) > 1e-3),
        st.floats(-179.9, 179.9),
        st.one_of(st.none(), st.floats(-400, 9000)),
        st.integers(0, 10**7),
        st.sampled_from(["", ".5", ".125"]),
        st.booleans(),
    ),
    min_size=1,
    max_size=12,
)


@settings(max_examples=60)
@given(samples, st.sampled_from(HEADS))
def test_any_track_reads_as_gpxpy_reads_it(rows, head):
    text = gpx(
        "".join(
            ("</trkseg><trkseg>" if split else "")
            + f'<trkpt lat="{latitude:.7f}" lon="{longitude:.7f}">'
            + (f"<ele>{elevation:.2f}</ele>" if elevation is not None else "")
            + f"<time>{datetime.fromtimestamp(1_777_636_800 + second, UTC):%Y-%m-%dT%H:%M:%S}{part}Z</time>"
            + "</trkpt>"
            for latitude, longitude, elevation, second, part, split in rows
        ),
        head,
    )
    ours = read_text(text)
    theirs = [
        (index, spot)
        for index, segment in enumerate(s for s in gpxpy.parse(text).tracks[0].segments if s.points)
        for spot in segment.points
    ]
    assert np.degrees(ours.latitude) == pytest.approx([spot.latitude for _, spot in theirs], abs=1e-12)
    assert np.degrees(ours.longitude) == pytest.approx([spot.longitude for _, spot in theirs], abs=1e-12)
    moments = [spot.time.timestamp() - ours.epoch.timestamp() for _, spot in theirs]
    assert ours.time == pytest.approx(moments, abs=1e-6)
    heights = [np.nan if spot.elevation is None else spot.elevation for _, spot in theirs]
    altitude = ours.altitude_msl if ours.altitude_msl is not None else np.full(len(ours), np.nan)
    assert altitude == pytest.approx(heights, nan_ok=True)
    assert ours.part is not None
    assert ours.part.tolist() == [index for index, _ in theirs]


def test_speed_and_course_of_the_older_schema():
    recording = read_text(gpx(point(inside="<speed>50</speed><course>370</course>"), HEADS[1]))
    assert recording.ground_speed == pytest.approx([50.0])
    assert np.degrees(recording.track) == pytest.approx([10.0])


def test_speed_among_the_extensions_by_its_local_name():
    box = "<d:box xmlns:d='urn:d'><d:speed>51.5</d:speed><d:course>90</d:course></d:box>"
    inside = f"<extensions>{box}</extensions>"
    recording = read_text(gpx(point(inside=inside)))
    assert recording.ground_speed == pytest.approx([51.5])
    assert np.degrees(recording.track) == pytest.approx([90.0])


def test_prefixed_elements():
    text = (
        gpx(point(), "<gpx>")
        .replace("<trk", "<g:trk")
        .replace("</trk", "</g:trk")
        .replace("time>", "g:time>")
    )
    text = (
        text.replace("<gpx>", "<g:gpx xmlns:g='urn:g'>").replace("</gpx>", "</g:gpx>").replace("<//g", "</g")
    )
    assert len(read_text(text)) == 1


def test_geoid_height_gives_the_ellipsoid_beside_mean_sea_level():
    recording = read_text(gpx(point(inside="<ele>300</ele><geoidheight>-33.5</geoidheight>")))
    assert recording.altitude_msl == pytest.approx([300.0])
    assert recording.altitude_ellipsoid == pytest.approx([266.5])


@pytest.mark.parametrize(
    ("stamp", "clock"),
    [
        ("2026-05-01T12:00:00Z", "12:00:00"),
        ("2026-05-01T14:00:00+02:00", "12:00:00"),
        ("2026-05-01T07:30:00-0430", "12:00:00"),
        ("2026-05-01T12:00:00+00:00", "12:00:00"),
        ("2026-05-01T12:00:00.250Z", "12:00:00"),
        ("2026-05-01T23:59:59Z", "23:59:59"),
    ],
)
def test_zones_become_utc(stamp, clock):
    recording = read_text(gpx(f'<trkpt lat="1" lon="2"><time> {stamp}\n</time></trkpt>'))
    assert f"{recording.epoch:%H:%M:%S}" == clock
    assert recording.time[0] == (0.25 if ".250" in stamp else 0.0)
    assert not any("zone" in note for note in recording.notes)


def test_a_time_without_zone_is_utc_and_noted():
    recording = read_text(gpx('<trkpt lat="1" lon="2"><time>2026-05-01T12:00:00</time></trkpt>'))
    assert recording.epoch == datetime(2026, 5, 1, 12, tzinfo=UTC)
    assert "1 time had no time zone in the file; UTC was assumed." in recording.notes


def test_points_that_cannot_be_used_are_listed_with_their_reason():
    recording = read_text(
        gpx(
            point(0)
            + '<trkpt lat="40" lon="-90"/>'
            + point(2, latitude=float("nan"))
            + point(3, latitude=91)
            + '<trkpt lon="-90"><time>2026-05-01T12:00:04Z</time></trkpt>'
            + point(5, 0, 0)
            + '<trkpt lat="40" lon="-90"><time>2026-02-30T12:00:00Z</time></trkpt>'
            + point(7)
        )
    )
    assert recording.time.tolist() == [0.0, 7.0]
    assert [row.why for row in recording.rejected] == [
        "row 2: no readable time",
        "row 3: no position",
        "row 4: position beyond the poles or a full circle",
        "row 5: no position",
        "row 6: position 0, 0, which means no fix",
        "row 7: no readable time",
    ]
    assert [row.time for row in recording.rejected] == [None, 2.0, 3.0, 4.0, 5.0, None]


def test_the_order_of_the_file_stays():
    recording = read_text(gpx(point(5) + point(3) + point(3)))
    assert recording.time.tolist() == [0.0, -2.0, -2.0]


@pytest.mark.parametrize("whole", [2, 3])
def test_a_file_that_breaks_off_keeps_its_whole_points(whole):
    text = gpx("".join(point(second, inside="<ele>300</ele>") for second in range(4)))
    end = [i for i in range(len(text)) if text.startswith("</trkpt>", i)][whole - 1] + 40
    recording = read_text(text[:end])
    assert len(recording) == whole
    assert "The file is not whole" in recording.notes[0]
    assert f"the {whole} points before the break were kept" in recording.notes[0]


def test_a_file_that_breaks_off_before_the_second_point_is_refused_with_its_line():
    with pytest.raises(InputError, match=r"line 1: is not whole XML \(unclosed token\)"):
        read_text(gpx(point(0) + point(1)).split("12:00:01")[0] + "<")


@pytest.mark.parametrize("share", [0.3, 0.6, 0.9])
def test_a_packed_file_that_breaks_off_keeps_its_whole_points(share):
    rng = np.random.default_rng(1)
    text = gpx("".join(point(i % 60, latitude=40 + rng.random()) for i in range(3000)))
    packed = gzip.compress(text.encode())
    recording = read_text(packed[: int(share * len(packed))])
    assert share * 3000 * 0.8 < len(recording) < share * 3000 * 1.2
    assert "the packed file ends too early" in recording.notes[0]


def test_packed_and_plain_are_the_same_under_any_name(tmp_path):
    text = gpx(point(0) + point(1)).encode()
    (tmp_path / "flight.csv").write_bytes(gzip.compress(text))
    (tmp_path / "flight").write_bytes(text)
    packed, plain = read(tmp_path / "flight.csv"), read(str(tmp_path / "flight"))
    assert packed.latitude.tolist() == plain.latitude.tolist()
    assert (packed.source, packed.format) == ("flight.csv", "gpx")


@pytest.mark.parametrize("encoding", ["utf-16", "iso-8859-1", "utf-8-sig"])
def test_encodings(encoding):
    name = "utf-8" if encoding == "utf-8-sig" else encoding
    text = gpx(point()).replace('version="1.0"?', f'version="1.0" encoding="{name}"?')
    assert len(read_text(text.encode(encoding))) == 1


def test_more_points_than_are_held_as_text(monkeypatch):
    monkeypatch.setattr("groundref.readers.gpx._FLUSH", 7)
    inside = ["<ele>1</ele>" if i % 3 else "" for i in range(50)]
    text = gpx("".join(point(i, 40 + i / 100, inside=inside[i]) for i in range(50)))
    recording = read_text(text)
    assert recording.time.tolist() == list(range(50))
    assert np.isnan(recording.altitude_msl).tolist() == [i % 3 == 0 for i in range(50)]


def test_a_plan_is_no_recording():
    text = '<gpx><wpt lat="1" lon="2"/><rte><rtept lat="1" lon="2"/><rtept lat="1" lon="3"/></rte></gpx>'
    with pytest.raises(InputError, match="2 route points and 1 waypoint but no recorded track"):
        read_text(text)


def test_a_track_without_times_is_refused():
    with pytest.raises(InputError, match="track without readable times"):
        read_text(gpx('<trkpt lat="1" lon="2"/><trkpt lat="1" lon="3"/>'))


def test_an_empty_track_is_nothing_to_work_on():
    with pytest.raises(NothingToWorkOnError, match="no track point"):
        read_text(gpx(""))


def test_blank_lines_ahead_of_the_document():
    assert len(read_text("\n  \n" + gpx(point()))) == 1


def test_a_stream_stays_open():
    stream = io.BytesIO(gpx(point()).encode())
    read(stream)
    assert not stream.closed
