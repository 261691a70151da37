"""What an instructor who knows the field would give with a recording: the places that were meant."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from groundref.simulation.truth import TrueManeuver, Truth

Given = Mapping[str, Any]

_OPTIONS: Final = {"point": "point", "line": "line", "rectangle": "corners", "pylons": "pylons"}
"""Name of the argument of ``debrief`` by type of reference; steep turns are flown about nothing."""


def rounds(maneuvers: Sequence[TrueManeuver]) -> list[dict[int, TrueManeuver]]:
    """Return which maneuvers' places are given together: as few debriefs as one place of a type each allows.

    Parameters
    ----------
    maneuvers
        Of a lesson, in the order flown.

    Returns
    -------
    list
        For each debrief the maneuvers it counts for, by index; those about no place count in the first.
    """
    found: list[dict[int, TrueManeuver]] = [{}]
    for number, maneuver in enumerate(maneuvers):
        kind = maneuver.reference
        free = (
            each for each in found if kind == "none" or all(one.reference != kind for one in each.values())
        )
        here = next(free, None)
        if here is None:
            here = {}
            found.append(here)
        here[number] = maneuver
    return found


def given(truth: Truth, maneuvers: Sequence[TrueManeuver]) -> Given:
    """Return the places of maneuvers as arguments of ``debrief``.

    The elevation of pylons is that of the ground, which is given anyway.

    Parameters
    ----------
    truth
        The flight, whose frame the places are in.
    maneuvers
        No two of them about the same type of place.
    """
    places: dict[str, Any] = {}
    for maneuver in maneuvers:
        if maneuver.reference == "none":
            continue
        at = tuple(
            (float(latitude), float(longitude))
            for latitude, longitude in (truth.frame.to_geographic(*place) for place in maneuver.places)
        )
        places[_OPTIONS[maneuver.reference]] = at[0] if maneuver.reference == "point" else at
    return places
