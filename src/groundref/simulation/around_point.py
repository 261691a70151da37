"""Turns around a point as a leg: the entry, the circle, and the errors made in them.

On the circle the airplane at distance d moves with the part u of its ground velocity along the circle, and
d'' = u²/d − g tan(bank) cos(crab): bank toward the point, crab the angle between nose and circle. A pilot who
wants d'' = −ω² (d − R) − 2 ζ ω d' therefore banks

    tan(bank) = (u²/d + ω² (d − R) + 2 ζ ω d') / (g cos(crab)),

which on the circle is the bank needed, G²/(g R cos(crab)). Where a fault is committed the correction is
faded out and the needed bank is missed by the fault's size, so that the path suffers as it would.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from math import atan, ceil, cos, hypot, pi, radians, remainder, sin, tan
from typing import Final

import numpy as np

from groundref.angles import full_turn, unwrap, wrap
from groundref.errors import NoSolutionError
from groundref.mechanics.circle import bank_extremes, smallest_radius
from groundref.simulation.airplane import Airplane
from groundref.simulation.exercise import Exercise, Shape
from groundref.simulation.faults import Faults
from groundref.simulation.fly import Motion
from groundref.simulation.legs import Leg, Line, course_bank
from groundref.simulation.maneuver_leg import Columns, roll_in, roll_out
from groundref.simulation.pilot import Pilot, Wish
from groundref.simulation.truth import TrueManeuver, lap_boundaries
from groundref.units import degree, foot, standard_gravity

FAULTS_THAT_APPLY: Final = frozenset(
    {
        "bank-held-constant",
        "overbanked-upwind",
        "underbanked-downwind",
        "late-turn-entry",
        "entry-not-downwind",
        "entry-too-close",
        "entry-too-far",
        "radius-changed",
        "bank-over-limit",
        "altitude-not-held",
        "airspeed-not-held",
        "outside-height-band",
        "uncoordinated",
    }
)
STEEPEST: Final = radians(60)  # more asks for parachutes: 14 CFR 91.307 (c)
_STIFFNESS = 0.18  # [rad s⁻¹] ω: an error is worked off in some ten seconds
_DAMPING = 0.9
_FAULT_WIDTH = radians(60)  # a bank error fades out this far from straight down- or upwind
_OVER_LIMIT_PLACE = radians(15)
_OVER_LIMIT_ROLLED = radians(40)  # where the steepest place is that of rolling in
_OVER_LIMIT_WIDTH = radians(40)
_SPEED_PERIOD = 80.0  # [s]
_MARGIN = radians(5)  # of bank for corrections where the circle itself needs the limit or more
_STEEPEST = radians(65)


@dataclass(frozen=True, slots=True)
class Circle:
    """The circle to fly.

    Attributes
    ----------
    east, north
        The point [m]
    radius
        [m]
    side
        +1 turns right, −1 left.
    downwind
        Track straight downwind [rad]
    laps
        Times round; need not be whole.
    height, speed
        Height above the airfield and true airspeed to hold [m], [m s⁻¹]
    bank_limit
        Bank the pilot does not go beyond to make a correction, unless the circle itself needs it [rad]
    """

    east: float
    north: float
    radius: float
    side: float
    downwind: float
    laps: float
    height: float
    speed: float
    bank_limit: float

    def needed_bank(self, ground_speed: float, crab: float, radius: float) -> float:
        """Return the bank that keeps a radius, unsigned [rad]."""
        return atan(ground_speed**2 / (standard_gravity * radius * cos(crab)))


def shape(exercise: Exercise) -> Shape:
    """Return turns around a point, entered downwind.

    Raises
    ------
    NoSolutionError
        When the circle needs more bank than anyone flies.
    """
    check_bank(exercise.speed, exercise.wind_speed, exercise.radius)
    faults = exercise.faults
    circle = Circle(
        east=exercise.east,
        north=exercise.north,
        radius=exercise.radius,
        side=exercise.side,
        downwind=exercise.downwind,
        laps=exercise.laps,
        height=exercise.height,
        speed=exercise.speed,
        bank_limit=exercise.bank_limit,
    )
    course = entry_track(circle, faults)
    return Shape(
        exercise=exercise,
        entry=entry_place(circle, faults),
        course=course,
        approach=approach(circle, faults, exercise.wind_speed, exercise.airplane),
        maneuver=AroundPoint(circle, faults),
        after=course + circle.side * (circle.laps % 1.0) * full_turn,
    )


def check_bank(airspeed: float, wind: float, radius: float) -> None:
    """Refuse a circle so small that it needs too much bank where it needs most, straight downwind.

    Raises
    ------
    NoSolutionError
        When it needs more than `STEEPEST`.
    """
    smallest = float(smallest_radius(airspeed, wind, STEEPEST))
    if radius < smallest:
        _, steepest = bank_extremes(airspeed, wind, radius)
        least = ceil(smallest / foot / 10.0) * 10
        raise NoSolutionError(
            f"this circle needs {float(steepest) / degree:.0f}° of bank downwind, more than "
            f"{STEEPEST / degree:.0f}°",
            "radius",
            f"choose {least:,} ft or more, or less wind or airspeed",
        )


def entry_track(circle: Circle, faults: Faults) -> float:
    """Return the track on which the circle is entered [rad]."""
    return circle.downwind + faults.entry_not_downwind


def entry_radius(circle: Circle, faults: Faults) -> float:
    """Return the distance at which the point is passed at the entry [m]."""
    return circle.radius - faults.entry_too_close + faults.entry_too_far


def entry_place(circle: Circle, faults: Faults) -> tuple[float, float]:
    """Return where the point is abeam on the entry track, east and north [m]."""
    track, away = entry_track(circle, faults), -circle.side * entry_radius(circle, faults)
    return circle.east + away * cos(track), circle.north - away * sin(track)


def approach(circle: Circle, faults: Faults, wind_speed: float, airplane: Airplane) -> Leg:
    """Return the straight leg to the entry, which ends as early as rolling in takes.

    Parameters
    ----------
    circle, faults
        What is flown.
    wind_speed
        For the bank that will be needed [m s⁻¹]
    airplane
        For the time that rolling in takes.
    """
    east, north = entry_place(circle, faults)
    bank = circle.needed_bank(circle.speed + wind_speed, 0.0, entry_radius(circle, faults))
    lead = airplane.half_roll_time(bank)
    return Line(east, north, entry_track(circle, faults), circle.height, circle.speed, lead=lead)


@dataclass(frozen=True, slots=True)
class AroundPoint:
    """The turn itself, from rolling in to the start of rolling out.

    Attributes
    ----------
    circle
        What is flown.
    faults
        How badly.
    steepest
        Where it is an arc that leaves out straight downwind: how far from there it comes nearest to it, which
        is where the errors of downwind are made [rad]
    """

    circle: Circle
    faults: Faults = field(default_factory=Faults)
    steepest: float = 0.0

    def steer(self, now: Motion, pilot: Pilot) -> Iterator[Wish]:
        """Yield what is wanted."""
        circle, begin = self.circle, now.time
        course = entry_track(circle, self.faults)
        while now.time < begin + self.faults.late_turn_entry:
            yield Wish(course_bank(now, course), circle.height, circle.speed)
        turned, before, begin = 0.0, now.track, now.time
        while turned < circle.laps * full_turn - self._early(now, pilot):
            yield self._wish(now, pilot, max(turned, 0.0), now.time - begin)
            turned += circle.side * remainder(now.track - before, full_turn)
            before = now.track

    def flown(self, begin: float, finish: float, column: Columns) -> TrueManeuver:
        """Return the facts about the flown circle from the samples of the flight."""
        circle, time, bank = self.circle, column["time"], self.circle.side * column["bank"]
        start, end = roll_in(time, bank, begin), roll_out(time, bank, finish)
        track = np.arctan2(column["velocity_east"], column["velocity_north"])
        distance = np.hypot(column["east"] - circle.east, column["north"] - circle.north)
        abeam = _abeam(self, begin, column)
        return TrueManeuver(
            kind="turns-around-a-point",
            direction="right" if circle.side > 0 else "left",
            reference="point",
            places=((circle.east, circle.north),),
            radius=circle.radius,
            height=circle.height,
            laps=circle.laps,
            start=start,
            end=end,
            entry_time=abeam,
            entry_track=float(wrap(np.interp(min(abeam, begin), time, unwrap(track)))),
            entry_distance=float(np.interp(start, time, distance)),
            boundaries=lap_boundaries(time, track, start, end),
            bank_limit=circle.bank_limit,
            faults=self.faults.told(),
        )

    def _early(self, now: Motion, pilot: Pilot) -> float:
        """Return the angle that is still turned while rolling out [rad]."""
        return pilot.half_roll_time(now.bank) * now.ground_speed / self.circle.radius

    def _wish(self, now: Motion, pilot: Pilot, turned: float, since: float) -> Wish:
        """Return what is wanted after an angle turned [rad] and a time in the turn [s]."""
        circle, faults = self.circle, self.faults
        lost, sink = self._height_lost(turned, now)
        slow = faults.airspeed_not_held * 0.5
        side_force = faults.uncoordinated * min(since / 3.0, 1.0) if faults.made_after(turned) else 0.0
        phase = full_turn * since / _SPEED_PERIOD
        return Wish(
            bank=circle.side * self._bank(now, pilot, turned, since, side_force),
            height=circle.height - lost,
            climb=-sink,
            speed=circle.speed - slow * (1.0 - cos(phase)),
            speed_change=-slow * sin(phase) * full_turn / _SPEED_PERIOD,
            side_force=circle.side * side_force,
            climb_limit=8.0,
            sink_limit=8.0,
        )

    def _height_lost(self, turned: float, now: Motion) -> tuple[float, float]:
        """Return the height lost on purpose and its rate [m], [m s⁻¹]."""
        half = 0.5 * self.faults.altitude_not_held if self.faults.made_after(turned) else 0.0
        rate = now.ground_speed / self.circle.radius
        return half * (1.0 - cos(turned)), half * sin(turned) * rate

    def _bank(self, now: Motion, pilot: Pilot, turned: float, since: float, side_force: float) -> float:
        """Return the bank wanted, toward the point positive [rad]."""
        circle, faults = self.circle, self.faults
        radius = self._radius(turned)
        crab = remainder(now.heading - now.track, full_turn)
        needed = circle.needed_bank(now.ground_speed, crab, radius)
        ceiling = min(max(circle.bank_limit, needed + _MARGIN), _STEEPEST)
        bank = min(max(self._correcting(now, pilot, radius, side_force), radians(-8)), ceiling)
        if since < 2.0 * pilot.half_roll_time(needed):
            bank = needed  # roll in first, then correct
        still_air = circle.needed_bank(circle.speed, 0.0, circle.radius)
        held = faults.bank_held_constant if faults.made_after(turned) else 0.0
        # Who holds the bank does not watch the distance: with half of the variation missing not at all.
        bank = needed + max(1.0 - 2.0 * held, 0.0) * (bank - needed)
        bank = atan((1.0 - held) * tan(bank) + held * tan(still_air))
        position = circle.side * (now.track - circle.downwind)
        return self._missed(bank, needed, position) if faults.made_after(turned) else bank

    def _correcting(self, now: Motion, pilot: Pilot, radius: float, side_force: float) -> float:
        """Return the bank that works off the error of distance, whatever the feet do [rad]."""
        east, north = now.east - self.circle.east, now.north - self.circle.north
        distance = max(hypot(east, north), 1.0)
        out_east, out_north = east / distance, north / distance
        outward = now.velocity_east * out_east + now.velocity_north * out_north
        along = self.circle.side * (now.velocity_east * out_north - now.velocity_north * out_east)
        nose = self.circle.side * (sin(now.heading) * out_north - cos(now.heading) * out_east)
        seen = distance + pilot.misjudged_distance()
        wanted = _STIFFNESS**2 * (seen - radius) + 2.0 * _DAMPING * _STIFFNESS * outward
        # Far from the point the correction is held to what a reasonable bank can do.
        inward = along * abs(along) / distance + min(max(wanted, -6.0), 6.0)
        inward -= side_force / cos(now.bank)
        return atan(inward / (standard_gravity * max(nose, 0.5)))

    def _missed(self, bank: float, needed: float, position: float) -> float:
        """Return the bank with the errors that belong to this position relative to the wind [rad]."""
        faults = self.faults
        if faults.overbanked_upwind:
            part = fading(position - pi, _FAULT_WIDTH)
            bank += part * (needed + faults.overbanked_upwind - bank)
        if faults.underbanked_downwind:
            part = fading(abs(remainder(position, full_turn)) - self.steepest, _FAULT_WIDTH)
            bank += part * (needed - faults.underbanked_downwind - bank)
        if faults.bank_over_limit:
            after = _OVER_LIMIT_ROLLED if self.steepest else _OVER_LIMIT_PLACE
            part = fading(position - self.steepest - after, _OVER_LIMIT_WIDTH)
            bank += part * (self.circle.bank_limit + faults.bank_over_limit - bank)
        return bank

    def _radius(self, turned: float) -> float:
        """Return the radius aimed at after an angle turned [m]."""
        faults, radius = self.faults, self.circle.radius
        at_entry = entry_radius(self.circle, faults) - radius
        radius += at_entry * 0.5 * (1.0 + cos(min(turned, pi)))
        # One lap alone changes halfway; more laps change from one to the next, over 60°.
        span = full_turn if self.circle.laps > 1 else pi
        lap, within = divmod(turned, span)
        settled = min(within / radians(60), 1.0) if lap else 1.0
        sign = 1.0 if lap % 2 == 0 else -1.0
        return radius + 0.5 * faults.radius_changed * sign * (2.0 * settled - 1.0)


def fading(angle: float, width: float) -> float:
    """Return 1 at 0, fading as a raised cosine to 0 at ``width`` either way."""
    off = abs(remainder(angle, full_turn))
    return 0.5 * (1.0 + cos(pi * off / width)) if off < width else 0.0


def _abeam(leg: AroundPoint, begin: float, column: Columns) -> float:
    """Return when the airplane came abeam the point on its way in [s]."""
    east, north = entry_place(leg.circle, leg.faults)
    course = entry_track(leg.circle, leg.faults)
    along = (column["east"] - east) * np.sin(course) + (column["north"] - north) * np.cos(course)
    near = (column["time"] > begin - 30.0) & (along >= 0.0)
    return float(column["time"][int(np.argmax(near))])
