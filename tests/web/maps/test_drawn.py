"""The map as it is drawn: each thing where it lies on the earth, and no more than asked."""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from litestar.testing import TestClient
from lxml import etree
from pmtiles.tile import TileType
from pyproj import Geod

from groundref.geo.frame import LocalFrame
from groundref.record.place import Place
from groundref.record.store import open_record
from groundref.web.app import build
from groundref.web.maps.drawn import beneath
from groundref.web.maps.papers import Local
from groundref.web.maps.source import MapSource, source_of
from groundref.web.workers import Workers
from tests.web.maps.invented import EXTENT, around, country, images, tile_place, vector, written

NAME = "127.0.0.1:8735"
MIDDLE = 40.1, -90.2
ASKED = {"lat": 40.1, "lon": -90.2, "x": 300, "y": 280, "scale": 0.2, "width": 640, "height": 612}
LAYERS = {"vector_layers": [{"id": "roads"}, {"id": "water"}, {"id": "buildings"}, {"id": "places"}]}
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def workers() -> Iterator[Workers]:
    made = Workers(1, seconds=20)
    yield made
    made.close()


@pytest.fixture
def serve(tmp_path: Path, workers: Workers):
    """Make a client of a server with a map."""

    class Kept:
        """Workers that outlast one server."""

        run = staticmethod(workers.run)

        def close(self) -> None:
            pass

    def make(source: MapSource | None) -> TestClient:
        record = open_record(Place(path=tmp_path / "record.sqlite"), make=True)
        app = build(record, [NAME], Kept(), source=source)
        return TestClient(app, base_url=f"http://{NAME}")

    return make


def on_paper(latitude: float, longitude: float) -> tuple[float, float]:
    """Where a place lies on the picture that ASKED is for, by geodesics (GeographicLib in PROJ)."""
    azimuth, _, distance = Geod(ellps="WGS84").inv(ASKED["lon"], ASKED["lat"], longitude, latitude)
    bearing = np.radians(azimuth)
    return (
        ASKED["x"] + ASKED["scale"] * distance * np.sin(bearing),
        ASKED["y"] - ASKED["scale"] * distance * np.cos(bearing),
    )


def drawn(client: TestClient, path: str = "/api/map/beneath", **asked: object) -> etree._Element:
    answer = client.get(path, params={**ASKED, **asked})
    assert answer.status_code == 200, answer.text
    assert answer.headers["content-type"] == "image/svg+xml"
    return etree.fromstring(answer.content)


def test_roads_and_lakes_lie_where_they_are(serve, tmp_path: Path) -> None:
    """Into a tile by the published formula, onto the picture by geodesics."""
    zoom, ends = 13, [(40.1012, -90.1971), (40.0937, -90.2084), (40.0951, -90.2003)]
    column, row = (int(value) for value in tile_place(*MIDDLE, zoom))
    inside = [tuple((np.array(tile_place(*end, zoom)) - (column, row)) * EXTENT) for end in ends]
    line = ", ".join(f"{x:.0f} {y:.0f}" for x, y in inside)
    first = f"{inside[0][0]:.0f} {inside[0][1]:.0f}"
    tile = vector(
        {
            "roads": [
                ({"kind": "major_road"}, f"LINESTRING({line})"),
                ({"kind": "ferry"}, "LINESTRING(0 0, 9 9)"),
            ],
            "water": [({"kind": "lake"}, f"POLYGON(({line}, {first}))")],
            "places": [({"kind": "locality", "name": "<b>In & out</b>"}, f"POINT({first})")],
        }
    )  # fmt: skip
    path = written(tmp_path / "map.pmtiles", [((zoom, column, row), tile)], TileType.MVT, MIDDLE, LAYERS)
    with serve(source_of(str(path))) as client:
        map_ = drawn(client)
    assert map_.get("data-says") == ""
    paths = {each.get("class"): each for each in map_.iter(f"{SVG}path")}
    assert set(paths) == {"map-area map-water", "map-line map-main"}
    fine = 0.2 * 2 * np.pi * 6378137 * np.cos(np.radians(40.1)) / 2**zoom / EXTENT
    for name in paths:
        assert paths[name].get("transform") == "scale(0.1)"
        numbers = np.array(re.findall(r"-?\d+", paths[name].get("d")), dtype=float).reshape(-1, 2) / 10
        for found in numbers:  # in whatever order a ring was written
            near = min(np.hypot(*(found - on_paper(*end))) for end in ends)
            assert near < fine + 0.08  # what 4096ths of the tile and tenths of paper leave open
    (text,) = map_.iter(f"{SVG}text")
    assert text.text == "<b>In & out</b>"
    assert (float(text.get("x")), float(text.get("y"))) == pytest.approx(on_paper(*ends[0]), abs=fine + 0.1)


def test_only_what_can_be_seen_is_drawn(serve, tmp_path: Path) -> None:
    path = country(tmp_path / "map.pmtiles", MIDDLE, range(11, 15))
    with serve(source_of(str(path))) as client:
        near, far = drawn(client, scale=0.4), drawn(client, scale=0.04)
        away = drawn(client, lat=41.0)
        wide = drawn(client, scale=0.001)
    assert len(list(near.iter(f"{SVG}path"))) > 6
    houses = '{http://www.w3.org/2000/svg}path[@class="map-area map-building"]'
    assert near.find(f".//{houses}") is not None
    assert far.find(f".//{houses}") is None  # smaller than a mark
    assert away.get("data-says") == "The map has nothing here."
    assert wide.get("data-says") == "The map is not made for so wide a picture."
    names = [text.text for text in far.iter(f"{SVG}text")]
    assert names == ["Inventon", "Nowhere Ferry"]  # the larger first, each once though it is on many tiles


def test_a_file_of_images_stays_on_this_machine(serve, tmp_path: Path) -> None:
    path = images(tmp_path / "map.pmtiles", MIDDLE, range(12, 16))
    with serve(source_of(str(path))) as client:
        map_ = drawn(client)
        policy = client.get("/").headers["content-security-policy"]
        page = client.get("/plan", params={"point": "40.1,-90.2"}).text
    shown = [each.get("href") for each in map_.iter(f"{SVG}image")]
    assert len(shown) > 8
    assert all(address.startswith("data:image/png;base64,") for address in shown)
    assert "http" not in policy
    assert "© the invented mapmakers" in page
    assert "data-ground=" in page


def test_tiles_of_a_server_are_named_and_nothing_else_may_be_fetched(serve) -> None:
    source = source_of("https://tiles.example:8443/{z}/{x}/{y}.png?key=a&b", "© “tiles” <b>")
    with serve(source) as client:
        map_ = drawn(client)
        headers = client.get("/").headers
        page = client.get("/plan").text
    assert headers["referrer-policy"] == "strict-origin-when-cross-origin"  # never which lesson
    column, row = (int(value) for value in tile_place(*MIDDLE, 15))
    shown = [each.get("href") for each in map_.iter(f"{SVG}image")]
    assert f"https://tiles.example:8443/15/{column}/{row}.png?key=a&b" in shown
    rules = dict(rule.split(" ", 1) for rule in headers["content-security-policy"].split("; "))
    assert rules["img-src"].split()[-1] == "https://tiles.example:8443"
    assert [name for name, what in rules.items() if "tiles.example" in what] == ["img-src"]
    assert 'data-credit="© “tiles” &lt;b&gt;"' in page


def test_without_a_source_there_is_no_map(serve) -> None:
    with serve(None) as client:
        answer = client.get("/api/map/beneath", params=ASKED)
        assert (answer.status_code, "--map" in answer.json()["error"]) == (404, True)
        for path in ("/plan", "/plan?point=40.1,-90.2"):
            page = client.get(path).text
            assert not re.search(r"beneath|site\.js|name=\"map\"", page)
        headers = client.get("/").headers
        assert "http" not in headers["content-security-policy"]
        assert headers["referrer-policy"] == "same-origin"


@pytest.mark.parametrize(
    "asked",
    [
        {"lat": 91}, {"lat": "nan"}, {"lon": -181}, {"x": 1e9}, {"y": "-inf"}, {"scale": 0}, {"scale": -1},
        {"scale": 1e9}, {"width": 5000}, {"height": 0}, {"lat": "../../etc/passwd"}, {"width": ""},
    ],
)  # fmt: skip
def test_pictures_out_of_range(serve, tmp_path: Path, asked: dict[str, object]) -> None:
    with serve(source_of(str(images(tmp_path / "map.pmtiles", MIDDLE, [13])))) as client:
        answer = client.get("/api/map/beneath", params={**ASKED, **asked})
        assert answer.status_code == 400, answer.text
        assert answer.json()["error"]


@pytest.mark.parametrize(
    "asked", [{"zoom": -1}, {"zoom": 21}, {"zoom": 1e9}, {"zoom": "x"}, {"lat": 86}, {"lon": 200}]
)
def test_maps_out_of_range(serve, tmp_path: Path, asked: dict[str, object]) -> None:
    with serve(source_of(str(images(tmp_path / "map.pmtiles", MIDDLE, [13])))) as client:
        answer = client.get("/api/map/around", params={**ASKED, "zoom": 3, **asked})
        assert answer.status_code == 400, answer.text


@pytest.mark.parametrize(
    "path", ["/map/1/1/1", "/api/map/../../etc/passwd", "/api/map/%2e%2e/%2e%2e/x", "/api/map/beneath/1/1/1"]
)
def test_no_path_leads_to_tiles_or_files(serve, tmp_path: Path, path: str) -> None:
    with serve(source_of(str(images(tmp_path / "map.pmtiles", MIDDLE, [13])))) as client:
        assert client.get(path).status_code == 404


def test_the_last_meridian_and_the_ends_of_the_square(serve, tmp_path: Path) -> None:
    source = source_of("https://tiles.example/{z}/{x}/{y}.png", "© tiles")
    with serve(source) as client:
        across = drawn(client, lat=-17, lon=179.9999)
        pole = drawn(client, lat=90)
        world = drawn(client, "/api/map/around", zoom=1)
    columns = {int(each.get("href").split("/")[4]) for each in across.iter(f"{SVG}image")}
    zoom = int(next(across.iter(f"{SVG}image")).get("href").split("/")[3])
    assert {0, 2**zoom - 1} <= columns
    assert pole is not None
    assert {each.get("href").split("/")[3] for each in world.iter(f"{SVG}image")} == {"1"}


def test_a_dense_map_is_drawn_in_time(tmp_path: Path) -> None:
    """A tile of 20,000 houses, several times those of a city."""
    zoom = 14
    place = around(*MIDDLE, zoom, 0)[0]

    def houses(side: int) -> bytes:
        step = EXTENT / side
        rings = [
            f"POLYGON(({x:.0f} {y:.0f}, {x:.0f} {y + h:.0f}, {x + h:.0f} {y + h:.0f}, {x:.0f} {y:.0f}))"
            for x in np.arange(side) * step
            for y in np.arange(side) * step
            for h in [max(0.7 * step, 1)]
        ]
        return vector({"buildings": [({"kind": "building"}, ring) for ring in rings]})

    path = written(tmp_path / "map.pmtiles", [(place, houses(140))], TileType.MVT, MIDDLE, LAYERS)
    source, frame = source_of(str(path)), LocalFrame(*np.radians(MIDDLE))
    assert source is not None
    start = time.process_time()
    map_ = beneath(source, Local(frame, 300.0, 280.0, 0.6, 640.0, 612.0))
    assert time.process_time() - start < 8  # 1.2 s, with nothing loaded before
    assert len(map_) > 100_000
