"""What the user states against what the flight shows."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from math import hypot, radians
from typing import TYPE_CHECKING, Final

from groundref.asking.places import CHECK, away, outlined
from groundref.errors import UsageError
from groundref.units import foot, nautical_mile

if TYPE_CHECKING:
    from datetime import datetime

    import numpy as np
    from numpy.typing import NDArray

    from groundref.asking.places import Geographic, Places
    from groundref.debriefing import Debrief
    from groundref.detection.maneuver import Reference
    from groundref.estimation.states import States
    from groundref.track.recording import Recording

    Floats = NDArray[np.float64]

SLACK: Final = timedelta(minutes=1)  # a time given as 14:05 is meant to the minute
FARTHEST: Final = 1 * nautical_mile  # what was flown about lies within a circle's radius of the flight


@dataclass(frozen=True, slots=True)
class _Words:
    """How an option that gives places is spoken of, and the type of reference that it gives."""

    option: str
    type: str
    they_lie: str
    fitted: str
    such: str


_WORDS: Final = (
    _Words(
        "point",
        "point",
        "this point lies",
        "the middle of turns that were flown; the point fitted to them was",
        "a point",
    ),
    _Words("line", "line", "this line lies", "the one that was flown across; the line fitted was", "a line"),
    _Words(
        "corners",
        "rectangle",
        "this rectangle lies",
        "the one that was flown around; the rectangle fitted was",
        "a rectangle",
    ),
    _Words(
        "pylons",
        "pylons",
        "these pylons stand",
        "those that were flown around; the pylons fitted were",
        "two pylons",
    ),
)


def check_ground(result: Debrief, option: str) -> None:
    """Refuse a ground that the airplane would have flown under.

    Parameters
    ----------
    result
        What was concluded.
    option
        The option that states the ground.

    Raises
    ------
    UsageError
        When half of the flight, or more, lies below it.
    """
    states = result.states
    if states.height is None or states.altitude is None:
        return
    height, altitude = _middle_flying(states, states.height), _middle_flying(states, states.altitude)
    if height < 0:
        _refuse_ground(altitude, -height, option)


def check_pylons(result: Debrief, elevations: tuple[float, float] | None) -> None:
    """Refuse ground at a pylon that the airplane would have flown under.

    Parameters
    ----------
    result
        What was concluded.
    elevations
        Of the ground at each pylon; None when not given [m]

    Raises
    ------
    UsageError
        When half of the flight, or more, lies below one of them.
    """
    states = result.states
    if elevations is None or states.altitude is None:
        return
    altitude = _middle_flying(states, states.altitude)
    if altitude < max(elevations):
        _refuse_ground(altitude, max(elevations) - altitude, "--pylon-ft")


def _middle_flying(states: States, values: Floats) -> float:
    """Return the median of a channel in flight; NaN where nothing was flown."""
    import numpy as np

    from groundref.track.clean import FLYING_SPEED

    flown = (states.ground_speed > FLYING_SPEED) & np.isfinite(values)
    return float(np.median(values[flown])) if flown.any() else float("nan")


def _refuse_ground(altitude: float, below: float, option: str) -> None:
    raise UsageError(
        f"the airplane, at {altitude / foot:,.0f} ft, would be {below / foot:,.0f} ft below this ground",
        option,
        "give the elevation of the ground there above mean sea level",
    )


def warn_of_places(result: Debrief, given: Places) -> Iterator[str]:
    """Yield a sentence for places that were given and not used, and why not.

    Parameters
    ----------
    result
        What was concluded.
    given
        What the user said about places on the ground.
    """
    for words in _WORDS:
        places = getattr(given, words.option)
        if places is not None:
            yield from _warn(result, places, words)
    if given.runway is not None and not result.traffic_patterns:
        yield _of_runway(result, given.runway)


def _of_runway(result: Debrief, given: tuple[Geographic, ...]) -> str:
    """Say that no circuit of the runway was flown."""
    outline = outlined(given, result.track.frame)
    nearest = float(away(result.track.east, result.track.north, *outline).min())
    far = (
        f"it lies {nearest / nautical_mile:,.1f} NM from the nearest place of the flight; {CHECK}"
        if nearest > FARTHEST
        else "it was not used"
    )
    return f"--runway: no circuit of this runway was found; {far}"


def warn_of_site(result: Debrief, name: str, places: Sequence[tuple[float, float]]) -> Iterator[str]:
    """Yield a sentence for a site that was not flown near.

    Parameters
    ----------
    result
        What was concluded.
    name
        Of the site.
    places
        Latitude and longitude of each of its places [deg]
    """
    outline = outlined(tuple((radians(one[0]), radians(one[1])) for one in places), result.track.frame)
    nearest = float(away(result.track.east, result.track.north, *outline).min())
    if nearest > FARTHEST:
        yield (
            f"--site: {name} lies {nearest / nautical_mile:,.1f} NM from the nearest place of the flight; "
            "was it flown elsewhere?"
        )


def _warn(result: Debrief, given: tuple[Geographic, ...], words: _Words) -> Iterator[str]:
    """Say so when no maneuver was measured by the places of one option."""
    flown = [each.maneuver.reference for each in result.maneuvers]
    references = [reference for reference in flown if reference.type == words.type]
    if any(reference.source == "given" for reference in references):
        return
    outline = outlined(given, result.track.frame)
    nearest = float(away(result.track.east, result.track.north, *outline).min())
    if nearest > FARTHEST:
        yield (
            f"--{words.option}: {words.they_lie} {nearest / nautical_mile:,.1f} NM from the nearest "
            f"place of the flight; {CHECK}"
        )
    elif references:
        off = min(_off(reference, outline) for reference in references)
        yield (
            f"--{words.option}: {words.they_lie} {off / nautical_mile:,.1f} NM from {words.fitted} "
            "used instead"
        )
    else:
        yield (f"--{words.option}: no maneuver about {words.such} was found; it was not used")


def _off(reference: Reference, outline: tuple[Floats, Floats]) -> float:
    """Return how far the middle of what was fitted lies from the given line, or else from its middle."""
    east, north = (sum(axis) / len(axis) for axis in zip(*reference.places, strict=True))
    if reference.type == "line":
        return float(away(east, north, *outline).min())
    return float(hypot(east - outline[0].mean(), north - outline[1].mean()))


def warn_of_times(recording: Recording, start: datetime | None, end: datetime | None) -> Iterator[str]:
    """Yield a sentence for a time that was given and lies outside the recording.

    Parameters
    ----------
    recording
        The whole of it.
    start, end
        From when to when it is to be looked at.
    """
    from groundref.cli.options import span

    first, last = span(recording)
    outside = (
        ("--from", start, start is not None and start < first - SLACK, "before the recording begins"),
        ("--to", end, end is not None and end > last + SLACK, "after the recording ends"),
    )
    for option, moment, is_outside, where in outside:
        if moment is not None and is_outside:
            day = "" if moment.date() == first.date() else f"{moment:%Y-%m-%d} "
            yield (
                f"{option}: {day}{moment:%H:%M:%S} UTC is {where}; it goes from {first:%H:%M:%S} to "
                f"{last:%H:%M:%S} UTC on {first:%Y-%m-%d}; is this a local time?"
            )


def warn_of_wind(result: Debrief) -> Iterator[str]:
    """Yield a sentence when the recording contradicts the wind that was given."""
    for note in result.states.notes:
        if note.startswith("The wind was given") and "contradicts" in note:
            yield (f"--wind: {note[:1].lower()}{note[1:].rstrip('.')}")
