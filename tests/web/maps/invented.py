"""An invented country as a PMTiles file, written with the format's own library."""

from __future__ import annotations

import gzip
import struct
import zlib
from collections.abc import Callable, Iterable
from functools import cache
from math import asinh, cos, floor, pi, radians, sin, tan
from pathlib import Path

import mapbox_vector_tile
import numpy as np
from pmtiles.tile import Compression, TileType, zxy_to_tileid
from pmtiles.writer import Writer

CREDIT = '<a href="https://maps.example/about">© the invented mapmakers</a>'
Place = tuple[float, float]


def tile_place(latitude: float, longitude: float, zoom: int) -> Place:
    """Column and row with their fractions, by "Slippy map tilenames" of OpenStreetMap's wiki [deg]."""
    side = 2**zoom
    lat = radians(latitude)
    return (longitude + 180.0) / 360.0 * side, (1.0 - asinh(tan(lat)) / pi) / 2.0 * side


def around(latitude: float, longitude: float, zoom: int, reach: int = 2) -> list[tuple[int, int, int]]:
    """Tiles about a place."""
    column, row = (floor(value) for value in tile_place(latitude, longitude, zoom))
    return [
        (zoom, column + a, row + b)
        for a in range(-reach, reach + 1)
        for b in range(-reach, reach + 1)
        if 0 <= row + b < 2**zoom and 0 <= column + a < 2**zoom
    ]


def written(
    path: Path,
    tiles: Iterable[tuple[tuple[int, int, int], bytes]],
    kind: TileType,
    middle: Place,
    metadata: dict[str, object] | None = None,
    *,
    packed: Compression = Compression.NONE,
) -> Path:
    """Write the file."""
    there = sorted(tiles, key=lambda one: zxy_to_tileid(*one[0]))
    with path.open("wb") as stream:
        writer = Writer(stream)
        for place, content in there:
            writer.write_tile(zxy_to_tileid(*place), content)
        zooms = [place[0] for place, _ in there]
        header = {
            "tile_type": kind,
            "tile_compression": packed,
            "min_zoom": min(zooms),
            "max_zoom": max(zooms),
            "center_zoom": min(zooms),
            "center_lat_e7": round(middle[0] * 1e7),
            "center_lon_e7": round(middle[1] * 1e7),
        }
        said = {"attribution": CREDIT} if metadata is None else metadata
        writer.finalize(header, said)
    return path


SIDE = 256  # pixels of a tile
REACH = 5  # of a mark from its middle


@cache
def image(*marks: Place) -> bytes:
    """A tile of one color as PNG (ISO/IEC 15948), with magenta marks at places within it, the tile 1 wide."""
    rows, columns = np.mgrid[0:SIDE, 0:SIDE] + 0.5
    picture = np.full((SIDE, SIDE, 3), (207, 227, 212), dtype=np.uint8)
    for x, y in marks:
        picture[np.hypot(columns - SIDE * x, rows - SIDE * y) <= REACH] = (255, 0, 255)
    lines = np.concatenate((np.zeros((SIDE, 1), np.uint8), picture.reshape(SIDE, -1)), axis=1).tobytes()
    head = struct.pack(">IIBBBBB", SIDE, SIDE, 8, 2, 0, 0, 0)
    chunks = ((b"IHDR", head), (b"IDAT", zlib.compress(lines)), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
        for name, data in chunks
    )


def images(path: Path, middle: Place, zooms: Iterable[int], reach: int = 2) -> Path:
    """Tiles of images about a place, on which that place is marked."""
    tiles = []
    for zoom in zooms:
        column, row = tile_place(*middle, zoom)
        for place in around(*middle, zoom, reach):
            within = (column - place[1], row - place[2])
            marks = [within] if all(-0.1 < value < 1.1 for value in within) else []
            tiles.append((place, image(*marks)))
    return written(path, tiles, TileType.PNG, middle)


EXTENT = 4096


def vector(layers: dict[str, list[tuple[dict[str, object], str]]]) -> bytes:
    """A vector tile by another encoder, of well-known text in 4096ths of the tile, y down."""
    return mapbox_vector_tile.encode(
        [
            {
                "name": name,
                "features": [{"geometry": shape, "properties": tags} for tags, shape in features],
            }
            for name, features in layers.items()
        ],
        default_options={"y_coord_down": True, "extents": EXTENT},
    )


def country(path: Path, middle: Place, zooms: Iterable[int], reach: int = 2) -> Path:
    """Vector tiles with the layers of Protomaps: a river, roads, woods and a village, at each zoom."""
    lines = _lines(middle)
    tiles = [
        (place, gzip.compress(vector({name: _cut(shapes, place) for name, shapes in lines.items()}), mtime=0))
        for zoom in zooms
        for place in around(*middle, zoom, reach)
    ]
    layers = [{"id": name, "fields": {}} for name in lines]
    said = {"attribution": CREDIT, "vector_layers": layers}
    return written(path, tiles, TileType.MVT, middle, said, packed=Compression.GZIP)


RUNWAY: dict[str, object] = {"kind": "aeroway", "kind_detail": "runway"}


def _river(east: float) -> Place:
    return east, 250 * sin(east / 600) - 350


Shapes = list[tuple[dict[str, object], str, list[Place]]]


def _lines(middle: Place) -> dict[str, Shapes]:
    """What there is, by east and north of the middle in meters, brought to latitude and longitude."""

    def at(east: float, north: float) -> Place:
        north_deg = north / 111_200.0
        return middle[0] + north_deg, middle[1] + east / (111_200.0 * cos(radians(middle[0])))

    def along(path: Callable[[float], Place], first: float, last: float, steps: int = 60) -> list[Place]:
        return [at(*path(first + (last - first) * n / steps)) for n in range(steps + 1)]

    def patch(east: float, north: float, size: float, edges: int = 12) -> list[Place]:
        ring = [2 * pi * n / edges for n in range(edges)]
        rough = [size * (1 + 0.25 * sin(3 * a + east)) for a in ring]
        return [at(east + r * cos(a), north + r * sin(a)) for a, r in zip(ring, rough, strict=True)]

    def square(east: float, north: float, wide: float, tall: float) -> list[Place]:
        return [
            at(east + a * wide / 2, north + b * tall / 2) for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
        ]

    houses = [square(-900 + 60 * (n % 6), 620 + 55 * (n // 6), 22, 16) for n in range(24)]
    return {
        "landuse": [
            ({"kind": "forest"}, "POLYGON", patch(1500, 900, 420)),
            ({"kind": "forest"}, "POLYGON", patch(-1300, -1100, 520)),
            ({"kind": "forest"}, "POLYGON", patch(400, -1500, 300)),
            ({"kind": "meadow"}, "POLYGON", patch(700, 300, 330)),
            ({"kind": "residential"}, "POLYGON", square(-750, 700, 480, 330)),
        ],
        "water": [
            ({"kind": "lake"}, "POLYGON", patch(1200, -700, 260)),
            ({"kind": "river"}, "LINESTRING", along(_river, -9000, 9000, 240)),
        ],
        "buildings": [({"kind": "building"}, "POLYGON", ring) for ring in houses],
        "roads": [
            ({"kind": "highway"}, "LINESTRING", along(lambda e: (e, 0.3 * e + 1300), -9000, 9000)),
            ({"kind": "major_road"}, "LINESTRING", along(lambda n: (0.15 * n - 420, n), -9000, 9000)),
            ({"kind": "minor_road"}, "LINESTRING", along(lambda e: (e, 640 - 0.1 * e), -2500, 2500)),
            ({"kind": "path"}, "LINESTRING", along(lambda n: (300 + n / 9, n), -2500, 2500)),
            ({"kind": "rail"}, "LINESTRING", along(lambda e: (e, -0.42 * e - 900), -9000, 9000)),
            (RUNWAY, "LINESTRING", along(lambda e: (e, 0.5 * e - 900), -600, 100)),
        ],
        "places": [
            ({"kind": "locality", "name": "Inventon", "population": 800}, "POINT", [at(-760, 720)]),
            ({"kind": "locality", "name": "Nowhere Ferry", "population": 40}, "POINT", [at(1150, -250)]),
        ],
    }  # fmt: skip


def _cut(shapes: Shapes, tile: tuple[int, int, int]) -> list[tuple[dict[str, object], str]]:
    """What reaches into a tile, in its 4096ths."""
    found = []
    for tags, kind, places in shapes:
        xy = []
        for latitude, longitude in places:
            column, row = tile_place(latitude, longitude, tile[0])
            xy.append((round((column - tile[1]) * EXTENT), round((row - tile[2]) * EXTENT)))
        rim = EXTENT // 2
        near = [n for n, (x, y) in enumerate(xy) if -rim <= x <= EXTENT + rim and -rim <= y <= EXTENT + rim]
        if not near:
            continue
        if kind == "LINESTRING":
            xy = xy[max(near[0] - 1, 0) : near[-1] + 2]
        said = ", ".join(f"{x} {y}" for x, y in ([*xy, xy[0]] if kind == "POLYGON" else xy))
        found.append((tags, f"{kind}(({said}))" if kind == "POLYGON" else f"{kind}({said})"))
    return found
