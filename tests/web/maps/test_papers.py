"""Places on pictures and tiles, against formulas and geodesics that are not ours."""

from __future__ import annotations

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic

from groundref.geo.frame import LocalFrame
from groundref.web.maps.mercator import geographic, world
from groundref.web.maps.papers import MOST, Flat, Local, placed, tiles, zoom_for
from tests.web.maps.invented import tile_place

PLACES = [(40.1, -90.2), (0.0, 0.0), (-33.9, 179.99), (64.5, -21.0), (-54.8, -68.3)]


def paper(latitude: float, longitude: float, scale: float = 0.25) -> Local:
    return Local(LocalFrame(*np.radians([latitude, longitude])), 250.0, 400.0, scale, 640.0, 612.0)


@pytest.mark.parametrize(("latitude", "longitude"), PLACES)
def test_the_square_is_that_of_tiles(latitude: float, longitude: float) -> None:
    u, v = world(*np.radians([latitude, longitude]))
    assert (u * 2**15, v * 2**15) == pytest.approx(tile_place(latitude, longitude, 15))
    assert np.degrees(geographic(u, v)) == pytest.approx((latitude, longitude))


@pytest.mark.parametrize(("latitude", "longitude"), PLACES)
@pytest.mark.parametrize("scale", [0.8, 0.25, 0.05])
def test_every_place_on_a_tile_is_where_the_ellipsoid_has_it(
    latitude: float, longitude: float, scale: float
) -> None:
    """Tiles by the published formula, the picture by geodesics of geographiclib (Karney 2013)."""
    picture = paper(latitude, longitude, scale)
    zoom = zoom_for(picture, 256, least=0, most=17)
    found = {(tile.wrapped, tile.row): tile for tile in tiles(picture, zoom)}
    for x, y in ((20, 20), (600, 40), (320, 300), (30, 590), (630, 600)):
        east, north = (x - picture.x) / scale, (picture.y - y) / scale
        there = Geodesic.WGS84.Direct(
            latitude, longitude, np.degrees(np.arctan2(east, north)), np.hypot(east, north)
        )
        column, row = tile_place(there["lat2"], there["lon2"], zoom)
        tile = found[int(column) % 2**zoom, int(row)]
        a, b, c, d, e, f = placed(picture, tile)
        across, down = column % 1, row % 1
        where = a * across + c * down + e, b * across + d * down + f
        assert where == pytest.approx((x, y), abs=0.1)


def test_what_a_tile_leaves_out_is_as_stated() -> None:
    """Its worst place is off by no more than l L tan(latitude) / 4R, and not by far less."""
    picture = paper(60.0, 10.0, 0.02)
    zoom = zoom_for(picture, 256, least=0, most=17)
    grid = np.linspace(0.0, 1.0, 21)
    across, down = (each.ravel() for each in np.meshgrid(grid, grid))
    for tile in tiles(picture, zoom):
        a, b, c, d, e, f = placed(picture, tile)
        x, y = picture.xy((tile.column + across) / 2**zoom, (tile.row + down) / 2**zoom)
        off = np.hypot(a * across + c * down + e - x, b * across + d * down + f - y).max()
        stated = a * (a / picture.scale) * np.tan(np.radians(60.0)) / (4 * 6.371e6)
        assert 0.5 * stated < off < 1.2 * stated


def test_tiles_have_about_the_size_that_they_are_meant_for() -> None:
    for scale in (0.02, 0.1, 0.3, 0.9):
        picture = paper(47.0, 8.0, scale)
        first = next(tiles(picture, zoom_for(picture, 256, least=0, most=20)))
        assert 256 / 1.45 < placed(picture, first)[0] < 256 * 1.45


def test_past_the_last_meridian_tiles_go_on() -> None:
    picture = paper(-17.0, 179.999)
    found = list(tiles(picture, 14))
    assert {0, 2**14 - 1} <= {tile.wrapped for tile in found}
    assert len({tile.column for tile in found}) < 6


def test_a_picture_too_wide_for_its_map_has_no_tiles() -> None:
    assert list(tiles(paper(40.0, -90.0, 0.001), 14)) == []
    assert len(list(tiles(paper(40.0, -90.0, 0.05), 14))) in range(1, MOST + 1)


def test_a_flat_map_shows_tiles_as_they_are() -> None:
    picture = Flat(*(float(one) for one in world(*np.radians([40.1, -90.2]))), 12, 640.0, 480.0)
    assert zoom_for(picture, 256, least=0, most=17) == 12
    for tile in tiles(picture, 12):
        a, b, c, d, _, _ = placed(picture, tile)
        assert (a, b, c, d) == pytest.approx((256, 0, 0, 256), abs=1e-6)
