"""Vector tiles that another encoder wrote, read back; and whatever else somebody may put there."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundref.web.maps import vector
from groundref.web.maps.layers import LAYERS, look_of, name_of
from tests.web.maps.invented import vector as encoded

ROAD = {"kind": "minor_road", "lanes": 2, "oneway": True, "width": 4.5}
LAKE = "POLYGON((0 0, 0 1024, 1024 1024, 1024 0, 0 0), (256 256, 512 256, 512 512, 256 256))"
TILE = encoded(
    {
        "roads": [
            (ROAD, "LINESTRING(0 0, 4096 4096, 8 -64)"),
            ({"kind": "rail"}, "MULTILINESTRING((0 2048, 4096 2048), (2048 0, 2048 1024))"),
        ],
        "water": [
            ({"kind": "lake"}, LAKE)
        ],
        "places": [({"kind": "locality", "name": "Süd-Inventon", "population": 70_000}, "POINT(2048 1024)")],
        "unasked": [({"kind": "lake"}, "POINT(1 1)")],
    }
)  # fmt: skip
WANTED = {"roads", "water", "places"}


def test_what_another_encoder_wrote() -> None:
    layers = dict(vector.decoded(TILE, WANTED))
    assert set(layers) == WANTED
    road, rail = layers["roads"]
    assert road.tags == {"kind": "minor_road", "lanes": 2, "oneway": 1, "width": 4.5}
    assert road.kind == vector.LINES
    assert np.allclose(road.parts[0], [(0, 0), (1, 1), (8 / 4096, -64 / 4096)])
    assert [part.tolist() for part in rail.parts] == [[[0, 0.5], [1, 0.5]], [[0.5, 0], [0.5, 0.25]]]
    (lake,) = layers["water"]
    assert lake.kind == vector.AREAS
    areas = [_area(part) for part in lake.parts]  # the specification: outer rings positive, holes negative
    assert areas == pytest.approx([1 / 16, -1 / 512])
    (place,) = layers["places"]
    assert place.parts[0].tolist() == [[0.5, 0.25]]
    assert name_of("places", place.tags) == ("Süd-Inventon", -70_000.0)


def _area(ring: np.ndarray) -> float:
    """By the surveyor's formula, as the specification has it, y down."""
    x, y = ring.T
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y) / 2)


@pytest.mark.parametrize("end", range(1, len(TILE), 7))
def test_a_tile_that_was_cut_is_no_tile(end: int) -> None:
    try:
        layers = dict(vector.decoded(TILE[:end], WANTED))
    except ValueError:
        return
    assert set(layers) < WANTED  # cut between two layers


@given(st.integers(0, len(TILE) - 1), st.integers(0, 255))
def test_a_changed_byte_is_read_or_refused(at: int, byte: int) -> None:
    _read_or_refused(TILE[:at] + bytes([byte]) + TILE[at + 1 :])


@given(st.binary(max_size=300))
def test_anything_is_read_or_refused(content: bytes) -> None:
    _read_or_refused(content)
    _read_or_refused(b"\x1a" + bytes([len(content) & 0x7F]) + content)


def _read_or_refused(content: bytes) -> None:
    try:
        layers = list(vector.decoded(content, WANTED))
    except ValueError:
        return
    for _, features in layers:
        for part in (part for feature in features for part in feature.parts):
            assert np.isfinite(part).all()


@pytest.mark.parametrize(
    ("layer", "tags", "area", "look"),
    [
        ("roads", {"kind": "highway"}, False, "great"),
        ("roads", {"kind": "aeroway", "kind_detail": "runway"}, False, "runway"),
        ("roads", {"pmap:kind": "major_road"}, False, "main"),
        ("roads", {"kind": "ferry"}, False, None),
        ("transportation", {"class": "path", "subclass": "footway"}, False, "path"),
        ("transportation", {"class": "minor"}, True, None),
        ("aeroway", {"class": "taxiway"}, True, "apron"),
        ("streets", {"kind": "rail", "rail": True}, False, "rail"),
        ("landuse", {"kind": "aerodrome"}, True, "airfield"),
        ("landcover", {"class": "wood"}, True, "wood"),
        ("landuse", {"class": "residential"}, True, "built"),
        ("landuse", {"kind": ["list"]}, True, None),
        ("water", {"kind": "river"}, False, "stream"),
        ("water_polygons", {}, True, "water"),
    ],
)
def test_looks(layer: str, tags: dict[str, object], area: bool, look: str | None) -> None:
    assert look_of(layer, tags, area=area) == look


def test_every_look_has_its_place() -> None:
    from groundref.web.maps.layers import AREAS, LINES

    for layer in LAYERS.values():
        assert set(layer.areas.values()) | {layer.area} <= {*AREAS, None}
        assert set(layer.lines.values()) | {layer.line} <= {*LINES, None}
