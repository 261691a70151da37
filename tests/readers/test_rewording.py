"""Recordings with a name taken out, in each format: what they say changes, what was flown does not."""

from __future__ import annotations

import gzip
import json
from collections.abc import Callable
from functools import lru_cache
from io import BytesIO

import numpy as np
import polars
import pytest

from groundref.errors import InputError
from groundref.readers.rewording import reworded
from groundref.record.asked import recording_of
from groundref.record.spelling import Name
from groundref.simulation import simulate
from groundref.simulation.write import to_bytes
from groundref.track.recording import CHANNELS, Recording
from tests.record.leftovers import spelled

JO = Name("José Brandt", ["Ines Okafor"])


@lru_cache(maxsize=4)
def flown(suffix: str) -> bytes:
    recording, _ = simulate(seed=3, laps=1, recorder="adsb" if suffix == "json" else "avionics")
    return to_bytes(recording, f"lesson.{suffix}")


def read(content: bytes) -> Recording:
    return recording_of((("lesson", content),))


def without(content: bytes, name: Name = JO) -> bytes | None:
    return reworded("lesson", content, name, read)


def assert_gone(content: bytes, *words: str) -> None:
    plain = gzip.decompress(content) if content.startswith(b"\x1f\x8b") else content
    for text in (content, plain):
        assert not [way for word in words for way in spelled(word) if way in text]


def assert_same_flight(before: bytes, after: bytes) -> None:
    one, other = read(before), read(after)
    for channel in CHANNELS:
        ours, theirs = getattr(one, channel), getattr(other, channel)
        assert (ours is None) == (theirs is None)
        assert ours is None or np.array_equal(ours, theirs, equal_nan=ours.dtype.kind == "f")


def gpx(said: str, code: str = "utf-8") -> bytes:
    text = flown("gpx").decode().replace("<trk>", f"{said}<trk>", 1)
    return text.replace('encoding="UTF-8"', f'encoding="{code}"').encode(code)


@pytest.mark.parametrize(
    "said",
    [
        "<metadata><author><name>JOSÉ BRANDT</name></author></metadata>",
        "<metadata><desc><![CDATA[flown by José Brandt & Ines]]></desc></metadata>",
        "<!-- brandt's phone -->",
        "<?recorder owner='José_Brandt'?>",
        "<metadata><name>Jos&#233; &amp; Brandt</name></metadata>",
        "<metadata><author><email id='jose.brandt' domain='example.org'/></author></metadata>",
        '<metadata><keywords>solo</keywords><link href="https://example.org/Brandt?a=1&amp;b=2"/></metadata>',
        "<extensions><pilot>Bra&#x6e;dt, José</pilot></extensions>",
    ],
)
def test_gpx(said: str) -> None:
    before = gpx(said)
    after = without(before)
    assert after is not None
    assert_gone(after, "José Brandt", "Brandt", "José", "&#233;", "&#x6e;")
    assert_same_flight(before, after)


@pytest.mark.parametrize("code", ["utf-8", "utf-16", "iso-8859-1", "windows-1252"])
def test_gpx_in_other_codes(code: str) -> None:
    before = gpx("<metadata><author><name>José Brandt</name></author></metadata>", code)
    after = without(before)
    assert after is not None
    assert_gone(after, "José", "Brandt")
    assert_same_flight(before, after)


def test_gpx_that_breaks_off() -> None:
    before = gpx("<!-- Brandt -->")[:-3000]
    after = without(before)
    assert after is not None
    assert len(after) == len(before) + len("someone") - len("Brandt")
    assert_same_flight(before, after)


def csv(said: str, heading: str = "") -> bytes:
    lines = flown("csv").decode().splitlines()
    headed = [lines[1] + (f",{heading}" if heading else "")]
    headed += [line + (",José Brandt" if heading else "") for line in lines[2:]]
    return "\n".join([lines[0], said, *headed, ""]).encode()


@pytest.mark.parametrize("packed", [bytes, lambda content: gzip.compress(content, mtime=0)])
def test_tables(packed: Callable[[bytes], bytes]) -> None:
    before = packed(csv("# Pilot: Brandt; José, with Ines Okafor", "Pilot"))
    after = without(before)
    assert after is not None
    assert_gone(after, "José", "Brandt")
    assert_same_flight(before, after)
    assert b"Ines Okafor" in (gzip.decompress(after) if after.startswith(b"\x1f\x8b") else after)


def test_the_header_of_a_packed_file_is_searched() -> None:
    packed = BytesIO()
    with gzip.GzipFile("jose-brandt.gpx", "wb", fileobj=packed, mtime=0) as stream:
        stream.write(flown("gpx"))
    before = packed.getvalue()
    assert b"jose-brandt.gpx" in before
    after = without(before)
    assert after is not None
    assert_gone(after, "brandt", "jose")
    assert gzip.decompress(after) == flown("gpx")


def test_a_heading_that_is_a_name_stays_and_comments_lose_it() -> None:
    before = csv("# flown by Mark Bank")
    after = without(before, Name("Mark Bank"))
    assert after is not None
    assert b"# flown by someone" in after
    assert b"Bank (deg)" in after
    assert_same_flight(before, after)


def test_state_vectors_in_json() -> None:
    rows = [row | {"callsign": "BRANDT1 "} for row in json.loads(flown("json"))]
    before = json.dumps(rows).encode()
    after = without(before)
    assert after is not None
    assert_gone(after, "Brandt")
    assert_same_flight(before, after)
    escaped = json.dumps([row | {"pilot": "José"} for row in rows[:400]]).replace("BRANDT", "X").encode()
    assert b"Jos\\u00e9" in escaped
    assert b"Jos" not in (without(escaped) or b"Jos")


def test_parquet() -> None:
    frame = polars.DataFrame(json.loads(flown("json"))).with_columns(
        polars.lit("N-Brandt").alias("callsign"), polars.lit(None, polars.String).alias("remarks")
    )
    written = BytesIO()
    frame.write_parquet(written, metadata={"owner": "José Brandt"})
    before = written.getvalue()
    assert "José".encode() in before
    after = without(before)
    assert after is not None
    assert_gone(after, "Brandt", "José")
    assert_same_flight(before, after)
    assert polars.read_parquet(BytesIO(after)).drop("callsign").equals(frame.drop("callsign"))


@pytest.mark.parametrize("suffix", ["gpx", "csv", "json", "gpx.gz"])
def test_a_recording_that_names_nobody_stays_as_it_is(suffix: str) -> None:
    assert without(flown(suffix)) is None


def test_what_cannot_be_searched_is_refused() -> None:
    with pytest.raises(InputError, match="binary data"):
        without(b"\x00\x01\x02" * 400)
    with pytest.raises(InputError, match="cannot be parted"):
        without(gpx("<José_Brandt>solo</José_Brandt>"))
