"""Eights on pylons: loops one way and the other, each about a place that stayed on the wing line.

That there are loops about two places is what any eight shows (`eight_evidence`); what tells eights on pylons
from elementary ones is weighed in `on_pylons_evidence`.
"""

from __future__ import annotations

import numpy as np

from groundref.angles import wrap
from groundref.detection.candidate import Candidate, Cut, Ground, Place
from groundref.detection.circling import POSITION_WANDER
from groundref.detection.eight_rows import level_part
from groundref.detection.laps import INBOUND
from groundref.detection.loop import Loop
from groundref.detection.maneuver import Entry, Lap, Maneuver, Reference
from groundref.detection.on_pylons_evidence import KIND, log_odds
from groundref.detection.pylon_eight import NEAR, Eight, nearer_order, seen_on_pylons
from groundref.estimation.states import States
from groundref.units import foot, nautical_mile


def propose(states: States, cut: Cut, ground: Ground) -> list[Candidate]:
    """Propose eights on pylons.

    Parameters
    ----------
    states, cut
        The flight and its first cut.
    ground
        What is known about places on the ground.
    """
    level = (level_part(states, row) for row in cut.rows)
    found = (seen_on_pylons(states, row) for row in level if row is not None)
    return [_candidate(states, cut, eight, ground) for eight in found if eight is not None]


def _candidate(states: States, cut: Cut, eight: Eight, ground: Ground) -> Candidate:
    loops = [loop.turning for loop in eight.row.loops]
    carried = next((row for row in cut.carried if [loop.turning for loop in row.loops] == loops), None)
    return Candidate(
        kind=KIND,
        start=eight.row.start,
        end=eight.row.end,
        log_odds=log_odds(states, eight, carried, ground),
        build=lambda confidence: _maneuver(states, eight, confidence, ground),
    )


def _maneuver(states: States, eight: Eight, confidence: float, ground: Ground) -> Maneuver:
    reference, notes = _reference(eight, ground)
    row = eight.row
    return Maneuver(
        kind=KIND,
        first=eight.first,
        last=eight.last,
        start=row.start,
        end=row.end,
        direction="both",
        confidence=confidence,
        reference=reference,
        radius=np.nan,
        radius_sd=np.nan,
        wind=eight.air.wind,
        entry=_entry(states, row.start, eight.first, reference),
        laps=tuple(_lap(states, loop, reference.places[n % 2]) for n, loop in enumerate(row.loops)),
        notes=tuple(notes),
    )


def _lap(states: States, loop: Loop, pylon: Place) -> Lap:
    inside = np.flatnonzero((states.time >= loop.start) & (states.time <= loop.end))
    return Lap(
        first=int(inside[0]),
        last=int(inside[-1]),
        start=loop.start,
        end=loop.end,
        turn=loop.track_out - loop.track_in,
        about_east=pylon[0],
        about_north=pylon[1],
    )


def _reference(eight: Eight, ground: Ground) -> tuple[Reference, list[str]]:
    """Return the pylons: the given ones where they lie near those that were turned about."""
    one, other = eight.pylons
    sd = float(np.hypot(one.sd, other.sd) / np.sqrt(2.0))
    fitted = Reference("pylons", ((one.east, one.north), (other.east, other.north)), sd, "fitted")
    if ground.pylons is None:
        return fitted, []
    nearer, far = nearer_order(eight, ground.pylons)
    if far > NEAR * eight.distance:
        said = f"{far / nautical_mile:,.1f} NM" if far > nautical_mile else f"{far / foot:,.0f} ft"
        return fitted, [
            f"A given pylon lies {said} from the nearest place turned about; the given ones were not used."
        ]
    elevations = (ground.pylon_elevations or ())[:: -1 if nearer else 1]
    places = ground.pylons[::-1] if nearer else ground.pylons
    return Reference("pylons", places, 0.0, "given", elevations=elevations), []


def _entry(states: States, start: float, first: int, reference: Reference) -> Entry:
    """Measure how the first loop was entered, from the straight flight just before it."""
    before = np.flatnonzero(
        (states.time >= start - INBOUND[0])
        & (states.time <= start - INBOUND[1])
        & (states.piece == states.piece[first])
    )
    index = before if before.size else np.array([first])
    east, north = float(np.mean(states.velocity_east[index])), float(np.mean(states.velocity_north[index]))
    at = (
        float(np.interp(start, states.time, states.east)) - reference.east,
        float(np.interp(start, states.time, states.north)) - reference.north,
    )
    return Entry(
        abeam_time=start if before.size else None,
        turn_time=start,
        track=float(wrap(np.arctan2(east, north))),
        distance=float(np.hypot(*at)),
        distance_sd=float(np.sqrt(reference.sd**2 + states.position_sd[first] ** 2 + POSITION_WANDER**2)),
    )
