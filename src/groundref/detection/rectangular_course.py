"""The rectangular course: told from circuits of an airport and from going round at large by how it is flown.

Legs that go round one rectangle once or more are weighed: by their shape, which circuits of an airport have
too, by one altitude and airspeed all the way, which those have not (`circuit_evidence`), and by

* **the height**: 600 to 1,000 ft above the ground (PA.V.B.S3a).

A stretch with a landing, a touch-and-go or a low approach in it is none, whatever the evidence. Three legs
are no circuit: four corners must have been flown. What is beyond whole circuits belongs to the last one.
"""

from __future__ import annotations

from itertools import pairwise
from math import nan
from typing import Final

import numpy as np

from groundref.angles import difference, quarter_turn, wrap, wrap_signed
from groundref.detection.candidate import Candidate, Cut, Ground
from groundref.detection.circling import POSITION_WANDER
from groundref.detection.circuit import Circuit, circuits, goes_low
from groundref.detection.circuit_evidence import level_evidence, likeliest_readings, shape_evidence
from groundref.detection.evidence import LOW, height_evidence
from groundref.detection.maneuver import Entry, Lap, Leg, Maneuver, Reference
from groundref.detection.rectangle import Rectangle, as_flown, rectangle_from_corners
from groundref.estimation.mean_wind import wind_over
from groundref.estimation.states import States
from groundref.estimation.wind_value import Wind
from groundref.mechanics.rectangle import course_legs
from groundref.units import degree, foot, nautical_mile

KIND: Final = "rectangular-course"
PRIOR: Final = -0.5
SMALLEST: Final = 400.0  # [m] between opposite legs: less leaves no straight between the corners
ALONG: Final = 20 * degree  # a given rectangle lies along what was flown within so much
WAY_IN: Final = 45.0  # [s] before the first leg, in which the way in to it was flown
TURNED: Final = 15 * degree  # less is no turn onto the first leg
AS_FLOWN: Final = (
    "The rectangle is the one that was flown, so the distance of each leg is counted from the mean of its "
    "side; how far outside of the field it was flown cannot be told without the field's corners."
)


def propose(states: States, cut: Cut, ground: Ground) -> list[Candidate]:
    """Propose rectangular courses.

    Parameters
    ----------
    states, cut
        The flight and its first cut.
    ground
        What is known about places on the ground.

    Raises
    ------
    UsageError
        When given corners are not those of a rectangle.
    """
    given = None if ground.corners is None else rectangle_from_corners(ground.corners)
    found = [circuit for chain in cut.chains for circuit in circuits(states, chain)]
    return likeliest_readings(
        [_candidate(states, circuit, given) for circuit in found if _can_be(states, circuit)]
    )


def _candidate(states: States, circuit: Circuit, given: Rectangle | None) -> Candidate:
    return Candidate(
        kind=KIND,
        start=circuit.start,
        end=circuit.end,
        log_odds=_log_odds(states, circuit),
        build=lambda confidence: _maneuver(states, circuit, confidence, given),
    )


def _can_be(states: States, circuit: Circuit) -> bool:
    """Leave out what cannot be a rectangular course."""
    flown = circuit.fitted.rectangle
    if min(flown.length, flown.width) < SMALLEST:
        return False
    return not goes_low(states, circuit.first, circuit.last)


def _log_odds(states: States, circuit: Circuit) -> float:
    """Return the log-odds that legs round a rectangle are the practice maneuver."""
    odds = PRIOR + shape_evidence(states, circuit) + level_evidence(states, circuit)
    return odds + height_evidence(states, circuit.first, circuit.last, LOW)


def _maneuver(states: States, circuit: Circuit, confidence: float, given: Rectangle | None) -> Maneuver:
    wind = wind_over(states, circuit.first, circuit.last)
    rectangle, reference, notes = _reference(circuit, given)
    is_given = reference.source == "given"
    entry = _entry(states, circuit)
    at = (states.east[circuit.first], states.north[circuit.first])
    distance = float(rectangle.outside(0, *map(np.asarray, at))) if is_given else nan
    return Maneuver(
        kind=KIND,
        first=circuit.first,
        last=circuit.last,
        start=circuit.start,
        end=circuit.end,
        direction="right" if circuit.side > 0 else "left",
        confidence=confidence,
        reference=reference,
        radius=nan,
        radius_sd=nan,
        wind=wind,
        entry=Entry(None, *entry, distance, POSITION_WANDER if is_given else nan),
        laps=_laps(states, circuit, rectangle, wind),
        notes=notes,
    )


def _reference(circuit: Circuit, given: Rectangle | None) -> tuple[Rectangle, Reference, tuple[str, ...]]:
    """Return the rectangle that counts, the same as a reference, and what is to be said about it."""
    fitted = circuit.fitted
    flown = fitted.rectangle
    said: tuple[str, ...] = (AS_FLOWN,)
    if given is not None:
        rectangle = as_flown(given, flown)
        why = _unfit(rectangle, flown)
        if not why:
            return rectangle, _as_reference(rectangle, 0.0, 0.0, "given"), ()
        said = (f"The given corners {why}; they were not used here.", *said)
    return flown, _as_reference(flown, fitted.sd, fitted.bearing_sd, "fitted"), said


def _unfit(given: Rectangle, flown: Rectangle) -> str:
    """Return why a given rectangle is not that which was flown about; empty when it is."""
    off = abs(float(difference(given.bearing, flown.bearing)))
    if off > ALONG:
        return f"lie {off / degree:.0f}° across the legs that were flown"
    away = float(np.hypot(given.east - flown.east, given.north - flown.north))
    if away > 0.5 * max(flown.length, flown.width):
        far = away > nautical_mile
        size = f"{away / nautical_mile:,.1f} NM" if far else f"{away / foot:,.0f} ft"
        return f"have their middle {size} from that of the legs that were flown"
    return ""


def _as_reference(rectangle: Rectangle, sd: float, bearing_sd: float, source: str) -> Reference:
    return Reference("rectangle", rectangle.corners, sd, source, rectangle.bearing, bearing_sd)


def _laps(states: States, circuit: Circuit, rectangle: Rectangle, wind: Wind | None) -> tuple[Lap, ...]:
    """Return the circuits; each begins when a fourth corner is rolled out of."""
    legs, whole = circuit.legs, circuit.corners // 4
    names = leg_names(rectangle, wind)
    begins = [4 * k for k in range(whole)] + [circuit.corners]
    laps = []
    for begin, end in pairwise(begins):
        first, last = legs[begin], legs[end]
        tracks = np.interp([first.start, last.start], states.time, states.track)
        laps.append(
            Lap(
                first=first.first,
                last=last.first,
                start=first.start,
                end=last.start,
                turn=float(tracks[1] - tracks[0]),
                legs=tuple(
                    Leg(names[k % 4], leg.first, leg.last, leg.start, leg.end, rectangle.course(k))
                    for k, leg in enumerate(legs[begin:end])
                ),
            )
        )
    return tuple(laps)


def leg_names(rectangle: Rectangle, wind: Wind | None) -> tuple[str, ...]:
    """Return the names of the four sides relative to the wind, the first side first.

    That side is the downwind leg whose course is nearest to straight downwind; the first one where the wind
    has no direction to speak of, since the course is entered downwind.

    Parameters
    ----------
    rectangle
        The rectangle, its sides in the order flown.
    wind
        None when it could not be told.
    """
    turned = 0
    if wind is not None and wind.speed > 2.0 * wind.speed_sd:
        on = float(wrap_signed(rectangle.side * (rectangle.bearing - wind.direction_to)))
        # Halfway between two legs, the one it was entered on is meant.
        turned = round((on + (0.05 if on < 0.0 else -0.05)) / quarter_turn)
    return tuple(course_legs[(k + turned) % 4] for k in range(4))


def _entry(states: States, circuit: Circuit) -> tuple[float, float]:
    """Return when the turn onto the first leg began and the track before it [s], [rad].

    Before it the track was steady; where no turn is seen the first leg was entered straight ahead.
    """
    first = circuit.legs[0]
    before = np.flatnonzero(
        (states.time >= first.start - WAY_IN)
        & (states.time <= first.start)
        & (states.piece == states.piece[first.first])
    )
    straight = (first.start, float(wrap(first.track)))
    if before.size < 3:
        return straight
    off = np.asarray(difference(states.track[before], first.track))
    far = np.flatnonzero(np.abs(off) > TURNED)
    if not far.size:
        return straight
    # Back from the leg: the way in is where the track was farthest from it and then no longer changed.
    rate = np.abs(np.gradient(off, states.time[before]))
    turning = 0.5 * float(rate[max(far[-1] - 1, 0) : far[-1] + 1].max())
    steady = np.flatnonzero((rate < turning) & (np.arange(off.size) < far[-1]))
    if not steady.size:
        return straight
    at = int(steady[-1])
    near = np.abs(states.time[before] - states.time[before[at]]) <= 2.0
    level = float(np.median(states.track[before][near & (np.arange(off.size) <= at)]))
    return float(states.time[before[at]]), float(wrap(level))
