"""What could not be judged in a maneuver, and why, in plain sentences."""

from __future__ import annotations

from groundref.assessment.flown import Flown, light_wind
from groundref.units import knot


def notes(flown: Flown) -> tuple[str, ...]:
    """Return what could not be judged and why.

    Parameters
    ----------
    flown
        The evidence.
    """
    if flown.seldom:
        said = [
            "Bank, airspeed, entry and the shape of the circle were not judged: there is a position only "
            f"every {flown.interval:.0f} s."
        ]
    else:
        said = [_start(flown), _places(flown)]
    return tuple(each for each in (*said, _ground(flown)) if each)


def _start(flown: Flown) -> str:
    """Return what is missing of the start; empty when nothing is."""
    if not flown.beginning.recorded:
        return (
            "The start of the turn was not recorded: the entry was not judged, and altitude and airspeed are "
            "compared with the middle of what was flown."
        )
    if not flown.beginning.straight:
        return "The entry was not judged: there was no straight flight before the turn."
    return ""


def _places(flown: Flown) -> str:
    """Return why bank was not judged by its place in the circle; empty when it was."""
    wind = flown.maneuver.wind
    if flown.wind_felt:
        return ""
    if wind is None:
        return "Bank by place in the circle was not judged: the wind could not be told."
    speed = f"{wind.speed / knot:.1f} kt (± {wind.speed_sd / knot:.1f} kt)"
    if wind.speed <= light_wind:
        return (
            f"Bank by place in the circle was not judged: the wind of {speed} is too light for one place to "
            "need a bank much different from another."
        )
    return (
        f"Bank by place in the circle was not judged: the wind of {speed} is too uncertain beside an "
        f"airspeed that may have wandered by {flown.hidden_wander / knot:.1f} kt."
    )


def _ground(flown: Flown) -> str:
    """Return that the ground's elevation is wrong; empty when it may be right."""
    if not flown.ground_above:
        return ""
    return "Height above the ground was not judged: the given ground lies above the airplane."
