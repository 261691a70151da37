"""The airport traffic pattern as a list of legs: circuits of a runway, each with a landing or a low approach.

Shape and figures are those in common use (common practice, no source): 1,000 ft above the field, the downwind
leg three quarters of a mile from the runway, the turn onto base where the threshold lies 45° behind.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from math import atan2, cos, hypot, radians, sin
from typing import Final

from groundref.angles import half_turn, quarter_turn
from groundref.errors import UsageError
from groundref.mechanics import rectangle
from groundref.simulation.airplane import Airplane
from groundref.simulation.fly import Motion
from groundref.simulation.legs import Flare, Leg, Line, RollOut, TakeOff, Taxi, Turn
from groundref.simulation.wind_field import Weather
from groundref.units import foot, nautical_mile

ENDINGS: Final = ("full-stop", "touch-and-go", "low-approach")

_CROSSWIND: Final = 1800.0  # [m] beyond the runway's end
_BASE: Final = 1800.0  # [m] before its threshold
_BANK: Final = radians(25)
_CLIMB_SPEED: Final = 0.84  # of the speed on the downwind leg; also on base
_FINAL_SPEED: Final = 0.74
_LIFT_OFF_SPEED: Final = 0.61
_ROLL_SPEED: Final = 0.35
_GLIDE_SLOPE: Final = radians(4.5)
_FLARE_HEIGHT: Final = 6.0  # [m]
_EARLY: Final = 25.0  # [m]
_TAXIWAY: Final = 120.0  # [m] from the runway


@dataclass(frozen=True, slots=True)
class Runway:
    """A runway in use.

    Attributes
    ----------
    east, north
        Its middle [m]
    bearing
        Direction of takeoff and landing [rad]
    length
        [m]
    """

    east: float
    north: float
    bearing: float
    length: float = 900.0

    def place(self, along: float, right: float = 0.0) -> tuple[float, float]:
        """Return a place along and right of its middle, east and north [m]."""
        sine, cosine = sin(self.bearing), cos(self.bearing)
        return self.east + along * sine + right * cosine, self.north + along * cosine - right * sine

    @property
    def ends(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """The threshold that is landed on, and the other end: east, north [m]."""
        return self.place(-0.5 * self.length), self.place(0.5 * self.length)

    def lined_up(self) -> Motion:
        """Return the airplane standing on the threshold, ready for takeoff."""
        east, north = self.place(-0.5 * self.length)
        return Motion(0.0, east, north, 0.0, 0.0, 0.0, self.bearing, on_ground=True)


@dataclass(frozen=True, slots=True)
class Circuits:
    """Circuits of a runway to be flown.

    Attributes
    ----------
    runway
        Of which.
    weather
        For where turns must begin.
    speed
        True airspeed on the downwind leg [m s⁻¹]
    times
        How many.
    side
        +1 right-hand, −1 left-hand.
    ending
        `full-stop` with a taxi back, `touch-and-go` (the last one to a full stop) or `low-approach`.
    overshoot
        How far beyond the extended centreline the turn onto final goes [m]
    height
        Of the downwind leg [m]
    width
        Distance of the downwind leg from the runway [m]
    lowest
        Height to which a low approach goes [m]
    airplane
        For the time that rolling in takes.
    """

    runway: Runway
    weather: Weather
    speed: float
    times: int = 3
    side: float = -1.0
    ending: str = "touch-and-go"
    overshoot: float = 0.0
    height: float = 1000 * foot
    width: float = 0.75 * nautical_mile
    lowest: float = 80 * foot
    airplane: Airplane = field(default_factory=Airplane)

    def legs(self) -> list[Leg]:
        """Return them all, from standing on the threshold.

        Raises
        ------
        UsageError
            When their ending is none of those known.
        """
        if self.ending not in ENDINGS:
            raise UsageError(
                f"{self.ending!r} ends no circuit", "ending", "choose among " + ", ".join(ENDINGS)
            )
        flown: list[Leg] = [TakeOff(self.runway.bearing, _LIFT_OFF_SPEED * self.speed)]
        for number in range(1, self.times + 1):
            flown += [*self._circuit(), *self._end(last=number == self.times)]
        return flown

    def _circuit(self) -> Iterator[Leg]:
        """Yield the legs from over the runway to short final."""
        half, turn = 0.5 * self.runway.length, self.side * quarter_turn
        out, wide, short = half + _CROSSWIND, self.side * self.width, -half - _BASE
        climb, final = _CLIMB_SPEED * self.speed, _FINAL_SPEED * self.speed
        course, base_height = self.runway.bearing, self.height - 300 * foot
        yield from self._to_corner((out, 0.0), course, self.height, climb)
        yield from self._to_corner((out, wide), course + turn, self.height, climb)
        abeam = self.runway.place(-half, wide)  # the threshold: from here on slower
        yield Line(*abeam, course + half_turn, self.height, self.speed)
        yield from self._to_corner((short, wide), course + half_turn, self.height, climb)
        # The lighter wind below carries the turn onto final wide; a pilot begins it a little early.
        beyond = (short, self.side * (_EARLY - self.overshoot))
        yield from self._to_corner(beyond, course - turn, base_height, climb)
        touch = self.runway.place(-0.45 * self.runway.length)
        lowest = self.lowest if self.ending == "low-approach" else _FLARE_HEIGHT
        yield Line(*touch, course, lowest, final, slope=_GLIDE_SLOPE)

    def _to_corner(
        self, corner: tuple[float, float], course: float, height: float, speed: float
    ) -> tuple[Leg, Leg]:
        """Return the leg up to a corner, along and right of the runway's middle, and the turn there."""
        wind = hypot(self.weather.east, self.weather.north)
        to = atan2(self.weather.east, self.weather.north)
        turned = rectangle.corner_heading_change(speed, wind, to - course, self.side)
        lead, _, _ = rectangle.corner_at_constant_bank(speed, wind, to - course, self.side, _BANK)
        east, north = self.runway.place(*corner)
        back = (east - float(lead) * sin(course), north - float(lead) * cos(course))
        rolling = self.airplane.half_roll_time(_BANK)
        return (
            Line(*back, course, height, speed, lead=rolling),
            Turn(float(turned), _BANK, speed, height=height),
        )

    def _end(self, *, last: bool) -> list[Leg]:
        """Return how a circuit ends, from short final on."""
        course = self.runway.bearing
        if self.ending == "low-approach":
            end = self.runway.place(0.3 * self.runway.length)
            return [Line(*end, course, self.lowest, _FINAL_SPEED * self.speed)]
        down: list[Leg] = [Flare(course, 0.6 * self.speed)]
        again = TakeOff(course, _LIFT_OFF_SPEED * self.speed)
        if self.ending == "touch-and-go" and not last:
            return [*down, RollOut(course, _ROLL_SPEED * self.speed), again]
        down.append(RollOut(course))
        return down if last else [*down, *self._taxi_back(), again]

    def _taxi_back(self) -> list[Leg]:
        """Return the way from the runway's end back to its threshold."""
        half, beside = 0.5 * self.runway.length, -self.side * _TAXIWAY
        along = ((half, 0.0), (half, beside), (-half, beside), (-half, 0.0))
        return [Taxi(*self.runway.place(*place)) for place in along]
