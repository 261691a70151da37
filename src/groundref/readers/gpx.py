"""GPX 1.0 and 1.1: the recorded tracks of a file, point by point.

The schema (GPX 1.1, topografix.com/GPX/1/1) gives `ele` in metres above mean sea level, `time` in UTC,
`geoidheight` as the height of the geoid above the ellipsoid; GPX 1.0 adds `speed` in m/s and `course` in
degrees true, which in 1.1 stand among the extensions and are found there by their local names.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.errors import InputError, NothingToWorkOnError
from groundref.readers._assemble import assemble
from groundref.readers._cells import floats
from groundref.readers._source import Source
from groundref.readers._times import iso_moments
from groundref.readers._xml import DEEPEST, ElementStream, local_name
from groundref.track.counting import counted
from groundref.track.recording import Recording

Floats = NDArray[np.float64]

_LEAVES: Final = frozenset({"ele", "time", "speed", "course", "geoidheight"})
_OTHER_POINTS: Final = ("rtept", "wpt")
_FLUSH: Final = 20_000  # points held as text before they become numbers; bounds the memory of a long file


@dataclass(slots=True)
class _Points:
    """Points as text, and in numbers once there are many."""

    latitude: list[str | None] = field(default_factory=list)
    longitude: list[str | None] = field(default_factory=list)
    part: list[int] = field(default_factory=list)
    row: dict[str, list[int]] = field(default_factory=lambda: {name: [] for name in _LEAVES})
    text: dict[str, list[str]] = field(default_factory=lambda: {name: [] for name in _LEAVES})
    blocks: list[dict[str, Floats]] = field(default_factory=list)
    counts: list[int] = field(default_factory=list)
    without_zone: int = 0

    def flush(self) -> None:
        """Turn the points held as text into numbers."""
        count = len(self.latitude)
        block = {
            "latitude": floats(self.latitude),
            "longitude": floats(self.longitude),
            "part": np.array(self.part, dtype=np.float64),
        }
        for name in _LEAVES:
            if not self.row[name]:
                continue
            block[name] = np.full(count, np.nan)
            if name == "time":
                moments = iso_moments(self.text[name])
                self.without_zone += moments.without_zone
                values = moments.seconds
            else:
                values = floats(self.text[name])
            block[name][self.row[name]] = values
            self.row[name].clear()
            self.text[name].clear()
        self.blocks.append(block)
        self.counts.append(count)
        for held in (self.latitude, self.longitude, self.part):
            held.clear()

    def drop_last(self) -> None:
        """Forget the point that was begun last."""
        self.latitude.pop()
        self.longitude.pop()
        self.part.pop()
        count = len(self.latitude)
        for name in _LEAVES:
            while self.row[name] and self.row[name][-1] >= count:
                self.row[name].pop()
                self.text[name].pop()

    def column(self, name: str) -> Floats | None:
        """Return one column over the whole file, or None when no point has it; lets go of its blocks."""
        if not any(name in block for block in self.blocks):
            return None
        return np.concatenate(
            [
                block.pop(name, np.full(count, np.nan))
                for block, count in zip(self.blocks, self.counts, strict=True)
            ]
        )


class _Walker:
    """What to do at each element: tracks are kept, routes and waypoints counted."""

    def __init__(self, name: str) -> None:
        self.points = _Points()
        self.stream = ElementStream(self._start, self._end, name)
        self.others = dict.fromkeys(_OTHER_POINTS, 0)
        self.in_point = False
        self._part = 0
        self._depth = 0
        self._leaf: str | None = None
        self._local: dict[str, str] = {}

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        self._depth += 1
        local = self._local.get(name) or self._learn(name)
        if self.in_point:
            if local in _LEAVES:
                self._leaf = name
                self.stream.start_text()
        elif local == "trkpt":
            points = self.points
            points.latitude.append(attributes.get("lat"))
            points.longitude.append(attributes.get("lon"))
            points.part.append(self._part)
            self.in_point = True
        elif local == "trkseg":
            self._part += bool(self.points.blocks or self.points.latitude)
        elif local in self.others:
            self.others[local] += 1
        if self._depth > DEEPEST:
            raise self.stream.refuse(f"elements are nested more than {DEEPEST} deep")

    def _end(self, name: str) -> None:
        self._depth -= 1
        if name == self._leaf:
            local = self._local[name]
            points = self.points
            points.text[local].append(self.stream.end_text())
            points.row[local].append(len(points.latitude) - 1)
            self._leaf = None
        elif self.in_point and self._local[name] == "trkpt":
            self.in_point = False
            if len(self.points.latitude) >= _FLUSH:
                self.points.flush()

    def _learn(self, name: str) -> str:
        if len(self._local) > 10_000:
            raise self.stream.refuse("has thousands of different elements")
        self._local[name] = local_name(name)
        return self._local[name]


def read_gpx(source: Source) -> Recording:
    """Read the tracks of a GPX file.

    A file that breaks off keeps the points before the break, with a note, when there are at least two.

    Raises
    ------
    InputError
        When the file cannot be read, holds only a route or waypoints, or its track has no times.
    NothingToWorkOnError
        When its track is empty.
    """
    walker = _Walker(source.name)
    breaks = walker.stream.run(_from_first_letter(source.blocks()))
    points = walker.points
    if breaks and walker.in_point:
        points.drop_last()
    points.flush()
    _require_track(walker, sum(points.counts), breaks, source)
    seconds = points.column("time")
    if seconds is None or not np.isfinite(seconds).any():
        raise InputError(
            "has a track without readable times, so that no speed can be known",
            f"{source.name}: time",
            "export it again with the time of each point",
        )
    part = points.column("part")
    channels = _channels(points)
    return assemble(
        source.name,
        "gpx",
        seconds,
        channels,
        part=None if part is None else part.astype(np.int64),
        notes=_notes(points, breaks, source.cut_short, "altitude_msl" in channels),
    )


def _from_first_letter(blocks: Iterator[bytes]) -> Iterator[bytes]:
    """Drop blank lines ahead of the document, which some programs write and no XML parser allows."""
    yield next(blocks, b"").lstrip(b" \t\r\n")
    yield from blocks


def _require_track(walker: _Walker, count: int, breaks: str | None, source: Source) -> None:
    where, _, what = (breaks or "").partition(": ")
    if breaks and count < 2:
        raise InputError(
            f"is not whole XML ({what})", f"{source.name}: {where}", "copy it again from the recorder"
        )
    if count:
        return
    route, waypoints = walker.others["rtept"], walker.others["wpt"]
    if route or waypoints:
        raise InputError(
            f"has {counted(route, 'route point')} and {counted(waypoints, 'waypoint')} but no recorded track",
            source.name,
            "export the track that was flown, not the plan",
        )
    raise NothingToWorkOnError("has no track point", source.name, "export the track that was flown")


def _channels(points: _Points) -> dict[str, Floats]:
    channels = {
        "latitude": points.column("latitude"),
        "longitude": points.column("longitude"),
        "altitude_msl": points.column("ele"),
        "ground_speed": points.column("speed"),
        "track": points.column("course"),
    }
    for name in ("latitude", "longitude", "track"):
        if (angle := channels[name]) is not None:
            np.radians(angle, out=angle)
    elevation, geoid = channels["altitude_msl"], points.column("geoidheight")
    if elevation is not None and geoid is not None:
        channels["altitude_ellipsoid"] = elevation + geoid
    return {name: values for name, values in channels.items() if values is not None}


def _notes(points: _Points, breaks: str | None, cut_short: bool, elevation: bool) -> tuple[str, ...]:
    notes = []
    if breaks:
        how = "the packed file ends too early" if cut_short else breaks
        notes.append(
            f"The file is not whole ({how}): the {sum(points.counts)} points before the break were kept."
        )
    if points.without_zone:
        notes.append(f"{counted(points.without_zone, 'time')} had no time zone in the file; UTC was assumed.")
    if elevation:
        notes.append(
            "Elevation is taken as above mean sea level, as GPX says; some devices write another datum."
        )
    return tuple(notes)
