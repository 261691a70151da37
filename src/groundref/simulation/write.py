"""Writing a recording as the file that its recorder would leave: GPX, a panel's CSV, ADS-B state vectors."""

from __future__ import annotations

import csv
import gzip
import io
import json
from collections.abc import Callable, Sequence
from datetime import timedelta
from math import isfinite
from pathlib import Path
from typing import Final
from xml.sax.saxutils import escape

import numpy as np
from numpy.typing import NDArray

from groundref import writing
from groundref.errors import UsageError
from groundref.track.recording import Recording
from groundref.units import celsius_zero, degree, foot, foot_per_minute, knot, standard_gravity

Floats = NDArray[np.float64]

# Heading in a panel's log, channel, unit, decimals.
_PANEL: Final = (
    ("Latitude (deg)", "latitude", degree, 7),
    ("Longitude (deg)", "longitude", degree, 7),
    ("Altitude MSL (ft)", "altitude_msl", foot, 0),
    ("Altitude WGS84 (ft)", "altitude_ellipsoid", foot, 0),
    ("Pressure Altitude (ft)", "altitude_pressure", foot, 0),
    ("Indicated Airspeed (kt)", "indicated_airspeed", knot, 1),
    ("True Airspeed (kt)", "true_airspeed", knot, 1),
    ("Ground Speed (kt)", "ground_speed", knot, 2),
    ("Track True (deg)", "track", degree, 2),
    ("Heading True (deg)", "heading", degree, 1),
    ("Heading Magnetic (deg)", "heading_magnetic", degree, 1),
    ("Bank (deg)", "bank", degree, 2),
    ("Pitch (deg)", "pitch", degree, 2),
    ("Vertical Speed (fpm)", "vertical_speed", foot_per_minute, 0),
    ("Lateral Acceleration (g)", "lateral_acceleration", standard_gravity, 3),
    ("Normal Acceleration (g)", "normal_acceleration", standard_gravity, 3),
    ("Outside Air Temperature (degC)", "temperature", 1.0, 1),
)
# Name in a table of state vectors, channel, unit, decimals.
_STATE_VECTOR: Final = (
    ("latitude_deg", "latitude", degree, 6),
    ("longitude_deg", "longitude", degree, 6),
    ("ground_speed_kt", "ground_speed", knot, 3),
    ("track_deg", "track", degree, 3),
    ("vertical_rate_fpm", "vertical_speed", foot_per_minute, 0),
    ("baro_altitude_ft", "altitude_pressure", foot, 0),
    ("geo_altitude_ft", "altitude_ellipsoid", foot, 0),
    ("altitude_msl_ft", "altitude_msl", foot, 1),
)
_ADDRESS: Final = "f00000"  # belongs to no State's block of addresses


def write(recording: Recording, path: str | Path) -> None:
    """Write a recording, completely or not at all.

    Parameters
    ----------
    recording
        What to write.
    path
        `.gpx` for a phone's track, `.csv` for a panel's log (for ADS-B state vectors when the recording says
        whether it was on the ground), `.json` for ADS-B state vectors; each also with `.gz` behind it.

    Raises
    ------
    UsageError
        When the suffix is none of these.
    OutputError
        When the file cannot be written.
    """
    writing.write(str(path), to_bytes(recording, path))


def to_bytes(recording: Recording, path: str | Path) -> bytes:
    """Return the content of the file that ``write`` writes.

    Parameters
    ----------
    recording
        What to write.
    path
        Its name says the format, as for ``write``.

    Raises
    ------
    UsageError
        When the suffix is none that can be written.
    """
    target = Path(path)
    suffixes = [suffix.lower() for suffix in target.suffixes]
    packed = bool(suffixes) and suffixes[-1] == ".gz"
    kind = suffixes[-2] if packed and len(suffixes) > 1 else suffixes[-1] if suffixes else ""
    writer = _WRITERS.get(kind)
    if writer is None:
        raise UsageError(
            "the name does not say which format to write",
            str(target),
            "end it in .gpx, .csv or .json, each with or without .gz",
        )
    content = writer(recording).encode("utf-8")
    return gzip.compress(content, mtime=0) if packed else content


def _stamps(recording: Recording) -> list[str]:
    """Return the times as UTC in ISO 8601, to the millisecond."""
    return [
        (recording.epoch + timedelta(milliseconds=round(second * 1000.0)))
        .isoformat(timespec="milliseconds")
        .replace("+00:00", "Z")
        for second in recording.time.tolist()
    ]


def _gpx(recording: Recording) -> str:
    """Return GPX 1.1, one segment per part of the recording."""
    points = _gpx_points(recording)
    parts = recording.part if recording.part is not None else np.zeros(len(recording), dtype=np.int64)
    breaks = np.flatnonzero(np.diff(parts)) + 1
    segments = [
        "<trkseg>\n" + "\n".join(points[first:last]) + "\n</trkseg>"
        for first, last in zip([0, *breaks], [*breaks, len(points)], strict=True)
    ]
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<gpx version="1.1" creator="groundref" xmlns="http://www.topografix.com/GPX/1/1">\n'
        f"<trk><name>{escape(recording.source)}</name>\n" + "\n".join(segments) + "\n</trk>\n</gpx>\n"
    )


def _gpx_points(recording: Recording) -> list[str]:
    heights = (
        [f"<ele>{height:.1f}</ele>" if isfinite(height) else "" for height in recording.altitude_msl.tolist()]
        if recording.altitude_msl is not None
        else [""] * len(recording)
    )
    places = zip(
        (recording.latitude / degree).tolist(),
        (recording.longitude / degree).tolist(),
        heights,
        _stamps(recording),
        strict=True,
    )
    return [
        f'<trkpt lat="{latitude:.7f}" lon="{longitude:.7f}">{height}<time>{stamp}</time></trkpt>'
        for latitude, longitude, height, stamp in places
    ]


def _csv(recording: Recording) -> str:
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\n")
    if recording.on_ground is not None:
        rows = _state_vectors(recording)
        table.writerow(rows[0])
        table.writerows(list(row.values()) for row in rows)
        return text.getvalue()
    names, columns = _columns(recording, _PANEL)
    text.write(
        f"# {recording.source}; times UTC; WGS 84; bank and lateral acceleration positive to the right\n"
    )
    table.writerow(["Time (UTC)", *names])
    table.writerows(zip(_stamps(recording), *(map(_cell, column) for column in columns), strict=True))
    return text.getvalue()


def _json(recording: Recording) -> str:
    rows = ",\n".join(json.dumps(row, allow_nan=False) for row in _state_vectors(recording))
    return f"[\n{rows}\n]\n"


def _state_vectors(recording: Recording) -> list[dict[str, float | str | bool | None]]:
    """Return one row a state vector, with its unit in each name."""
    names, columns = _columns(recording, _STATE_VECTOR)
    ground = [False] * len(recording) if recording.on_ground is None else recording.on_ground.tolist()
    posix = recording.epoch.timestamp()
    return [
        {
            "timestamp": round(posix + second, 3),
            "icao24": _ADDRESS,
            **dict(zip(names, values, strict=True)),
            "on_ground": wheels,
        }
        for second, wheels, *values in zip(recording.time.tolist(), ground, *columns, strict=True)
    ]


def _columns(
    recording: Recording, layout: Sequence[tuple[str, str, float, int]]
) -> tuple[list[str], list[list[float | None]]]:
    """Return the headings and columns of the channels that the recording has, missing values as None."""
    names: list[str] = []
    columns: list[list[float | None]] = []
    for heading, channel, unit, decimals in layout:
        values: Floats | None = getattr(recording, channel)
        if values is None:
            continue
        shown = values - celsius_zero if channel == "temperature" else values / unit
        rounded = np.round(shown, decimals) + 0.0  # no negative zero
        names.append(heading)
        columns.append([value if isfinite(value) else None for value in rounded.tolist()])
    return names, columns


def _cell(value: float | None) -> str:
    return "" if value is None else repr(value)


_WRITERS: Final[dict[str, Callable[[Recording], str]]] = {".gpx": _gpx, ".csv": _csv, ".json": _json}
