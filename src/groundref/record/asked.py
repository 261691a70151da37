"""How a lesson's debrief is asked for, kept with the lesson so that it can be worked out anew years later."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from io import BytesIO
from math import cos, radians, sin
from typing import TYPE_CHECKING, Any

import msgspec

from groundref.units import foot, hectopascal, knot

if TYPE_CHECKING:
    from groundref.debriefing import Debrief
    from groundref.track.recording import Recording

Degrees = tuple[float, float]


class Stretch(msgspec.Struct, frozen=True):
    """A stretch of the flight that the instructor says what it was.

    Attributes
    ----------
    start, end
        The stretch, UTC.
    kind
        What was flown; None for no maneuver.
    """

    start: datetime
    end: datetime
    kind: str | None


class Asked(msgspec.Struct, frozen=True, omit_defaults=True):
    """What a debrief is asked with; None where nothing was said.

    Attributes
    ----------
    standard, airplane
        Text of their data files, so that a later edition changes nothing.
    ground_ft
        Elevation of the ground.
    altimeter_hpa
        Altimeter setting.
    wind_from_deg, wind_kt
        A wind that is known, true.
    start, end
        Look only at this part of the flight, UTC.
    point, line, corners, pylons, runway
        Places on the ground, latitude and longitude of each in degrees.
    pylon_ft
        Elevation of the ground at each pylon.
    columns
        Text of the file that says which column of a table holds what.
    said
        Stretches that the instructor says what they were.
    on_the_ground
        Whether it is a try, flown on the ground; its recording said so when it was brought.
    """

    standard: str | None = None
    airplane: str | None = None
    ground_ft: float | None = None
    altimeter_hpa: float | None = None
    wind_from_deg: float | None = None
    wind_kt: float | None = None
    start: datetime | None = None
    end: datetime | None = None
    point: Degrees | None = None
    line: tuple[Degrees, Degrees] | None = None
    corners: tuple[Degrees, Degrees, Degrees, Degrees] | None = None
    pylons: tuple[Degrees, Degrees] | None = None
    runway: tuple[Degrees, Degrees] | None = None
    pylon_ft: tuple[float, float] | None = None
    columns: str | None = None
    said: tuple[Stretch, ...] = ()
    on_the_ground: bool = False

    def to_json(self) -> str:
        """Return it as JSON, what was not said left out."""
        return msgspec.json.encode(self).decode()


def asked_in(text: str) -> Asked:
    """Return what ``Asked.to_json`` wrote."""
    return msgspec.json.decode(text, type=Asked)


def debriefed(parts: Sequence[tuple[str, bytes]], asked: Asked) -> Debrief:
    """Debrief a flight from the bytes of its recordings.

    Parameters
    ----------
    parts
        Name and content of each part of the flight, in any order.
    asked
        How.

    Raises
    ------
    InputError, NothingToWorkOnError, UsageError
        As reading and debriefing do.
    """
    return concluded(recording_of(parts, asked.columns), asked)


def concluded(recording: Recording, asked: Asked) -> Debrief:
    """Debrief a recording that was read.

    Parameters
    ----------
    recording
        The whole of it.
    asked
        How.

    Raises
    ------
    InputError, NothingToWorkOnError, UsageError
        As debriefing does.
    """
    # A list of lessons needs none of these, which take longer to load than it takes to read.
    from groundref.aircraft.loading import parse_aircraft
    from groundref.debriefing import debrief
    from groundref.standards.loading import parse_standard

    wind = None
    if asked.wind_kt is not None and asked.wind_from_deg is not None:
        toward, speed = radians(asked.wind_from_deg + 180), asked.wind_kt * knot
        wind = (speed * sin(toward), speed * cos(toward))
    return debrief(
        recording,
        standard=None if asked.standard is None else parse_standard(asked.standard, "standard"),
        aircraft=None if asked.airplane is None else parse_aircraft(asked.airplane, "airplane"),
        ground=None if asked.ground_ft is None else asked.ground_ft * foot,
        altimeter=None if asked.altimeter_hpa is None else asked.altimeter_hpa * hectopascal,
        wind=wind,
        start=asked.start,
        end=asked.end,
        said=[(each.start, each.end, each.kind) for each in asked.said],
        **_places(asked),
    )


def recording_of(parts: Sequence[tuple[str, bytes]], columns: str | None = None) -> Recording:
    """Read the parts of one flight from their bytes.

    Parameters
    ----------
    parts
        Name and content of each.
    columns
        Text of the file that says which column of a table holds what.
    """
    from groundref.readers import read
    from groundref.track.joining import join

    mapping = None if columns is None else columns.encode()
    found = [
        read(_Named(content, name), columns=None if mapping is None else _Named(mapping, "columns"))
        for name, content in parts
    ]
    return found[0] if len(found) == 1 else join(found)


class _Named(BytesIO):
    """Bytes that are read like a file of that name."""

    def __init__(self, content: bytes, name: str) -> None:
        super().__init__(content)
        self.name = name


def _places(asked: Asked) -> dict[str, Any]:
    """Return the places as ``debrief`` takes them [rad, m]."""
    found: dict[str, Any] = {
        name: None if places is None else tuple(_radians(place) for place in places)
        for name in ("line", "corners", "pylons", "runway")
        for places in (getattr(asked, name),)
    }
    found["point"] = None if asked.point is None else _radians(asked.point)
    feet = asked.pylon_ft
    found["pylon_elevations"] = None if feet is None else (feet[0] * foot, feet[1] * foot)
    return found


def _radians(place: Degrees) -> Degrees:
    return radians(place[0]), radians(place[1])
