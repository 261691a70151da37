"""Flights of real airplanes, from the sample recordings inside the package `traffic`.

They were received by ADS-B ground stations. The package's metadata says MIT licence; there is no separate
licence for the sample data in it. They are therefore used as test input from the installed package only and
are no part of this repository; nothing in them names a place, a person or an airplane here.
"""

from __future__ import annotations

import gzip
from importlib.util import find_spec
from io import BytesIO
from pathlib import Path
from typing import Final

import polars as pl

import groundref
from groundref.track.recording import Recording

KNOT: Final = 1852.0 / 3600.0
FOOT: Final = 0.3048
CATEGORIES: Final = ("ambulances", "calibration", "gliders", "surveys", "tv_relay")
GAP: Final = 6 * 3600 * 1000
"""[ms] between two samples of one airplane, from which they belong to two flights."""


def names(category: str) -> list[str]:
    """Return the names of the samples of a category that are tables."""
    return [path.name.removesuffix(".json.gz") for path in sorted(_folder(category).glob("*.json.gz"))]


def table(category: str, name: str) -> pl.DataFrame | None:
    """Return a sample as a table; None when it is something else than one row a sample."""
    text = gzip.decompress((_folder(category) / f"{name}.json.gz").read_bytes())
    rows = pl.read_json(BytesIO(text), infer_schema_length=None)
    return rows if "timestamp" in rows.columns and rows["timestamp"].dtype.is_numeric() else None


def first_flight(rows: pl.DataFrame) -> pl.DataFrame:
    """Return the first airplane's first flight."""
    own = rows.filter(pl.col("icao24") == rows["icao24"][0]).sort("timestamp")
    begins = own["timestamp"].diff().fill_null(0) > GAP
    return own.filter(begins.cum_sum() == 0)


def recording(category: str, name: str, folder: Path) -> Recording | None:
    """Return a sample's first flight as read from a table of state vectors; None when it is no table."""
    rows = table(category, name)
    if rows is None:
        return None
    flight = first_flight(rows)
    path = folder / f"{name}.csv"
    columns = {
        "time": pl.col("timestamp") // 1000,
        "icao24": pl.col("icao24"),
        "lat": pl.col("latitude"),
        "lon": pl.col("longitude"),
        "velocity": pl.col("groundspeed") * KNOT,
        "heading": pl.col("track") % 360,
        "callsign": pl.lit("TEST"),
        "onground": pl.lit("false"),
        "baroaltitude": pl.col("altitude") * FOOT,
    }
    if "vertical_rate" in flight.columns:
        columns["vertrate"] = pl.col("vertical_rate") * FOOT / 60.0
    flight.select(**columns).write_csv(path)
    return groundref.read(path)


def _folder(category: str) -> Path:
    package = find_spec("traffic")
    if package is None or package.origin is None:
        raise RuntimeError("the package traffic is not installed; it is in requirements/test.txt")
    return Path(package.origin).parent / "data" / "samples" / category
