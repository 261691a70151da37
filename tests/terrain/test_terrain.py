"""Ground elevation from a GeoTIFF: against planes in closed form and rasterio's own sampling."""

from __future__ import annotations

import json
import sys
from math import radians
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import rasterio
from pyproj import Transformer
from rasterio.transform import from_origin

from groundref.cli import main
from groundref.errors import InputError, UsageError
from groundref.terrain import terrain

ROWS, COLUMNS, CELL = 60, 80, 0.001  # cells, cells, [deg]
WEST, NORTH = -90.24, 40.13
ONE_MILLIMETRE = 1e-3


def plane(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Return an inclined plane, which bilinear interpolation shows exactly [m]."""
    return 200.0 + 300.0 * (x - WEST) - 150.0 * (y - NORTH)


def centers() -> tuple[np.ndarray, np.ndarray]:
    columns, rows = np.meshgrid(np.arange(COLUMNS), np.arange(ROWS))
    return WEST + (columns + 0.5) * CELL, NORTH - (rows + 0.5) * CELL


def write(path: Path, values: np.ndarray, *, unit: str | None = None, **profile: Any) -> str:
    """Write a terrain file."""
    settings = {
        "driver": "GTiff",
        "height": values.shape[0],
        "width": values.shape[1],
        "count": 1,
        "dtype": str(values.dtype),
        "crs": "EPSG:4326",
        "transform": from_origin(WEST, NORTH, CELL, CELL),
    }
    with rasterio.open(path, "w", **{**settings, **profile}) as dataset:
        dataset.write(values, 1)
        if unit is not None:
            dataset.units = (unit,)
    return str(path)


@pytest.fixture
def places() -> tuple[np.ndarray, np.ndarray]:
    """Return longitude and latitude of places well inside [deg]."""
    generator = np.random.default_rng(7)
    x = WEST + CELL * (1 + (COLUMNS - 2) * generator.random(200))
    y = NORTH - CELL * (1 + (ROWS - 2) * generator.random(200))
    return x, y


def at(path: str, x: np.ndarray, y: np.ndarray) -> np.ndarray:
    return terrain(path)(np.radians(y), np.radians(x))


def test_a_plane_is_shown_exactly(tmp_path: Path, places: tuple[np.ndarray, np.ndarray]) -> None:
    path = write(tmp_path / "dem.tif", plane(*centers()))
    assert at(path, *places) == pytest.approx(plane(*places), abs=ONE_MILLIMETRE)


def test_at_the_centers_it_is_what_rasterio_samples(tmp_path: Path) -> None:
    values = np.random.default_rng(3).normal(200, 40, (ROWS, COLUMNS))
    path = write(tmp_path / "dem.tif", values)
    x, y = (grid[5:15, 5:25].ravel() for grid in centers())
    with rasterio.open(path) as dataset:
        sampled = np.array([value[0] for value in dataset.sample(zip(x, y, strict=True))])
    assert at(path, x, y) == pytest.approx(sampled, abs=ONE_MILLIMETRE)


def test_a_projected_file(tmp_path: Path, places: tuple[np.ndarray, np.ndarray]) -> None:
    """UTM zone 15 north holds the place; a plane there in eastings and northings is shown exactly."""
    x, y = places
    to_utm = Transformer.from_crs("EPSG:4326", "EPSG:32615", always_xy=True)
    east, north = to_utm.transform(x, y)
    corner = from_origin(east.min() - 500, north.max() + 500, 90, 90)
    columns, rows = np.meshgrid(np.arange(120), np.arange(120))
    grid = 0.01 * (columns + 0.5) * 90 + 0.02 * (rows + 0.5) * 90
    path = write(tmp_path / "utm.tif", grid, crs="EPSG:32615", transform=corner)
    expected = 0.01 * (east - corner.c) + 0.02 * (corner.f - north)
    assert at(path, x, y) == pytest.approx(expected, abs=ONE_MILLIMETRE)


@pytest.mark.parametrize(
    ("unit", "metres"), [("metre", 1.0), ("ft", 0.3048), ("US survey foot", 1200 / 3937)]
)
def test_vertical_units(
    unit: str, metres: float, tmp_path: Path, places: tuple[np.ndarray, np.ndarray]
) -> None:
    path = write(tmp_path / "dem.tif", plane(*centers()), unit=unit)
    assert at(path, *places) == pytest.approx(plane(*places) * metres, abs=ONE_MILLIMETRE)


def test_outside_and_without_a_value_it_cannot_be_told(tmp_path: Path) -> None:
    values = plane(*centers()).astype(np.float32)
    values[20:30, 20:30] = -9999
    path = write(tmp_path / "dem.tif", values, nodata=-9999)
    hole = (WEST + 25 * CELL, NORTH - 25 * CELL)
    good = (WEST + 50 * CELL, NORTH - 40 * CELL)
    x, y = np.array([[-91.0, 40.1], hole, good]).T
    assert np.isfinite(at(path, x, y)).tolist() == [False, False, True]


def test_the_outermost_cells_count_to_their_centers(tmp_path: Path) -> None:
    path = write(tmp_path / "dem.tif", plane(*centers()))
    x, y = centers()
    corners = np.array([x[0, 0], x[-1, -1]]), np.array([y[0, 0], y[-1, -1]])
    assert at(path, *corners) == pytest.approx(plane(*corners), abs=ONE_MILLIMETRE)


def test_a_flight_elsewhere_is_refused(tmp_path: Path) -> None:
    path = write(tmp_path / "dem.tif", plane(*centers()))
    with pytest.raises(InputError, match="no place of the flight lies within"):
        terrain(path)(np.array([radians(10.0)]), np.array([radians(10.0)]))


def test_what_is_no_terrain_file(tmp_path: Path) -> None:
    (tmp_path / "text.tif").write_text("no picture")
    with pytest.raises(InputError, match="not a GeoTIFF"):
        terrain(str(tmp_path / "text.tif"))
    with pytest.raises(InputError, match="there is no such file"):
        terrain(str(tmp_path / "missing.tif"))
    with pytest.raises(InputError, match="'fathom' are not known"):
        terrain(write(tmp_path / "dem.tif", plane(*centers()), unit="fathom"))


def test_other_formats_are_not_followed(tmp_path: Path) -> None:
    """A virtual raster could send the reader to another file or address."""
    real = write(tmp_path / "dem.tif", plane(*centers()))
    source = f"<SimpleSource><SourceFilename>{real}</SourceFilename><SourceBand>1</SourceBand></SimpleSource>"
    band = f'<VRTRasterBand dataType="Float64" band="1">{source}</VRTRasterBand>'
    size = f'rasterXSize="{COLUMNS}" rasterYSize="{ROWS}"'
    (tmp_path / "other.tif").write_text(f"<VRTDataset {size}>{band}</VRTDataset>")
    with pytest.raises(InputError, match="not a GeoTIFF"):
        terrain(str(tmp_path / "other.tif"))


def test_without_its_package_it_says_what_to_install(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "rasterio", None)
    with pytest.raises(UsageError, match=r"install requirements/terrain\.txt"):
        terrain(str(tmp_path / "dem.tif"))


def test_the_debrief_uses_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Over flat ground at the simulated elevation, heights are those of --ground-ft."""
    monkeypatch.chdir(tmp_path)
    flat = np.full((200, 300), 620 * 0.3048)
    write(tmp_path / "dem.tif", flat, transform=from_origin(-90.4, 40.2, CELL, CELL))
    assert main(["simulate", "turns-around-a-point", "-o", "lesson.gpx"]) == 0
    heights = []
    for option in (["--terrain", "dem.tif"], ["--ground-ft", "620"]):
        assert main(["debrief", "lesson.gpx", *option, "--json", "d.json", "--quiet"]) == 0
        (maneuver,) = json.loads(Path("d.json").read_text("utf-8"))["maneuvers"]
        heights.append(maneuver["altitude"]["height_agl_ft"])
    assert heights[0] == pytest.approx(heights[1], abs=0.11)
    assert main(["debrief", "lesson.gpx", "--terrain", "dem.tif", "--ground-ft", "620"]) == 2
