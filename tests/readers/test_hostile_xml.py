"""XML made to hurt: entities, declarations, endless tags, depth."""

from __future__ import annotations

import time
import tracemalloc

import pytest

from groundref.errors import InputError

from .reading import gpx, point, read_text

BOMB = (
    '<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a "aaaaaaaaaa">'
    + "".join(f'<!ENTITY a{n} "{f"&a{n - 1 if n > 1 else str()};" * 10}">' for n in range(1, 12))
    + "]><gpx><trk><trkseg><trkpt lat='1' lon='2'><time>&a11;</time></trkpt></trkseg></trk></gpx>"
)
EXTERNAL = (
    '<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY x SYSTEM "file:///etc/hostname">]>'
    "<gpx><trk><trkseg><trkpt lat='1' lon='2'><time>&x;</time></trkpt></trkseg></trk></gpx>"
)


@pytest.mark.parametrize("text", [BOMB, EXTERNAL, '<!DOCTYPE gpx SYSTEM "http://localhost/x.dtd"><gpx/>'])
def test_declarations_are_refused_at_once(text):
    tracemalloc.start()
    before = time.perf_counter()
    with pytest.raises(InputError, match="document type declaration"):
        read_text(text)
    assert time.perf_counter() - before < 2
    assert tracemalloc.get_traced_memory()[1] < 5e6
    tracemalloc.stop()


def test_an_undeclared_entity_ends_the_file_there():
    text = gpx(point(0) + point(1) + point(2).replace("2026", "&year;"))
    recording = read_text(text)
    assert len(recording) == 2
    assert "undefined entity" in recording.notes[0]


def test_depth_is_limited():
    with pytest.raises(InputError, match="nested more than 100 deep"):
        read_text(gpx("<a>" * 200))


def test_endless_text_is_refused():
    text = gpx(point() + f'<trkpt lat="1" lon="2"><time>{"12345678" * 500_000}</time></trkpt>')
    with pytest.raises(InputError, match="runs on without end"):
        read_text(text)


def test_an_endless_tag_is_refused():
    with pytest.raises(InputError, match="runs on for megabytes"):
        read_text(gpx(point() + point() + '<trkpt lat="' + "1" * 12_000_000))


def test_thousands_of_element_names_are_refused():
    with pytest.raises(InputError, match="thousands of different elements"):
        read_text(gpx("".join(f"<a{n}/>" for n in range(10_100))))


def test_an_unknown_encoding_is_a_sentence():
    with pytest.raises(InputError, match="encoding"):
        read_text('<?xml version="1.0" encoding="klingon"?><gpx></gpx>')
