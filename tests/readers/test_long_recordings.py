"""Long recordings stay small in memory: text is let go as it becomes numbers."""

from __future__ import annotations

import tracemalloc
from collections.abc import Iterator
from itertools import islice

import pytest

from groundref.readers import read

POINTS = 40_000


def gpx_lines() -> Iterator[bytes]:
    yield b"<gpx><trk><trkseg>"
    for i in range(POINTS):
        clock = f"{i // 3600 % 24:02}:{i // 60 % 60:02}:{i % 60:02}"
        yield (
            f'<trkpt lat="{40 + i * 1e-6:.6f}" lon="-90.123456"><ele>300.5</ele>'
            f"<time>2026-05-01T{clock}Z</time><name>some words that nobody asks for</name></trkpt>\n"
        ).encode()
    yield b"</trkseg></trk></gpx>"


def csv_lines() -> Iterator[bytes]:
    yield b"time,lat,lon,alt msl ft,ground speed kt,remark\n"
    for i in range(POINTS):
        yield f"{1777636800 + i},{40 + i * 1e-6:.6f},-90.123456,1000.5,95.5,words nobody asks for\n".encode()


class Dripping:
    """A stream that makes its bytes as they are asked for, so that they are nowhere as a whole."""

    name = "long"

    def __init__(self, lines: Iterator[bytes]) -> None:
        self._lines = lines

    def read(self, _: int = -1) -> bytes:
        return b"".join(islice(self._lines, 500))


@pytest.mark.parametrize("lines", [gpx_lines, csv_lines])
def test_memory_is_that_of_the_numbers(lines, monkeypatch):
    monkeypatch.setattr("groundref.readers.gpx._FLUSH", 2000)
    monkeypatch.setattr("groundref.readers.csv_log._ROWS_AT_ONCE", 1 << 18)
    read(Dripping(iter([b"time,lat,lon\n1777636800,40,-90\n"])))  # loads libraries
    tracemalloc.start()
    recording = read(Dripping(lines()))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert len(recording) == POINTS
    # Five columns of eight bytes, twice while they are put together, a few masks, and one block of text.
    assert peak < POINTS * (5 * 8 * 2 + 50)
