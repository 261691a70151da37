"""How a rectangular course was flown: its legs, its corners, its entry, and the distance from the boundary.

Distances are those outside of the reference's sides. Of a rectangle that was fitted to what was flown they
are from the mean of each side, so only what differs from circuit to circuit or along a leg shows in them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import difference, quarter_turn, wrap_signed
from groundref.assessment.assessed import Profile
from groundref.assessment.details import CornerFlown, CourseFlown, LegFlown
from groundref.assessment.profile import turn_sign
from groundref.assessment.recorded import beginning
from groundref.detection.circling import POSITION_WANDER
from groundref.detection.maneuver import Leg, Maneuver, Reference
from groundref.estimation.states import States
from groundref.estimation.wind_value import Wind
from groundref.mechanics import boundary
from groundref.mechanics.rectangle import corner_heading_change
from groundref.mechanics.wind_triangle import crab_on_track

Floats = NDArray[np.float64]

SETTLING: Final = 4.0  # [s] after a roll-out until the track has settled
BEYOND: Final = 8.0  # [s] after a corner in which it shows how far it went beyond the next leg
ONWARD: Final = (1.0, 6.0)  # [s] after the last corner: the stretch that shows where it led


@dataclass(frozen=True, slots=True)
class Side:
    """One side of the reference as seen from a leg that runs along it.

    Attributes
    ----------
    east, north
        A place on it [m]
    course
        In the direction flown [rad]
    direction
        +1 right turns, −1 left.
    """

    east: float
    north: float
    course: float
    direction: float

    def outside(self, states: States, part: slice) -> Floats:
        """Return how far outside of it samples lie [m]."""
        return boundary.outside_side(
            states.east[part], states.north[part], self.east, self.north, self.course, self.direction
        )


def sides(reference: Reference, direction: float) -> tuple[Side, ...]:
    """Return the four sides in the order flown, the first one ending at the first corner.

    Parameters
    ----------
    reference
        The rectangle.
    direction
        +1 right turns, −1 left.
    """
    return tuple(
        Side(east, north, reference.bearing + direction * quarter_turn * k, direction)
        for k, (east, north) in enumerate(reference.places)
    )


def course_flown(states: States, maneuver: Maneuver, profile: Profile) -> CourseFlown:
    """Return the particulars of a rectangular course.

    Parameters
    ----------
    states, maneuver, profile
        What was flown.
    """
    direction = turn_sign(maneuver.laps[0])
    around = sides(maneuver.reference, direction)
    legs: list[LegFlown] = []
    corners: list[CornerFlown] = []
    outside = np.full(maneuver.last - maneuver.first + 1, np.nan)
    for number, lap in enumerate(maneuver.laps, start=1):
        for k, leg in enumerate(lap.legs):
            side, part = around[k % 4], slice(leg.first, leg.last + 1)
            legs.append(leg_flown(states, leg, number, side, maneuver.reference, maneuver.wind))
            outside[leg.first - maneuver.first : leg.last + 1 - maneuver.first] = side.outside(states, part)
            after = _next(maneuver, number - 1, k)
            beside = _flown_along(maneuver, number - 1, k) if after.end <= after.start else after
            along = around[(k + 1) % 4]
            line = float(np.median(along.outside(states, slice(beside.first, beside.last + 1))))
            corners.append(corner_flown(states, maneuver.wind, number, (leg, after), along, line))
    angle, sd = _entry_angle(states, maneuver)
    return CourseFlown(tuple(legs), tuple(corners), angle, sd, outside)


def place_at(course: CourseFlown, time: float) -> str:
    """Return where in the course a time belongs, as spoken; empty outside of it.

    Parameters
    ----------
    course
        Its legs and corners.
    time
        [s]
    """
    leg = next((leg.name for leg in course.legs if leg.start <= time <= leg.end), None)
    if leg is not None:
        return f"on the {leg} leg"
    corner = next((each.name for each in course.corners if each.start <= time <= each.end), None)
    return "" if corner is None else f"turning from {corner}"


def leg_flown(
    states: States, leg: Leg, lap: int, side: Side, reference: Reference, wind: Wind | None
) -> LegFlown:
    """Return how one leg was flown.

    Parameters
    ----------
    states, leg
        The flight and the leg.
    lap
        Number of its circuit, from 1.
    side
        Along which it should run.
    reference
        What the side belongs to, for its standard deviations.
    wind
        None when it could not be told.
    """
    part = slice(leg.first, leg.last + 1)
    outside = side.outside(states, part)
    track = states.track[part]
    steady = track[states.time[part] > leg.start + SETTLING]
    east = states.east[leg.last] - states.east[leg.first]
    north = states.north[leg.last] - states.north[leg.first]
    length = max(float(np.hypot(east, north)), 1.0)
    position = _position_sd(states, part)
    bearing_sd = 0.0 if np.isnan(reference.bearing_sd) else reference.bearing_sd
    off = float(difference(np.arctan2(east, north), leg.course)) if leg.last > leg.first else 0.0
    crab = np.asarray(difference(states.heading[part], leg.course))
    needed, needed_sd = _crab_needed(wind, float(np.mean(states.true_airspeed[part])), leg.course)
    return LegFlown(
        lap=lap,
        name=leg.name,
        start=leg.start,
        end=leg.end,
        course=leg.course,
        off_course=off,
        off_course_sd=float(np.hypot(np.sqrt(2.0) * position / length, bearing_sd)),
        weave=float(np.std(steady)) if steady.size > 1 else float("nan"),
        distance=float(np.mean(outside)),
        distance_sd=float(np.hypot(POSITION_WANDER, reference.sd)),
        distance_max=float(np.max(outside)),
        distance_min=float(np.min(outside)),
        crab=float(np.mean(crab)) if np.isfinite(crab).all() else float("nan"),
        crab_needed=needed,
        crab_sd=needed_sd,
        ground_speed=float(np.mean(states.ground_speed[part])),
    )


def _position_sd(states: States, part: slice) -> float:
    """Return the sd of a place beside another within a minute: half of the slow wander stays [m]."""
    return float(np.hypot(np.nanmedian(states.position_sd[part]), 0.5 * POSITION_WANDER))


def _crab_needed(wind: Wind | None, airspeed: float, course: float) -> tuple[float, float]:
    """Return the crab that holds a course and its standard deviation; NaN when the wind is not known."""
    if wind is None or not wind.speed < airspeed:
        return float("nan"), float("nan")
    needed = float(crab_on_track(airspeed, wind.speed, wind.direction_to - course))
    s, c = np.sin(course), np.cos(course)
    across = (c * wind.east_sd) ** 2 + (s * wind.north_sd) ** 2 - 2.0 * s * c * wind.covariance
    return needed, float(np.sqrt(max(across, 0.0)) / airspeed)


def _next(maneuver: Maneuver, lap: int, leg: int) -> Leg:
    """Return the leg after a leg; after the very last one a leg that only begins, where the corner ends."""
    own = maneuver.laps[lap]
    if leg + 1 < len(own.legs):
        return own.legs[leg + 1]
    if lap + 1 < len(maneuver.laps):
        return maneuver.laps[lap + 1].legs[0]
    like = _flown_along(maneuver, lap, leg)
    return Leg(like.name, own.last, own.last, own.end, own.end, like.course)


def _flown_along(maneuver: Maneuver, lap: int, leg: int) -> Leg:
    """Return the leg that was flown along the side after a leg's, in the same circuit."""
    return maneuver.laps[lap].legs[(leg + 1) % 4]


def corner_flown(
    states: States,
    wind: Wind | None,
    lap: int,
    legs: tuple[Leg, Leg],
    side: Side,
    line: float,
) -> CornerFlown:
    """Return how a corner was flown, from the leg before it to the leg after it.

    Parameters
    ----------
    states
        The flight.
    wind
        None when it could not be told.
    lap
        Number of the circuit, from 1.
    legs
        Before and after it; a leg after it that was not flown on begins and ends with its first sample.
    side
        That of the leg after it.
    line
        How far outside of that side the leg after it lies [m]
    """
    before, after = legs
    time, direction = states.time, side.direction
    alike = states.piece == states.piece[before.first]
    turning = alike & (time >= before.end) & (time <= after.start)
    bank = direction * states.bank[turning]
    beyond = np.flatnonzero(alike & (time >= before.end) & (time <= after.start + BEYOND))
    over = side.outside(states, slice(int(beyond[0]), int(beyond[-1]) + 1)) if beyond.size else np.array([])
    return CornerFlown(
        lap=lap,
        name=f"{before.name} to {after.name}",
        start=before.end,
        end=after.start,
        track_turn=_turned(states, states.track, before, after),
        heading_turn=_turned(states, states.track + states.crab, before, after),
        heading_turn_needed=_heading_needed(wind, before.course, direction),
        bank_max=float(bank.max()) if bank.size and np.isfinite(bank).all() else float("nan"),
        overshoot=float(over.max()) - line if over.size else float("nan"),
        overshoot_sd=float(np.sqrt(2.0) * _position_sd(states, slice(before.first, before.last + 1))),
    )


def _turned(states: States, direction: Floats, before: Leg, after: Leg) -> float:
    """Return the change of a direction from a leg to the next, right positive; NaN where not known [rad]."""
    inside = np.arange(after.first, after.last + 1)
    if after.end <= after.start:  # not flown on: what came just after the corner shows where it led
        alike = states.piece == states.piece[before.first]
        since = states.time - after.start
        inside = np.flatnonzero(alike & (since >= ONWARD[0]) & (since <= ONWARD[1]))
    if not inside.size:
        return float("nan")
    return float(np.median(direction[inside]) - np.median(direction[before.first : before.last + 1]))


def _heading_needed(wind: Wind | None, course: float, direction: float) -> float:
    """Return the change of heading that goes from crab to crab; NaN when the wind is not known [rad]."""
    if wind is None or wind.speed >= wind.true_airspeed:
        return float("nan")
    angle = wind.direction_to - course
    return float(corner_heading_change(wind.true_airspeed, wind.speed, angle, direction))


def _entry_angle(states: States, maneuver: Maneuver) -> tuple[float, float]:
    """Return the angle between the track of the entry and the first leg, with its sd [rad].

    It counts from outside: an entry that comes from inside of the rectangle is negative. NaN where no
    straight flight before the course was recorded.
    """
    if not beginning(states, maneuver).straight:
        return float("nan"), float("nan")
    first = maneuver.laps[0].legs[0]
    angle = turn_sign(maneuver.laps[0]) * float(wrap_signed(maneuver.entry.track - first.course))
    at = int(np.searchsorted(states.time, maneuver.entry.turn_time))
    at = min(at, len(states) - 1)
    speed = max(float(states.ground_speed[at]), 1.0)
    bearing_sd = 0.0 if np.isnan(maneuver.reference.bearing_sd) else maneuver.reference.bearing_sd
    return angle, float(np.hypot(np.arctan2(states.velocity_sd[at], speed), np.hypot(bearing_sd, 0.02)))
