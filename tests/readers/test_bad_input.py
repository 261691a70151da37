"""Whatever is given, the answer is one clear sentence."""

from __future__ import annotations

import bz2
import gzip
import io
import subprocess
import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groundref.errors import GroundrefError, InputError
from groundref.readers import read, read_many

from .reading import gpx, point, read_text

SOUND_FILES = [
    gpx("".join(point(i, inside="<ele>300</ele><speed>50</speed>") for i in range(6))).encode(),
    b"# 2026-05-01\ntime,lat,lon,alt (ft),\"gs\"\n12:00:00,40,-90,1000,--\n12:00:01,40,\"-90\",1001,95\n",
    b"date;time;utc offset;lat;lon\n1.5.2026;12:00:00;+2;40,5;-90,5\n1.5.2026;12:00:01;+2;40,5;-90,5\n",
    b'[{"time":1777636800,"lat":40,"lon":-90,"icao24":"abc123","lastposupdate":1777636799}]',
    b'{"time":1777636800,"states":[["abc123","X","c",1,2,-90.1,40.1,300.5,false,50.0,90.0,0.5,null,320]]}',
    gzip.compress(b"time,lat,lon\n1777636800,40,-90\n", mtime=0),
    b"time\tlat\tlon\ts\n1777636800\t40\t-90\t1\n",
    "<?xml version='1.0'?><gpx/>".encode("utf-16"),
]  # fmt: skip


def is_sentence(text: str) -> bool:
    return 10 < len(text) < 2000 and "\n" not in text and "Traceback" not in text


def attempt(data: bytes) -> None:
    sentence = ""
    try:
        read(io.BytesIO(data))
    except GroundrefError as error:
        sentence = str(error)
    assert not sentence or is_sentence(sentence)


@settings(max_examples=150)
@given(
    st.binary(max_size=200),
    st.sampled_from([b"", b"<gpx>", b"time,lat,lon\n", b"{", b"[", b"\x1f\x8b", b"PAR1"]),
)
def test_random_bytes(data, start):
    attempt(start + data)


@settings(max_examples=200)
@given(st.sampled_from(SOUND_FILES), st.data())
def test_spoiled_files(sound, data):
    start = data.draw(st.integers(0, len(sound)))
    length = data.draw(st.integers(0, 12))
    attempt(sound[:start] + data.draw(st.binary(max_size=8)) + sound[start + length :])


@settings(max_examples=100)
@given(st.sampled_from(SOUND_FILES), st.data())
def test_truncated_files(sound, data):
    attempt(sound[: data.draw(st.integers(0, len(sound)))])


@settings(max_examples=100)
@given(
    st.text(alphabet="0123456789.,:;-+TZ NSEW°'\"/eEinfa\t", max_size=20),
    st.text(alphabet="0123456789.,:;-+TZ NSEW°'\"/eEinfa\t", max_size=20),
)
def test_odd_cells(time, latitude):
    attempt(f"time|lat|lon\n{time}|{latitude}|-90\n{latitude}|40|{time}\n".encode())


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "is empty; copy it again"),
        (b" \r\n\n ", "is empty"),
        (gzip.compress(b"", mtime=0), "is empty"),
        (b"<!DOCTYPE html><html><body>no</body></html>", "is a web page, not a recording"),
        (b"\n<HTML lang='en'>", "is a web page, not a recording"),
        (bytes(range(256)) * 20, "is binary data that no reader knows"),
        (b"\x89PNG\r\n\x1a\n" + bytes(50), "is a picture"),
        (b"PK\x03\x04" + bytes(50), "is a zip archive; unpack it"),
        (bz2.compress(b"time,lat,lon"), "is packed with bzip2; unpack it first"),
        (gzip.compress(gzip.compress(b"time,lat,lon", mtime=0), mtime=0), "is packed twice with gzip"),
        (b"\x1f\x8b\x08\x00junkjunkjunkjunkjunk", "the gzip packing does not fit together"),
        (b'<?xml version="1.0"?><kml xmlns="urn:kml"/>', "is KML, which is not read yet"),
        (b"<!-- <gpx> --><svg/>", "is XML with the root element 'svg'"),
        (b"$GPRMC,123519,A,4000.0,N,09000.0,W,022.4,,010526,,*00\n", "is an NMEA log, which is not read yet"),
        (b"AXXX001\r\nHFDTE010526\r\nB1200004000000N09000000WA00\r\n", "is an IGC file"),
        (b"dear diary", "is text without a table"),
        (b"{broken", "is not whole JSON"),
        (b'{\n  "schema": "groundref/debrief/1"', "is a result of groundref, not a recording; give the"),
        (b"<gpx", "is not whole XML"),
        (b"<gpx><trk></gpx>", "is not whole XML (mismatched tag)"),
    ],
)  # fmt: skip
def test_what_it_is_instead(data, sentence):
    with pytest.raises(GroundrefError) as caught:
        read(io.BytesIO(data))
    assert sentence in str(caught.value)
    assert is_sentence(str(caught.value))


def test_a_flipped_bit_in_a_packed_file_is_damage():
    packed = bytearray(gzip.compress(gpx(point(0) + point(1)).encode()))
    packed[-5] ^= 1  # the checksum
    with pytest.raises(InputError, match="is damaged"):
        read(io.BytesIO(bytes(packed)))


def test_paths_that_cannot_be_read(tmp_path):
    with pytest.raises(InputError, match=r"no\.gpx: cannot be opened \(no such file or directory\)"):
        read(tmp_path / "no.gpx")
    with pytest.raises(InputError, match="is a folder, not a recording"):
        read(tmp_path)
    with pytest.raises(InputError, match="cannot be opened"):
        read("nul\0byte")
    with pytest.raises(InputError, match="cannot be opened"):
        read(tmp_path / ("long" * 200))


class Failing(io.RawIOBase):
    """A medium that gives up."""

    def readable(self) -> bool:
        return True

    def readinto(self, buffer: object) -> int:
        raise OSError(5, "Input/output error")


def test_a_medium_that_gives_up():
    with pytest.raises(InputError, match=r"cannot be read \(input/output error\)"):
        read(io.BufferedReader(Failing()))


def test_a_decompression_bomb_stays_small(monkeypatch):
    monkeypatch.setattr("groundref.readers._source.MOST", 5 << 20)
    bomb = gzip.compress(b"time,lat,lon\n" + b"1777636800,40,-90\n" * 600_000)
    with pytest.raises(InputError, match="once unpacked"):
        read(io.BytesIO(bomb))


def test_standard_input_has_its_name():
    code = (
        "import sys; from groundref.readers import read\n"
        "from groundref.errors import GroundrefError\n"
        "try: read(sys.stdin.buffer)\n"
        "except GroundrefError as error: print(error)"
    )
    done = subprocess.run([sys.executable, "-c", code], input=b"", capture_output=True, check=True)
    assert done.stdout.startswith(b"standard input: is empty")


def test_the_libraries_are_loaded_only_when_a_file_needs_them():
    code = (
        "import sys, groundref.readers\n"
        "assert not {'polars', 'lxml', 'pyexpat', 'json', 'scipy'} & sys.modules.keys(), sys.modules.keys()"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


def test_parts_of_one_flight_are_put_in_order():
    parts = [io.BytesIO(gpx(point(30)).encode()), io.BytesIO(gpx(point(10) + point(11)).encode())]
    recording = read_many(parts)
    assert recording.time.tolist() == [0.0, 1.0, 20.0]


def test_a_text_stream_is_a_mistake_of_the_caller():
    with pytest.raises(TypeError, match="binary stream"):
        read(io.StringIO("time,lat,lon"))


def test_one_point_is_enough_for_the_reader():
    assert len(read_text(gpx(point()))) == 1
