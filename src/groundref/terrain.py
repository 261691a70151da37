"""Elevation of the ground from a terrain file (GeoTIFF), interpolated between its cells."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from groundref.errors import InputError, UsageError
from groundref.units import degree, foot

if TYPE_CHECKING:
    from rasterio.io import DatasetReader

Floats = NDArray[np.float64]
Elevation = Callable[[Floats, Floats], Floats]

# What a file may call its vertical unit [m]. The US survey foot is 1200/3937 m exactly.
_UNITS: Final = {
    "": 1.0,
    "m": 1.0,
    "metre": 1.0,
    "meter": 1.0,
    "metres": 1.0,
    "meters": 1.0,
    "ft": foot,
    "foot": foot,
    "feet": foot,
    "us survey foot": 1200 / 3937,
    "ftus": 1200 / 3937,
}


def terrain(path: str) -> Elevation:
    """Open a terrain file and return the elevation of the ground as a function of place.

    Between the centers of four cells the elevation is interpolated bilinearly. Where a cell has no value, and
    outside the file, the elevation is NaN.

    Parameters
    ----------
    path
        A GeoTIFF with elevations above mean sea level in its first band, in any coordinate system that it
        names. Nothing but this one local file is opened.

    Returns
    -------
    callable
        Latitude and longitude [rad] to elevation above mean sea level [m]; it raises InputError where no
        place at all lies within the file.

    Raises
    ------
    UsageError
        When the package that reads it is not installed.
    InputError
        When it is not such a file.
    """
    from pyproj import Transformer

    dataset = _open(path)
    to_file = Transformer.from_crs("EPSG:4326", dataset.crs.to_wkt(), always_xy=True)
    unit = _unit(dataset, path)

    def elevation(latitude: Floats, longitude: Floats) -> Floats:
        x, y = to_file.transform(longitude / degree, latitude / degree)
        cell = ~dataset.transform
        # Whole numbers are the corners of cells; values stand at their centers.
        column = cell.a * np.asarray(x) + cell.b * np.asarray(y) + cell.c - 0.5
        row = cell.d * np.asarray(x) + cell.e * np.asarray(y) + cell.f - 0.5
        ground = _bilinear(dataset, row, column)
        if not np.isfinite(ground).any():
            raise InputError(
                "no place of the flight lies within this terrain file", path, "take one that covers the area"
            )
        return ground * unit

    return elevation


def _open(path: str) -> DatasetReader:
    try:
        import rasterio
    except ImportError as problem:
        raise UsageError(
            "reading terrain needs a package that is not installed",
            "--terrain",
            "install requirements/terrain.txt, or give --ground-ft",
        ) from problem
    if Path(path).is_dir():
        raise InputError("this is a folder, not a terrain file", path, "name the file in it")
    if not Path(path).is_file():
        raise InputError("there is no such file", path, "check the name")
    try:
        # One driver alone: other formats may refer to further files or to addresses.
        dataset = rasterio.open(path, driver="GTiff")
    except rasterio.errors.RasterioIOError as problem:
        raise InputError("this is not a GeoTIFF", path, "give a terrain file in that format") from problem
    if dataset.crs is None:
        raise InputError("the file does not say where on earth it lies", path, "take one with coordinates")
    return dataset


def _unit(dataset: DatasetReader, path: str) -> float:
    name = (dataset.units[0] or "").strip().lower()
    if name not in _UNITS:
        raise InputError(f"elevations in {name!r} are not known", path, "take a file in meters or feet")
    return _UNITS[name]


def _bilinear(dataset: DatasetReader, row: Floats, column: Floats) -> Floats:
    """Interpolate between the centers of cells; NaN outside, and where a cell that counts has no value."""
    # A projection gives infinity for places it cannot show; the tolerance holds an edge's own rounding.
    inside = (row >= -1e-9) & (row <= dataset.height - 1 + 1e-9)
    inside &= (column >= -1e-9) & (column <= dataset.width - 1 + 1e-9)
    ground = np.full(row.shape, np.nan)
    if not inside.any():
        return ground
    row, column = row[inside].clip(0, dataset.height - 1), column[inside].clip(0, dataset.width - 1)
    top, left = int(row.min()), int(column.min())
    cells = _cells(dataset, top, left, int(np.ceil(row.max())), int(np.ceil(column.max())))
    row, column = row - top, column - left
    above, before = row.astype(np.int64), column.astype(np.int64)
    below, after = np.ceil(row).astype(np.int64), np.ceil(column).astype(np.int64)
    down, across = row - above, column - before
    upper = cells[above, before] * (1 - across) + cells[above, after] * across
    lower = cells[below, before] * (1 - across) + cells[below, after] * across
    ground[inside] = upper * (1 - down) + lower * down
    return ground


def _cells(dataset: DatasetReader, top: int, left: int, bottom: int, right: int) -> Floats:
    """Read only the cells about the flight, missing ones as NaN."""
    window = ((top, bottom + 1), (left, right + 1))
    masked = dataset.read(1, window=window, masked=True).astype(np.float64)
    return np.asarray(masked.filled(np.nan) * dataset.scales[0] + dataset.offsets[0])
