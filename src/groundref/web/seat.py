"""The picture from the pilot's seat, of a flight: what stands on the ground and where it is seen from."""

from __future__ import annotations

from math import isfinite
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from groundref.aircraft.loading import load_aircraft
from groundref.assessment.profile import turn_sign
from groundref.debriefing import Debrief
from groundref.detection.maneuver import Maneuver
from groundref.estimation.height import ABOVE_SEA
from groundref.estimation.states import States
from groundref.web.sight import NOWHERE, Floats, Moments, Spot, airplane, columns, sights

_AROUND: Final = 30.0  # [s] before and after a maneuver in which its place is looked at already
NO_HEIGHT: Final = (
    "The height above the ground is not known, so that nothing can be said of the view: "
    "enter the elevation of the ground."
)
WHAT: Final = {
    "point": "the point",
    "pylons": "the pylon",
    "line": "the middle of the half circle",
    "rectangle": "the corner",
}


def seat(debrief: Debrief, steps: NDArray[np.int64]) -> dict[str, Any]:
    """Return what the picture from the seat needs beside the flight's own columns.

    Parameters
    ----------
    debrief
        Of the flight.
    steps
        Which samples the columns hold.
    """
    states = debrief.states
    ground = [_reference(one.maneuver) for one in debrief.maneuvers]
    shown: dict[str, Any] = {"airplane": airplane(debrief.aircraft), "ground": ground}
    if states.height is None:
        return {**shown, "why": NO_HEIGHT, "spots": [], "columns": None}
    spots: list[Spot] = []
    about = np.full(len(states), NOWHERE, dtype=np.int64)
    side, up = np.zeros(len(states)), np.array(states.height)
    for one in debrief.maneuvers:
        _look(states, one.maneuver, spots, about, side, up)
    now = Moments(
        east=states.east[steps],
        north=states.north[steps],
        up=up[steps],
        heading=states.heading[steps],
        bank=states.bank[steps],
        about=about[steps],
        side=side[steps],
    )
    seen = sights(now, tuple(spots), debrief.aircraft or load_aircraft())
    return {
        **shown,
        "why": "",
        "spots": [
            {"what": spot.what, "east_m": round(spot.east, 1), "north_m": round(spot.north, 1)}
            for spot in spots
        ],
        "columns": columns(now, seen),
    }


def _look(
    states: States,
    maneuver: Maneuver,
    spots: list[Spot],
    about: NDArray[np.int64],
    side: Floats,
    up: Floats,
) -> None:
    """Enter what a maneuver is flown about, lap by lap, and the height above it."""
    laps = [lap for lap in maneuver.laps if isfinite(lap.about_east)]
    if not laps:
        return
    first, last = np.searchsorted(states.time, [maneuver.start - _AROUND, maneuver.end + _AROUND])
    index = np.arange(first, min(last, len(states)))
    index = index[about[index] == NOWHERE]
    own = np.maximum(np.searchsorted([lap.first for lap in laps], index, side="right") - 1, 0)
    elevations = maneuver.reference.elevations
    sea = states.altitude if states.altitude_datum in ABOVE_SEA else None
    known: dict[tuple[float, float], int] = {}
    for number, lap in enumerate(laps):
        place = (lap.about_east, lap.about_north)
        if place not in known:
            known[place] = len(spots)
            spots.append(Spot(WHAT.get(maneuver.reference.type, "the place"), *place))
        there = index[own == number]
        about[there], side[there] = known[place], turn_sign(lap)
        if elevations and sea is not None:
            up[there] = sea[there] - elevations[number % len(elevations)]


def _reference(maneuver: Maneuver) -> dict[str, Any]:
    """Return what stands on the ground, in the flight's frame."""
    there = maneuver.reference
    return {
        "type": there.type,
        "places_m": [[round(east, 1), round(north, 1)] for east, north in there.places],
        "radius_m": round(maneuver.radius, 1) if isfinite(maneuver.radius) else None,
    }
