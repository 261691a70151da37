"""Places on the ground that the user gives: point, road, rectangle, pylons, runway; read and looked at."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from groundref.asking import words
from groundref.errors import UsageError
from groundref.units import foot, nautical_mile

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike, NDArray

    from groundref.geo.frame import LocalFrame

    Floats = NDArray[np.float64]

Geographic = tuple[float, float]

_LONGEST: Final = 20 * nautical_mile  # places farther apart are a slip of the finger
CHECK: Final = "check latitude, longitude and their signs"


@dataclass(frozen=True, slots=True)
class _Kind:
    """What is expected of one option: how many places, how they are named, how close is too close."""

    option: str
    count: int
    they: str
    shortest: float  # [m]


# A road of 100 m says its direction to no better than a degree or two; pylons of an eight stand farther apart
# than the straight flight between them is long; a field that is practised about is larger than this.
_POINT: Final = _Kind("--point", 1, "", 0.0)
_LINE: Final = _Kind("--line", 2, "the two places on the line", 100.0)
_CORNERS: Final = _Kind("--corners", 4, "two neighboring corners", 100.0)
_PYLONS: Final = _Kind("--pylons", 2, "the pylons", 100.0)
_RUNWAY: Final = _Kind("--runway", 2, "the ends of the runway", 0.0)  # its length is looked at by itself


@dataclass(frozen=True, slots=True)
class Places:
    """What the user said about places on the ground; None where nothing was said.

    Attributes
    ----------
    point, line, corners, pylons, runway
        Latitude and longitude of each place [rad]
    pylon_elevations
        Of the ground at each pylon above mean sea level [m]
    """

    point: tuple[Geographic, ...] | None = None
    line: tuple[Geographic, ...] | None = None
    corners: tuple[Geographic, ...] | None = None
    pylons: tuple[Geographic, ...] | None = None
    runway: tuple[Geographic, ...] | None = None
    pylon_elevations: tuple[float, float] | None = None

    def for_debrief(self) -> dict[str, Any]:
        """Return them as ``debriefing.debrief`` takes them."""
        return {
            "point": self.point[0] if self.point else None,
            "line": self.line,
            "corners": self.corners,
            "pylons": self.pylons,
            "pylon_elevations": self.pylon_elevations,
            "runway": self.runway,
        }


def places(
    *,
    point: str | None = None,
    line: str | None = None,
    corners: str | None = None,
    pylons: str | None = None,
    runway: str | None = None,
    pylon_ft: str | None = None,
) -> Places:
    """Return the places that the options say.

    Parameters
    ----------
    point, line, corners, pylons, runway
        `LAT,LON` of each place in degrees, one after the other; None where an option is not given.
    pylon_ft
        Elevation of the ground at each pylon, `N,N`.

    Raises
    ------
    UsageError
        When one is not the number of places asked for, or they cannot be what they should be.
    """
    if pylon_ft is not None and pylons is None:
        raise UsageError("the pylons that stand on this ground are not given", "--pylon-ft", "give --pylons")
    return Places(
        point=_read(point, _POINT),
        line=_read(line, _LINE),
        corners=_four(corners),
        pylons=_read(pylons, _PYLONS),
        runway=_strip(runway),
        pylon_elevations=None if pylon_ft is None else _elevations(pylon_ft),
    )


def _read(text: str | None, kind: _Kind) -> tuple[Geographic, ...] | None:
    """Return the places of one option, looked at."""
    if text is None:
        return None
    found = words.positions(text, kind.count, kind.option)
    if kind.count > 1:
        _check_apart(found, kind)
    return found


def _four(text: str | None) -> tuple[Geographic, ...] | None:
    """Return the corners of a rectangle, in order round it."""
    found = _read(text, _CORNERS)
    if found is not None:
        from groundref.detection.rectangle import rectangle_from_corners

        corners = _as_places(found)
        _as_option(_CORNERS, lambda: rectangle_from_corners(corners))
    return found


def _strip(text: str | None) -> tuple[Geographic, ...] | None:
    """Return the two ends of a runway."""
    found = _read(text, _RUNWAY)
    if found is not None:
        from groundref.detection.runway import checked_runway

        (first, second) = _as_places(found)
        _as_option(_RUNWAY, lambda: checked_runway(first, second))
    return found


def _as_places(found: tuple[Geographic, ...]) -> list[tuple[float, float]]:
    """Return the places in metres about the first one, each east and north."""
    east, north = _local(found)
    return list(zip(east.tolist(), north.tolist(), strict=True))


def _as_option(kind: _Kind, check: Callable[[], object]) -> None:
    """Let a check of places name the option that they were given with."""
    try:
        check()
    except UsageError as problem:
        raise UsageError(problem.what, kind.option, problem.remedy) from problem


def _check_apart(found: tuple[Geographic, ...], kind: _Kind) -> None:
    """Refuse places that are nearly one, and those that a wrong sign has taken to the other hemisphere."""
    import numpy as np

    east, north = _local(found)
    apart = np.hypot(east - np.roll(east, -1), north - np.roll(north, -1))
    if apart.min() < kind.shortest:
        raise UsageError(
            f"{kind.they} are {apart.min():.0f} m apart", kind.option, f"give {kind.shortest:.0f} m or more"
        )
    if apart.max() > _LONGEST:
        raise UsageError(f"{kind.they} are {apart.max() / nautical_mile:,.0f} NM apart", kind.option, CHECK)


def _local(found: tuple[Geographic, ...]) -> tuple[Floats, Floats]:
    """Return the places in metres about the first one."""
    return outlined(found, _frame(*found[0]))


def outlined(found: tuple[Geographic, ...], frame: LocalFrame) -> tuple[Floats, Floats]:
    """Return places in a frame, east and north [m]."""
    import numpy as np

    latitude, longitude = np.transpose(found)
    return frame.to_local(latitude, longitude)


def away(east: ArrayLike, north: ArrayLike, outline_east: Floats, outline_north: Floats) -> Floats:
    """Return the distance of each of many places from an outline: a place, or the lines from one to the next.

    Parameters
    ----------
    east, north
        The places [m]
    outline_east, outline_north
        Of the outline, closed unless it is one line; in the same frame [m]

    Notes
    -----
    The nearest place of a stretch lies at the part (place − start) · along / along² of it, within 0 to 1.
    """
    import numpy as np

    on_east, on_north = np.roll(outline_east, -1) - outline_east, np.roll(outline_north, -1) - outline_north
    from_east = np.subtract.outer(east, outline_east)
    from_north = np.subtract.outer(north, outline_north)
    square = np.maximum(on_east**2 + on_north**2, 1e-12)  # of a single place: none
    part = np.clip((from_east * on_east + from_north * on_north) / square, 0.0, 1.0)
    off: Floats = np.hypot(from_east - part * on_east, from_north - part * on_north).min(axis=-1)
    return off


def _frame(latitude: float, longitude: float) -> LocalFrame:
    from groundref.geo.frame import LocalFrame

    return LocalFrame(latitude, longitude)


def _elevations(text: str) -> tuple[float, float]:
    """Return two elevations from `N,N` in feet [m]."""
    try:
        first, second = (float(part) for part in text.split(","))
    except ValueError as problem:
        raise UsageError(
            f"{text!r} are not two elevations",
            "--pylon-ft",
            "write one in feet for each pylon, such as 620,655",
        ) from problem
    return (
        words.within(first, -2000, 30000, "--pylon-ft") * foot,
        words.within(second, -2000, 30000, "--pylon-ft") * foot,
    )
