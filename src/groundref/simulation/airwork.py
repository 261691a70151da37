"""Airwork that is no ground-reference maneuver, as lists of legs: turns, stalls, chandelles, lazy eights.

Shapes and figures are those in common use (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, pi, radians, remainder, sin, tan

from groundref.angles import full_turn, half_turn
from groundref.simulation.fly import Motion
from groundref.simulation.legs import Leg, Straight, Turn, course_bank
from groundref.simulation.pilot import Pilot, Wish
from groundref.units import foot, knot, standard_gravity


def turns(
    angles_deg: tuple[float, ...],
    height: float,
    *,
    bank: float = radians(20),
    speed: float = 90 * knot,
    between: float = 20.0,
) -> list[Leg]:
    """Return turns with straight flight between them, as for spacing, for a look round, on a way.

    Parameters
    ----------
    angles_deg
        Changes of heading, right positive [°]
    height
        [m]
    bank
        [rad]
    speed
        [m s⁻¹]
    between
        Straight flight after each [s]
    """
    legs: list[Leg] = []
    for angle in angles_deg:
        legs.append(Turn(radians(angle), bank, speed, height=height))
        legs.append(Straight(height, speed, seconds=between))
    return legs


@dataclass(frozen=True, slots=True)
class Climbing:
    """Turn with the bank growing to the middle and falling again, up and down as it goes.

    Attributes
    ----------
    angle
        Change of heading, right positive [rad]
    bank
        In the middle [rad]
    gained
        Height at the middle above that at the start [m]
    kept
        Share of it kept at the end: 0 for a lazy eight, 1 for a chandelle.
    speed
        At the start [m s⁻¹]
    """

    angle: float
    bank: float
    gained: float
    kept: float
    speed: float

    def steer(self, now: Motion, pilot: Pilot) -> Iterator[Wish]:
        """Yield what is wanted."""
        start, side, whole = now.height, 1.0 if self.angle > 0 else -1.0, abs(self.angle)
        turned, before = 0.0, now.heading
        while turned < whole - radians(4):
            part = min(max(turned / whole, 0.0), 1.0)
            bank = max(self.bank * sin(pi * part), radians(10))
            up, slope = self._up(part)
            climb = slope * standard_gravity * tan(abs(now.bank)) / (now.airspeed * whole)
            slow = self.speed * (1.0 - 0.35 * up / self.gained)
            yield Wish(side * bank, start + up, slow, climb=climb, climb_limit=9.0, sink_limit=9.0)
            turned += side * remainder(now.heading - before, full_turn)
            before = now.heading

    def _up(self, part: float) -> tuple[float, float]:
        """Return the height gained at a part of the turn, and its slope over the part [m]."""
        height = self.gained if part < 0.5 else (1.0 - self.kept) * self.gained
        lost = self.gained - height
        return lost + 0.5 * height * (1.0 - cos(full_turn * part)), pi * height * sin(full_turn * part)


def chandelle(height: float, *, side: float = 1.0, speed: float = 100 * knot) -> list[Leg]:
    """Return a climbing turn through 180° [m], [m s⁻¹]."""
    level = Straight(height, speed, seconds=20.0)
    turn = Climbing(side * half_turn, radians(30), 500 * foot, 1.0, speed)
    return [level, turn, Straight(height + 500 * foot, 0.8 * speed, seconds=25.0)]


def lazy_eights(height: float, *, times: int = 2, speed: float = 100 * knot) -> list[Leg]:
    """Return climbing and diving half circles, one way and the other, without a straight between.

    Parameters
    ----------
    height
        [m]
    times
        Number of eights, two half circles each.
    speed
        [m s⁻¹]
    """
    pair = [Climbing(side * half_turn, radians(30), 450 * foot, 0.0, speed) for side in (1.0, -1.0)]
    return [Straight(height, speed, seconds=15.0), *(pair * times)]


@dataclass(frozen=True, slots=True)
class Stall:
    """Slow down, drop a wing and height, turn off course, and recover [m], [m s⁻¹], [rad]."""

    height: float
    speed: float
    off: float

    def steer(self, now: Motion, pilot: Pilot) -> Iterator[Wish]:
        """Yield what is wanted."""
        course, begin = now.track, now.time
        while now.time < begin + 30.0:
            since = now.time - begin
            yield Wish(course_bank(now, course), self.height, self.speed * (1.0 - 0.016 * min(since, 28.0)))
        begin = now.time
        while now.time < begin + 5.0:
            low = self.height - 250 * foot
            yield Wish(1.2 * self.off, low, 0.9 * self.speed, sink_limit=9.0)
        while now.height < self.height - 30 * foot:
            yield Wish(course_bank(now, course + self.off), self.height, self.speed)


def stalls(height: float, *, times: int = 3, speed: float = 85 * knot) -> list[Leg]:
    """Return stalls one after the other, each off course by 25 to 45° [m], [m s⁻¹]."""
    offs = [radians(25 + 10 * (k % 3)) * (1.0 if k % 2 else -1.0) for k in range(times)]
    return [Stall(height, speed, off) for off in offs]


def clearing_turns(height: float, *, bank: float = radians(30), speed: float = 90 * knot) -> list[Leg]:
    """Return two turns of 90° one way and back, as before airwork [m], [rad], [m s⁻¹]."""
    return turns((-90.0, 90.0), height, bank=bank, speed=speed, between=4.0)
