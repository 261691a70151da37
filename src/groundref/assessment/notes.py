"""What could not be judged in a maneuver, and why, in plain sentences."""

from __future__ import annotations

from typing import Final

from groundref.assessment.assessed import Finding
from groundref.assessment.faults import airspeed_not_held, outside_height_band
from groundref.assessment.flown import Flown, light_wind
from groundref.assessment.pivotal_notes import pivotal_notes
from groundref.assessment.steep_notes import steep_notes
from groundref.assessment.unplaced import moved_note
from groundref.detection import named
from groundref.detection.maneuver import ARCS
from groundref.measures import speed, speed_sd

# Faults with a printed limit: their verdict stands in the table even where they only follow from another.
LIMITED: Final = (airspeed_not_held.NAME, outside_height_band.NAME)


def notes(flown: Flown, explained: tuple[tuple[Finding, str], ...] = ()) -> tuple[str, ...]:
    """Return what could not be judged and why, and what lies outside a limit without being a cause.

    Parameters
    ----------
    flown
        The evidence.
    explained
        Faults that another one explains, with why.
    """
    effects = [f"{each.says[:-1]}: {why}." for each, why in explained if each.fault in LIMITED]
    if flown.poor:
        what = f"Bank, airspeed, entry and the shape of the {flown.words.shape} were not judged"
        known = flown.airspeed is not None or flown.bank is not None
        what = f"Entry and the shape of the {flown.words.shape} were not judged" if known else what
        said = [f"{what}: {flown.poor}."]
    else:
        arcs = flown.maneuver.kind in ARCS
        said = [_start(flown), _places(flown) if arcs else "", moved_note(flown)]
        said += [*pivotal_notes(flown), *steep_notes(flown)]
    return tuple(each for each in (_alternatives(flown), *said, _ground(flown), *effects) if each)


def _alternatives(flown: Flown) -> str:
    """Return what else it may have been; empty when it can be told."""
    others = [f"{named.in_sentence(kind)} ({100 * p:.0f}%)" for kind, p in flown.maneuver.alternatives]
    return f"The same track may have been {' or '.join(others)}." if others else ""


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
    blown = f"{speed(wind.speed, 1)} (± {speed_sd(wind.speed_sd, 1)})"
    if wind.speed <= light_wind:
        return (
            f"Bank by place in the circle was not judged: the wind of {blown} is too light for one place to "
            "need a bank much different from another."
        )
    return (
        f"Bank by place in the circle was not judged: the wind of {blown} is too uncertain beside an "
        f"airspeed that may have wandered by {speed(flown.hidden_wander, 1)}."
    )


def _ground(flown: Flown) -> str:
    """Return that the ground's elevation is wrong; empty when it may be right."""
    if not flown.ground_above:
        return ""
    return "Height above the ground was not judged: the given ground lies above the airplane."
