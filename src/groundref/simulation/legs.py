"""Pieces that a flight is composed of: on the ground, straight, turning, landing.

A leg is a frozen description; ``steer`` yields, step after step, what it wants of the flight, reading the
airplane that is moved between two steps, and ends when the leg is flown.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import atan, atan2, copysign, cos, hypot, pi, radians, remainder, sin
from typing import Protocol

from groundref.angles import full_turn
from groundref.simulation.fly import Motion
from groundref.simulation.pilot import Pilot, Wish
from groundref.units import foot_per_minute, knot, standard_gravity

_COURSE_GAIN = 0.35  # [s⁻¹] rate of turn asked for per error of track
_LINE_CAPTURE = 8.0  # [s] a line is met at 45° from this many seconds of flight off it
_COURSE_BANK = radians(25)
_STIFFNESS = 0.18  # [rad s⁻¹] with which a line is followed
_DAMPING = 0.9
_STRONGEST = 3.0  # [m s⁻²]
_STEEPEST_INTERCEPT = radians(45)


class Leg(Protocol):
    """A piece of a flight."""

    def steer(self, now: Motion, pilot: Pilot) -> Iterator[Wish]:
        """Yield what is wanted, one step after the other.

        Parameters
        ----------
        now
            The airplane, moved between two steps.
        pilot
            Who flies it, for what is misjudged.
        """


def course_bank(now: Motion, course: float, limit: float = _COURSE_BANK) -> float:
    """Return the bank that turns the track onto a course [rad].

    Parameters
    ----------
    now
        The airplane.
    course
        Track to fly [rad]
    limit
        Largest bank [rad]
    """
    error = remainder(course - now.track, full_turn)
    bank = atan(now.airspeed * _COURSE_GAIN * error / standard_gravity)
    return min(max(bank, -limit), limit)


def line_correction(off: float, rate: float, ground_speed: float) -> float:
    """Return the acceleration across a line that brings an airplane back onto it [m s⁻²].

    −ω² e − 2 ζ ω e', where an error e beyond that which is worked off at 45° to the line counts as that one:
    who is far off a line flies toward it, and does not turn as long as it is far.

    Parameters
    ----------
    off, rate
        Distance from the line, and its rate of change [m], [m s⁻¹]
    ground_speed
        [m s⁻¹]
    """
    farthest = 2.0 * _DAMPING * ground_speed * sin(_STEEPEST_INTERCEPT) / _STIFFNESS
    seen = min(max(off, -farthest), farthest)
    wanted = _STIFFNESS**2 * seen + 2.0 * _DAMPING * _STIFFNESS * rate
    return -min(max(wanted, -_STRONGEST), _STRONGEST)


@dataclass(frozen=True, slots=True)
class Wait:
    """Stand still on the ground for some seconds."""

    seconds: float

    def steer(self, now: Motion, pilot: Pilot) -> Iterator[Wish]:
        """Yield what is wanted."""
        until = now.time + self.seconds
        while now.time < until:
            yield Wish(0.0, 0.0, 0.0, wheels=(0.0, now.heading, 1.0))


@dataclass(frozen=True, slots=True)
class Taxi:
    """Roll to a place on the ground and stop there [m], [m s⁻¹]."""

    east: float
    north: float
    speed: float = 12 * knot

    def steer(self, now: Motion, pilot: Pilot) -> Iterator[Wish]:
        """Yield what is wanted."""
        left = hypot(self.east - now.east, self.north - now.north)
        while left > 4.0:
            bearing = atan2(self.east - now.east, self.north - now.north)
            off = abs(remainder(bearing - now.heading, full_turn))
            slow = 1.5 if off > 0.5 else self.speed  # round a corner at walking pace
            yield Wish(0.0, 0.0, 0.0, wheels=(min(slow, 0.6 + 0.25 * left), bearing, 0.8))
            left = hypot(self.east - now.east, self.north - now.north)


@dataclass(frozen=True, slots=True)
class TakeOff:
    """Turn into the runway, run up to the lift-off speed through the air and lift off [rad], [m s⁻¹]."""

    runway: float
    lift_off: float = 55 * knot

    def steer(self, now: Motion, pilot: Pilot) -> Iterator[Wish]:
        """Yield what is wanted."""
        while abs(remainder(self.runway - now.heading, full_turn)) > 0.01:
            yield Wish(0.0, 0.0, 0.0, wheels=(1.5, self.runway, 0.8))
        while now.airspeed < self.lift_off:
            yield Wish(0.0, 0.0, 0.0, wheels=(2.0 * self.lift_off, self.runway, 2.0))


@dataclass(frozen=True, slots=True)
class Straight:
    """Hold a track.

    Attributes
    ----------
    height, speed
        [m], [m s⁻¹]
    course
        Track; None keeps the track at the start of the leg [rad]
    seconds
        How long; the leg also ends only when ``until_height`` is reached, where given [s]
    until_height
        [m]
    """

    height: float
    speed: float
    course: float | None = None
    seconds: float = 0.0
    until_height: float | None = None

    def steer(self, now: Motion, pilot: Pilot) -> Iterator[Wish]:
        """Yield what is wanted."""
        until = now.time + self.seconds
        course = now.track if self.course is None else self.course
        climbing = self.until_height is not None and self.until_height > now.height
        while now.time < until or self._still_to_climb(now, climbing):
            yield Wish(course_bank(now, course), self.height, self.speed)

    def _still_to_climb(self, now: Motion, climbing: bool) -> bool:
        if self.until_height is None:
            return False
        return now.height < self.until_height if climbing else now.height > self.until_height


@dataclass(frozen=True, slots=True)
class GoTo:
    """Fly straight to a place; ends within ``capture`` of it or abeam it [m], [m s⁻¹]."""

    east: float
    north: float
    height: float
    speed: float
    capture: float = 250.0

    def steer(self, now: Motion, pilot: Pilot) -> Iterator[Wish]:
        """Yield what is wanted."""
        while (left := hypot(self.east - now.east, self.north - now.north)) > self.capture:
            bearing = atan2(self.east - now.east, self.north - now.north)
            abeam = abs(remainder(bearing - now.track, full_turn)) > 0.5 * pi
            if abeam and left < 4.0 * self.capture:
                return
            yield Wish(course_bank(now, bearing), self.height, self.speed)


@dataclass(frozen=True, slots=True)
class Line:
    """Join a straight line over the ground and follow it past a place on it.

    Attributes
    ----------
    east, north
        The place [m]
    course
        Track of the line [rad]
    height, speed
        [m], [m s⁻¹]
    lead
        Time before the place at which the leg ends [s]
    slope
        Descend so as to reach ``height`` at the place along this angle; 0 holds the height [rad]
    """

    east: float
    north: float
    course: float
    height: float
    speed: float
    lead: float = 0.0
    slope: float = 0.0

    def steer(self, now: Motion, pilot: Pilot) -> Iterator[Wish]:
        """Yield what is wanted."""
        along, right = self._place(now)
        while along < -self.lead * now.ground_speed:
            intercept = self.course - atan(right / (_LINE_CAPTURE * now.ground_speed))
            height = self.height - along * self.slope
            sink = -now.ground_speed * self.slope
            bank = course_bank(now, intercept)
            yield Wish(bank, height, self.speed, climb=sink, sink_limit=900 * foot_per_minute)
            along, right = self._place(now)

    def _place(self, now: Motion) -> tuple[float, float]:
        """Return the distance past the place along the line, and right of it [m]."""
        east, north = now.east - self.east, now.north - self.north
        sine, cosine = sin(self.course), cos(self.course)
        return east * sine + north * cosine, east * cosine - north * sine


@dataclass(frozen=True, slots=True)
class Turn:
    """Turn with a constant bank.

    Attributes
    ----------
    angle
        Change of heading, right positive [rad]
    bank
        Bank, unsigned [rad]
    height
        To hold or reach; None keeps that at the start [m]
    speed
        [m s⁻¹]
    rising_air
        Speed of rising air in it [m s⁻¹]
    """

    angle: float
    bank: float
    speed: float
    height: float | None = None
    rising_air: float = 0.0

    def steer(self, now: Motion, pilot: Pilot) -> Iterator[Wish]:
        """Yield what is wanted."""
        height = now.height if self.height is None else self.height
        turned, before = 0.0, now.heading
        # Half the time it takes to roll level is turned at the rate of the turn: begin that much early.
        early = (standard_gravity * self.bank / self.speed) * pilot.half_roll_time(self.bank)
        while turned < abs(self.angle) - early:
            bank = copysign(self.bank, self.angle)
            yield Wish(bank, height, self.speed, rising_air=self.rising_air)
            turned += copysign(1.0, self.angle) * remainder(now.heading - before, full_turn)
            before = now.heading


@dataclass(frozen=True, slots=True)
class Flare:
    """Let the airplane down from a low final until the wheels roll [rad], [m s⁻¹]."""

    runway: float
    speed: float = 58 * knot

    def steer(self, now: Motion, pilot: Pilot) -> Iterator[Wish]:
        """Yield what is wanted."""
        while now.height > 0.15:
            sink = -0.3 - 0.18 * min(max(now.height, 0.0), 20.0)
            bank = course_bank(now, self.runway, radians(8))
            yield Wish(bank, now.height, self.speed, climb=sink)


@dataclass(frozen=True, slots=True)
class RollOut:
    """Brake on the runway to taxi speed [rad], [m s⁻¹]."""

    runway: float
    speed: float = 10 * knot

    def steer(self, now: Motion, pilot: Pilot) -> Iterator[Wish]:
        """Yield what is wanted."""
        while now.ground_speed > self.speed + 0.1 or not now.on_ground:
            yield Wish(0.0, 0.0, 0.0, wheels=(self.speed, self.runway, 1.8))
