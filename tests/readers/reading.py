"""Short ways to read invented text."""

from __future__ import annotations

import io

from groundref.readers import read
from groundref.track.recording import Recording


def read_text(text: str | bytes) -> Recording:
    return read(io.BytesIO(text if isinstance(text, bytes) else text.encode()))


def gpx(points: str, head: str = '<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1">') -> str:
    return f'<?xml version="1.0"?>{head}<trk><trkseg>{points}</trkseg></trk></gpx>'


def point(second: int = 0, latitude: float = 40.0, longitude: float = -90.0, inside: str = "") -> str:
    time = f"<time>2026-05-01T12:00:{second:02}Z</time>"
    return f'<trkpt lat="{latitude}" lon="{longitude}">{time}{inside}</trkpt>'
