"""What is said about the pivotal heights of eights on pylons beside the findings."""

from __future__ import annotations

import numpy as np

from groundref.assessment.details import PivotalFlown
from groundref.assessment.flown import Flown
from groundref.assessment.said import plus_minus
from groundref.estimation.height import ABOVE_SEA
from groundref.measures import length, lengths, speed
from groundref.units import foot


def pivotal_notes(flown: Flown) -> tuple[str, ...]:
    """Return how the two rules for the pivotal height differ here, and what could not be told.

    Parameters
    ----------
    flown
        The evidence.
    """
    details = flown.details
    if not isinstance(details, PivotalFlown) or not np.isfinite(details.pivotal).any():
        return ()
    said = [_two_rules(flown, details), _from_positions(flown, details), _first_turn(details)]
    if details.height is None:
        given = bool(flown.maneuver.reference.elevations) and flown.states.altitude_datum in ABOVE_SEA
        why = (
            "the elevation given of a pylon lies above the airplane"
            if given
            else "the elevation of the ground is not known"
        )
        said.append(
            f"Height above the pylons was not judged: {why}; where the pylon stood is told from the heading "
            "alone."
        )
    return tuple(each for each in said if each)


def _two_rules(flown: Flown, details: PivotalFlown) -> str:
    """Say how the handbook's rule differs from the exact height, and why."""
    exact, rule = details.pivotal, details.handbook
    wind, off = flown.maneuver.wind, rule - exact
    heights, by_rule = (lengths(float(np.nanmin(each)), float(np.nanmax(each))) for each in (exact, rule))
    numbers = (
        f"Pivotal height here, from the airspeed and heading of each moment: {heights} above the pylon; the "
        f"handbook's ground speed squared over 11.3 gives {by_rule}"
    )
    if wind is None or np.nanmax(np.abs(off)) < 20.0 * foot:
        return f"{numbers}, the same in so light a wind."
    return (
        f"{numbers}. The rule takes the ground speed for the airspeed as well: with {speed(wind.speed)} of "
        f"wind it is up to {length(max(float(np.nanmax(off)), 0.0))} too high flying downwind and up to "
        f"{length(max(-float(np.nanmin(off)), 0.0))} too low flying upwind."
    )


def _from_positions(flown: Flown, details: PivotalFlown) -> str:
    """Say what is taken for granted where no airspeed was recorded; empty where it was."""
    if flown.states.airspeed_source == "measured" or flown.states.altitude is None:
        return ""
    sd = float(np.nanmax(details.pivotal_sd))
    return (
        "Airspeed was not recorded: it was taken to fall as height was gained, as it does with the throttle "
        f"left alone; the pivotal height is known to {plus_minus(sd)}."
    )


def _first_turn(details: PivotalFlown) -> str:
    """Say that the first turn was not made into the wind; empty where it was or cannot be told."""
    if not details.first_into_wind > 0.5 * np.pi:
        return ""
    return "The first turn was made away from the wind; into the wind is usual (Airplane Flying Handbook)."
