"""Wide orbits of something large, such as a lake or a town, to look at it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import atan2, cos, hypot, pi, radians, remainder

from groundref.angles import full_turn
from groundref.simulation.fly import Motion
from groundref.simulation.legs import course_bank
from groundref.simulation.pilot import Pilot, Wish
from groundref.units import knot


@dataclass(frozen=True, slots=True)
class Orbit:
    """Fly round a place along its shore, which is no circle.

    Attributes
    ----------
    east, north
        The middle [m]
    radius
        Mean distance [m]
    oblong
        Share of the radius by which the shore is farther along its length and nearer across.
    length
        Direction of its length [rad]
    side
        +1 right turns, −1 left turns.
    laps
        Times round.
    height, speed
        [m], [m s⁻¹]
    """

    east: float
    north: float
    radius: float
    oblong: float
    length: float
    side: float
    laps: float
    height: float
    speed: float = 90 * knot

    def steer(self, now: Motion, pilot: Pilot) -> Iterator[Wish]:
        """Yield what is wanted."""
        flown, before = 0.0, self._azimuth(now)
        while flown < self.laps * full_turn:
            azimuth = self._azimuth(now)
            distance = hypot(now.east - self.east, now.north - self.north)
            wanted = self.radius * (1.0 + self.oblong * cos(2.0 * (azimuth - self.length)))
            # A shore is followed with shallow bank: from off it by half of the radius at 45°.
            inward = min(max((distance - wanted) / (0.5 * self.radius), -1.0), 1.0)
            course = azimuth + self.side * (0.5 * pi + 0.25 * pi * inward)
            yield Wish(self._bank(now, course), self.height, self.speed)
            flown += self.side * remainder(azimuth - before, full_turn)
            before = azimuth

    def _bank(self, now: Motion, course: float) -> float:
        return course_bank(now, course, radians(20))

    def _azimuth(self, now: Motion) -> float:
        return atan2(now.east - self.east, now.north - self.north)
