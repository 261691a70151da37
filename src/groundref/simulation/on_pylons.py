"""Eights on pylons as a leg: the wing is held on the pylon by bank and height, not at a distance.

In each loop the bank that brings the wing's plane down onto the pylon, atan(H/d), is flown, less a part of
the angle by which the pylon stands ahead of abeam; and the height follows the pivotal height of the
airspeed and heading as they are, so that the pylon stays where it is. Height is traded for speed: the
throttle is left at what holds the airspeed with the wind square to the heading. Between the pylons the
airplane flies straight so as to pass the next one at the distance at which its turn begins. Who is at a wrong
height cannot have both, the wing down on the pylon and the pylon abeam: most then keep it abeam, with the
bank that turns as fast as the pylon passes, atan(H_p/d), H_p the pivotal height, and the wing points above
the pylon or below.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from math import asin, atan, atan2, cos, hypot, nan, pi, radians, remainder, sin, sqrt, tan
from typing import Final

import numpy as np

from groundref.angles import full_turn, quarter_turn, wrap
from groundref.mechanics.pylon import height_rate_with_speed_traded, height_with_speed_traded
from groundref.simulation.exercise import Exercise, Shape
from groundref.simulation.faults import Faults
from groundref.simulation.fly import Motion
from groundref.simulation.legs import Line, course_bank
from groundref.simulation.maneuver_leg import Columns, Floats, roll_in, roll_out
from groundref.simulation.pilot import Pilot, Wish
from groundref.simulation.pylon_layout import Crossing, crossing, crossing_between
from groundref.simulation.truth import TrueManeuver
from groundref.units import degree, standard_gravity

# A way across of 3 to 5 s is too short to weave on; airspeed is to change with height.
FAULTS_THAT_APPLY: Final = ("pivotal-altitude-not-followed", "bank-over-limit", "uncoordinated")
BANK_LIMIT: Final = radians(40)  # FAA-S-ACS-7, CA.V.E
_BANK: Final = (radians(32), radians(33.5))  # where a turn begins: 30 to 40° at the steepest, some in hand
_LEVEL: Final = 2.4  # [s] wings quite level between the pylons; with the ends of the rolls it looks like 4
_ABEAM_SHARE: Final = 0.7  # of a wrong height is taken up by pointing the wing off the pylon
_AHEAD_GAIN: Final = 1.4  # bank taken off per angle by which the pylon is ahead
_MISJUDGED: Final = 3.0  # errors of 5 m in distance are some 2° of the wing line, seen over the wing tip
_LOOSE: Final = 0.02  # part of the distance that nobody sees to be wrong
_LEAD_GAIN: Final = 0.9
_LARGEST_LEAD: Final = radians(8)
_LARGEST_CORRECTION: Final = radians(12)
_LEAST_TURN: Final = radians(90)  # before the way to the other pylon is looked for
_MOST_TURN: Final = radians(350)
_MENDED: Final = 0.3  # of a wrong airspeed by the throttle, the rest is let be
_SMALL: Final = 1.0  # [m s⁻¹] climbs for which nobody sets power
_CLIMB_GAIN: Final = 0.17  # [s⁻¹] of the height, as pilots climb
_FOLLOWED: Final = 0.5  # of what the airspeed does other than planned
_CLIMB: Final = 4.0  # [m s⁻¹] steeper than in cruise, as the height is paid for with speed
_LEVEL_BANK: Final = 12 * degree  # more is a loop
_OVER_LIMIT: Final = (radians(50), radians(35))  # turned since the loop began, and to either side


@dataclass(frozen=True, slots=True)
class Pylons:
    """The eight to fly.

    Attributes
    ----------
    first, second
        The pylons, the first turned about first: east and north [m]
    ways
        From the second to the first, and from the first to the second.
    side
        Of the first turn: +1 right, −1 left.
    loops
        How many.
    speed
        True airspeed with the wind square to the heading [m s⁻¹]
    bank_limit
        [rad]
    """

    first: tuple[float, float]
    second: tuple[float, float]
    ways: tuple[Crossing, Crossing]
    side: float
    loops: int
    speed: float
    bank_limit: float

    def pylon(self, loop: int) -> tuple[float, float]:
        """Return the pylon of a loop, counted from 0 [m]."""
        return self.first if loop % 2 == 0 else self.second

    def turn(self, loop: int) -> float:
        """Return which way a loop turns: +1 right, −1 left."""
        return self.side if loop % 2 == 0 else -self.side

    def way(self, loop: int) -> Crossing:
        """Return the way that leads to a loop."""
        return self.ways[loop % 2]


def shape(exercise: Exercise) -> Shape:
    """Return eights on pylons, entered on the diagonal, the first turn into the wind.

    The radius asked for is the distance at which a turn begins, as far as that needs 32 to 33° of bank there;
    the height is the pivotal height of the airspeed.

    Raises
    ------
    NoSolutionError
        When the pylons are too close together or too far apart.
    """
    eight = _eight(exercise)
    start, faults = eight.way(0), exercise.faults
    east, north = _abeam(eight)
    height = start.height + (faults.pivotal_altitude_not_followed if faults.made_in(1) else 0.0)
    lead = exercise.airplane.half_roll_time(atan(start.height / start.distance))
    return Shape(
        exercise=replace(exercise, height=height, bank_limit=eight.bank_limit),
        entry=(east, north),
        course=start.track,
        approach=Line(east, north, start.track, height, start.airspeed, lead=lead + 1.0),
        maneuver=OnPylons(eight, faults),
        after=eight.way(eight.loops).track,
    )


def _eight(exercise: Exercise) -> Pylons:
    """Lay out pylons across the wind, or as asked for."""
    wind = (
        exercise.wind_speed * sin(exercise.downwind),
        exercise.wind_speed * cos(exercise.downwind),
    )
    # The diagonal is flown with the wind, so that the turn at its end is into the wind.
    usual = exercise.downwind - exercise.side * quarter_turn
    bearing = usual if exercise.course is None else exercise.course
    _, height = height_with_speed_traded(exercise.speed, exercise.wind_speed)
    bank = min(max(atan2(float(height), exercise.radius), _BANK[0]), _BANK[1])

    def way(toward: float, side: float, spacing: float | None) -> Crossing:
        if spacing is not None:
            return crossing_between(exercise.speed, wind, toward, side, bank, spacing)
        seconds = _LEVEL + 2.0 * exercise.airplane.half_roll_time(bank)
        return crossing(exercise.speed, wind, toward, side, bank, seconds)

    there = way(bearing, -exercise.side, exercise.spacing)
    back = way(bearing + pi, exercise.side, there.spacing)
    half_east, half_north = 0.5 * there.spacing * sin(bearing), 0.5 * there.spacing * cos(bearing)
    return Pylons(
        first=(exercise.east - half_east, exercise.north - half_north),
        second=(exercise.east + half_east, exercise.north + half_north),
        ways=(back, there),
        side=exercise.side,
        loops=max(round(2.0 * exercise.laps), 1),
        speed=exercise.speed,
        bank_limit=min(exercise.bank_limit, BANK_LIMIT),
    )


def _abeam(eight: Pylons) -> tuple[float, float]:
    """Return where the first pylon is abeam at the end of the way in, east and north [m]."""
    start = eight.way(0)
    away = -eight.side * start.distance
    return (
        eight.first[0] + away * cos(start.heading),
        eight.first[1] - away * sin(start.heading),
    )


@dataclass(frozen=True, slots=True)
class OnPylons:
    """The loops and the ways between them.

    Attributes
    ----------
    eight
        What is flown.
    faults
        How badly.
    """

    eight: Pylons
    faults: Faults = field(default_factory=Faults)

    def steer(self, now: Motion, pilot: Pilot) -> Iterator[Wish]:
        """Yield what is wanted."""
        for loop in range(self.eight.loops):
            yield from self._straight(now, pilot, loop)
            yield from self._loop(now, pilot, loop)

    def flown(self, begin: float, finish: float, column: Columns) -> TrueManeuver:
        """Return the facts about the flown eights from the samples of the flight."""
        eight, time = self.eight, column["time"]
        starts = _starts(eight, time, column["bank"], begin, finish)
        last = eight.turn(eight.loops - 1)
        start, end = starts[0], roll_out(time, last * column["bank"], finish)
        east, north = column["east"] - eight.first[0], column["north"] - eight.first[1]
        track = np.unwrap(np.arctan2(column["velocity_east"], column["velocity_north"]))
        return TrueManeuver(
            kind="eights-on-pylons",
            direction="both",
            reference="pylons",
            places=(eight.first, eight.second),
            radius=nan,
            height=eight.way(0).height,
            laps=eight.loops,
            start=start,
            end=end,
            entry_time=start,
            entry_track=float(wrap(np.interp(begin, time, track))),
            entry_distance=float(np.interp(start, time, np.hypot(east, north))),
            boundaries=(*starts, end),
            bank_limit=eight.bank_limit,
            faults=self.faults.told(),
        )

    def _straight(self, now: Motion, pilot: Pilot, loop: int) -> Iterator[Wish]:
        """Fly from one pylon toward the next until that is abeam but for the time that rolling in takes."""
        course = self._course_to(loop, now)
        while self._time_to_abeam(now, loop) > pilot.half_roll_time(self._bank_there(loop)):
            yield self._at_pivotal_height(now, course_bank(now, course), loop)

    def _loop(self, now: Motion, pilot: Pilot, loop: int) -> Iterator[Wish]:
        """Turn about a pylon until the way to the other one lies ahead."""
        side, turned, before = self.eight.turn(loop), 0.0, now.track
        while turned < _LEAST_TURN or not self._turned_enough(now, pilot, loop):
            if turned > _MOST_TURN:  # the eight has grown so wide that no straight way leads across
                return
            yield self._turning(now, pilot, loop, turned)
            turned += side * remainder(now.track - before, full_turn)
            before = now.track

    def _turned_enough(self, now: Motion, pilot: Pilot, loop: int) -> bool:
        """Return whether rolling out now ends on the way to the other pylon."""
        left = self.eight.turn(loop) * remainder(self._course_to(loop + 1, now) - now.track, full_turn)
        rate = standard_gravity * tan(abs(now.bank)) / now.airspeed
        return abs(left) < 0.5 * pi and left <= rate * pilot.half_roll_time(now.bank)

    def _turning(self, now: Motion, pilot: Pilot, loop: int, turned: float) -> Wish:
        """Return what holds the pylon on the wing."""
        side, faulty = self.eight.turn(loop), self.faults.made_in(loop + 1)
        east, north = self.eight.pylon(loop)
        east, north = east - now.east, north - now.north
        ahead, beside = _ahead_and_beside(east, north, now.heading, side)
        off = atan2(ahead, beside) - self._lead_on(now, loop, hypot(east, north))
        off += _MISJUDGED * pilot.misjudged_distance() / hypot(east, north)
        apparent = now.height - _ABEAM_SHARE * (now.height - _pivotal(now))
        bank = atan(apparent / hypot(east, north))
        skid = self.faults.uncoordinated if faulty else 0.0
        # Feet that push the nose round leave less for the bank to do.
        bank = atan(tan(bank) - skid / (standard_gravity * cos(bank)))
        correction = _AHEAD_GAIN * off
        bank -= min(max(correction, -_LARGEST_CORRECTION), _LARGEST_CORRECTION)
        bank = min(max(bank, 0.0), self.eight.bank_limit)
        if faulty and self.faults.bank_over_limit:
            part = _fading(turned - _OVER_LIMIT[0], _OVER_LIMIT[1])
            bank += part * (self.eight.bank_limit + self.faults.bank_over_limit - bank)
        return self._at_pivotal_height(now, side * bank, loop, side * skid)

    def _at_pivotal_height(self, now: Motion, bank: float, loop: int, side_force: float = 0.0) -> Wish:
        """Return a wish for a bank at the pivotal height of this moment."""
        nose_east, nose_north = sin(now.heading), cos(now.heading)
        along = _wind_along(now, now.heading)
        inward = (now.wind_east * nose_north - now.wind_north * nose_east) * (1.0 if bank > 0 else -1.0)
        _, planned = height_with_speed_traded(self.eight.speed, along)
        # Height changes speed and speed the pivotal height, by twice as much and the other way: who follows
        # the whole of it at once hunts.
        height = float(planned) + _FOLLOWED * (_pivotal(now) - float(planned))
        off = self.faults.pivotal_altitude_not_followed if self.faults.made_in(loop + 1) else 0.0
        height += off
        rate = height_rate_with_speed_traded(now.airspeed, along, inward, abs(bank))
        asked = max(min(float(rate) + _CLIMB_GAIN * (height - now.height), _CLIMB), -_CLIMB)
        powered = asked - max(min(asked, _SMALL), -_SMALL)
        return Wish(
            bank=bank,
            height=height,
            climb=float(rate),
            speed=now.airspeed + _MENDED * (self._traded(now.height - off) - now.airspeed),
            # No power is set for the climb: it is paid for with speed.
            speed_change=-standard_gravity * powered / now.airspeed,
            side_force=side_force,
            climb_limit=_CLIMB,
            sink_limit=_CLIMB,
        )

    def _traded(self, height: float) -> float:
        """Return the airspeed that is left at a height of the speed and height of a square wind [m s⁻¹]."""
        still = self.eight.speed
        return sqrt(max(3.0 * still**2 - 2.0 * standard_gravity * height, 0.25 * still**2))

    def _lead_on(self, now: Motion, loop: int, distance: float) -> float:
        """Return how far ahead the pylon is let to stand to come nearer where it is far off, or behind [rad].

        On the path that follows from the way in, distance goes as 1/(V + w_h); that far off does not matter.
        """
        way, along = self.eight.way(loop), _wind_along(now, now.heading)
        there = way.distance * (way.airspeed + _wind_along(now, way.heading)) / (now.airspeed + along)
        excess = distance / there - 1.0
        beyond = max(abs(excess) - _LOOSE, 0.0)
        return min(_LEAD_GAIN * beyond, _LARGEST_LEAD) * (1.0 if excess > 0.0 else -1.0)

    def _course_to(self, loop: int, now: Motion) -> float:
        """Return the track that passes the pylon of a loop at the distance where its turn begins [rad]."""
        east, north = self.eight.pylon(loop)
        east, north = east - now.east, north - now.north
        way = self.eight.way(loop)
        # The pylon is to be abeam the heading, which the crab turns away from abeam the track.
        pass_at = way.distance * cos(remainder(way.heading - way.track, full_turn))
        aside = asin(min(pass_at / max(hypot(east, north), 1.0), 1.0))
        return atan2(east, north) - self.eight.turn(loop) * aside

    def _time_to_abeam(self, now: Motion, loop: int) -> float:
        """Return the time until the pylon of a loop is abeam the heading [s]."""
        east, north = self.eight.pylon(loop)
        ahead, _ = _ahead_and_beside(east - now.east, north - now.north, now.heading, 1.0)
        return ahead / (now.ground_speed * cos(remainder(now.heading - now.track, full_turn)))

    def _bank_there(self, loop: int) -> float:
        """Return the bank with which the turn of a loop begins [rad]."""
        way = self.eight.way(loop)
        return atan(way.height / way.distance)


def _wind_along(now: Motion, heading: float) -> float:
    """Return the wind along a heading, a tailwind positive [m s⁻¹]."""
    return now.wind_east * sin(heading) + now.wind_north * cos(heading)


def _pivotal(now: Motion) -> float:
    """Return the pivotal height of this moment [m]."""
    return now.airspeed * (now.airspeed + _wind_along(now, now.heading)) / standard_gravity


def _ahead_and_beside(east: float, north: float, heading: float, side: float) -> tuple[float, float]:
    """Return how far ahead of the airplane and out along a wing a place lies [m]."""
    sine, cosine = sin(heading), cos(heading)
    return east * sine + north * cosine, side * (east * cosine - north * sine)


def _starts(eight: Pylons, time: Floats, bank: Floats, begin: float, finish: float) -> tuple[float, ...]:
    """Return when each loop was rolled into: the bank passed half of what it then was [s]."""
    starts, at = [roll_in(time, eight.side * bank, begin)], begin
    for loop in range(1, eight.loops):
        other = (time > at) & (time <= finish) & (eight.turn(loop) * bank > _LEVEL_BANK)
        level = (time > at) & (eight.turn(loop) * bank <= 0.0) & (time < time[int(np.argmax(other))])
        at = float(time[np.flatnonzero(level)[-1]])
        starts.append(roll_in(time, eight.turn(loop) * bank, at))
        at = starts[-1]
    return tuple(starts)


def _fading(angle: float, width: float) -> float:
    """Return 1 at 0, fading as a raised cosine to 0 at ``width`` either way."""
    return 0.5 * (1.0 + cos(pi * angle / width)) if abs(angle) < width else 0.0
