"""What the user states against what the flight shows."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Final

from groundref.errors import UsageError
from groundref.units import foot, nautical_mile

if TYPE_CHECKING:
    from datetime import datetime

    from groundref.debriefing import Debrief
    from groundref.track.recording import Recording

SLACK: Final = timedelta(minutes=1)  # a time given as 14:05 is meant to the minute
FARTHEST: Final = (
    1 * nautical_mile
)  # a point that was flown about lies within a circle's radius of the flight


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
    import numpy as np

    from groundref.track.clean import FLYING_SPEED

    states = result.states
    if states.height is None or states.altitude is None:
        return
    flown = (states.ground_speed > FLYING_SPEED) & np.isfinite(states.height)
    if not flown.any() or (middle := float(np.median(states.height[flown]))) >= 0:
        return
    altitude = float(np.median(states.altitude[flown]))
    raise UsageError(
        f"the airplane, at {altitude / foot:,.0f} ft, would be {-middle / foot:,.0f} ft below this ground",
        option,
        "give the elevation of the ground there above mean sea level",
    )


def warn_of_point(result: Debrief, point: tuple[float, float]) -> None:
    """Say on standard error when the point that was given was not used, and how far away it lies.

    Parameters
    ----------
    result
        What was concluded.
    point
        Latitude and longitude [rad]
    """
    import numpy as np

    from groundref.cli.exits import say

    track = result.track
    east, north = (float(value) for value in track.frame.to_local(*point))
    nearest = float(np.hypot(track.east - east, track.north - north).min())
    unused = [each.maneuver for each in result.maneuvers if each.maneuver.reference.source != "given"]
    if nearest > FARTHEST:
        say(
            f"warning: --point: this point lies {nearest / nautical_mile:,.1f} NM from the nearest place of "
            "the flight; check latitude, longitude and their signs"
        )
    elif unused and len(unused) == len(result.maneuvers):
        off = min(
            float(np.hypot(each.reference.east - east, each.reference.north - north)) for each in unused
        )
        say(
            f"warning: --point: this point lies {off / nautical_mile:,.1f} NM from the middle of turns that "
            "were flown; the point fitted to them was used instead"
        )


def warn_of_times(recording: Recording, start: datetime | None, end: datetime | None) -> None:
    """Say on standard error when a time that was given lies outside the recording.

    Parameters
    ----------
    recording
        The whole of it.
    start, end
        From when to when it is to be looked at.
    """
    from groundref.cli.exits import say
    from groundref.cli.options import span

    first, last = span(recording)
    outside = (
        ("--from", start, start is not None and start < first - SLACK, "before the recording begins"),
        ("--to", end, end is not None and end > last + SLACK, "after the recording ends"),
    )
    for option, moment, is_outside, where in outside:
        if moment is not None and is_outside:
            day = "" if moment.date() == first.date() else f"{moment:%Y-%m-%d} "
            say(
                f"warning: {option}: {day}{moment:%H:%M:%S} UTC is {where}; it goes from {first:%H:%M:%S} to "
                f"{last:%H:%M:%S} UTC on {first:%Y-%m-%d}; is this a local time?"
            )


def warn_of_wind(result: Debrief) -> None:
    """Say on standard error when the recording contradicts the wind that was given."""
    from groundref.cli.exits import say

    for note in result.states.notes:
        if note.startswith("The wind was given") and "contradicts" in note:
            say(f"warning: --wind: {note[:1].lower()}{note[1:].rstrip('.')}")
