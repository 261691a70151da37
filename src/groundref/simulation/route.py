"""The way of a lesson: from the apron of an invented airfield to the circle and back."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, degrees, hypot, radians, sin
from typing import Final

from groundref.angles import full_turn, half_turn, quarter_turn
from groundref.simulation.airplane import Airplane
from groundref.simulation.around_point import AroundPoint, Circle, approach, entry_place, entry_track
from groundref.simulation.faults import Faults
from groundref.simulation.fly import Motion
from groundref.simulation.legs import (
    Flare,
    GoTo,
    Leg,
    Line,
    RollOut,
    Straight,
    TakeOff,
    Taxi,
    Turn,
    Wait,
)
from groundref.simulation.wind_field import Weather
from groundref.units import foot, nautical_mile

_FIELD_EAST: Final = -6500.0  # [m] from the point to the airfield
_FIELD_NORTH: Final = -5200.0  # [m]
_RUNWAY_LENGTH: Final = 900.0  # [m]
_APRON: Final = 120.0  # [m] from the runway
_LEAD_IN: Final = 2800.0  # [m] straight flight to the entry
_JOINED: Final = 100.0  # [s] before the entry, where the lead-in is joined, from whichever side
_CLEARING_BANK: Final = radians(25)
_CIRCUIT_HEIGHT: Final = 1000 * foot
_CIRCUIT_WIDTH: Final = 0.75 * nautical_mile
_CLIMB_SPEED: Final = 0.84  # of the practice speed
_FINAL_SPEED: Final = 0.74
_LIFT_OFF_SPEED: Final = 0.61
_GLIDE_SLOPE: Final = radians(3.8)
_FLARE_HEIGHT: Final = 6.0  # [m]


def airborne(
    east: float, north: float, height: float, course: float, speed: float, weather: Weather
) -> Motion:
    """Return an airplane in straight flight along a track.

    Parameters
    ----------
    east, north, height
        Place in the local frame and above the ground [m]
    course
        Track [rad]
    speed
        True airspeed [m s⁻¹]
    weather
        For the crab and the ground speed.
    """
    sine, cosine = sin(course), cos(course)
    along = weather.east * sine + weather.north * cosine
    across = weather.east * cosine - weather.north * sine
    over_ground = along + (speed**2 - across**2) ** 0.5
    return Motion(0.0, east, north, height, over_ground * sine, over_ground * cosine, course)


@dataclass(frozen=True, slots=True)
class Route:
    """Airfield, lead-in and circle of one lesson."""

    circle: Circle
    faults: Faults
    weather: Weather
    airplane: Airplane

    @property
    def wind_speed(self) -> float:
        """Speed of the wind at the maneuver's height at the start [m s⁻¹]."""
        return hypot(self.weather.east, self.weather.north)

    @property
    def runway(self) -> float:
        """Direction of the runway in use: into the wind, to the nearest 10° [rad]."""
        return radians(round(degrees(self.circle.downwind - half_turn) / 10) * 10)

    def parked(self) -> Motion:
        """Return the airplane on the apron."""
        east, north = self._off_field(0.25 * _RUNWAY_LENGTH, _APRON)
        return Motion(0.0, east, north, 0.0, 0.0, 0.0, self.runway + half_turn, on_ground=True)

    def inbound(self) -> Motion:
        """Return the airplane on the lead-in."""
        east, north = self._lead_in(_LEAD_IN)
        course = entry_track(self.circle, self.faults)
        return airborne(east, north, self.circle.height, course, self.circle.speed, self.weather)

    def maneuver_only(self) -> list[Leg]:
        """Return lead-in, circle and a minute after it."""
        course = entry_track(self.circle, self.faults)
        after = course + self.circle.side * (self.circle.laps % 1.0) * full_turn
        return [
            approach(self.circle, self.faults, self.wind_speed, self.airplane),
            AroundPoint(self.circle, self.faults),
            Straight(self.circle.height, self.circle.speed, course=after, seconds=40.0),
        ]

    def lesson(self) -> list[Leg]:
        """Return the whole flight."""
        return [*self._outbound(), *self.maneuver_only(), *self._homebound()]

    def _outbound(self) -> list[Leg]:
        """Return start, climb, two clearing turns and the way to the lead-in."""
        circle, runway = self.circle, self.runway
        climb_speed, above = _CLIMB_SPEED * circle.speed, max(circle.height + 700 * foot, 1500 * foot)
        return [
            Wait(45.0),
            Taxi(*self._off_field(-0.5 * _RUNWAY_LENGTH, _APRON)),
            Wait(60.0),
            Taxi(*self._off_field(-0.5 * _RUNWAY_LENGTH, 0.0)),
            TakeOff(runway, _LIFT_OFF_SPEED * circle.speed),
            Straight(above, climb_speed, course=runway, until_height=700 * foot),
            Turn(-quarter_turn, radians(20), climb_speed, height=above),
            Straight(above, climb_speed, until_height=above - 30 * foot),
            Straight(above, circle.speed, seconds=40.0),
            Turn(-quarter_turn, _CLEARING_BANK, circle.speed, height=above),
            Turn(quarter_turn, _CLEARING_BANK, circle.speed, height=above),
            Straight(above, circle.speed, seconds=25.0),
            GoTo(*self._lead_in(_JOINED * (circle.speed + self.wind_speed)), circle.height, circle.speed),
        ]

    def _homebound(self) -> list[Leg]:
        """Return the way back, the left-hand circuit and the landing."""
        runway, speed = self.runway, self.circle.speed
        slow, final = _CLIMB_SPEED * speed, _FINAL_SPEED * speed
        beside = self._off_field(0.0, -_CIRCUIT_WIDTH)
        abeam_threshold = self._off_field(-3.0 * _RUNWAY_LENGTH, -_CIRCUIT_WIDTH)
        before = self._off_field(2600.0, -_CIRCUIT_WIDTH)
        short = self._off_field(-0.45 * _RUNWAY_LENGTH, 0.0)
        return [
            Straight(_CIRCUIT_HEIGHT, speed, seconds=20.0),
            GoTo(*before, _CIRCUIT_HEIGHT, speed),
            Line(*beside, runway + half_turn, _CIRCUIT_HEIGHT, slow),
            Line(*abeam_threshold, runway + half_turn, _CIRCUIT_HEIGHT, slow),
            Turn(-quarter_turn, radians(25), final, height=_CIRCUIT_HEIGHT - 250 * foot),
            Line(*short, runway, _FLARE_HEIGHT, final, slope=_GLIDE_SLOPE),
            Flare(runway, 0.6 * speed),
            RollOut(runway),
            Taxi(*self._off_field(0.5 * _RUNWAY_LENGTH, 0.0)),
            Taxi(*self._off_field(0.5 * _RUNWAY_LENGTH, _APRON)),
            Taxi(*self._off_field(0.25 * _RUNWAY_LENGTH, _APRON)),
            Wait(50.0),
        ]

    def _off_field(self, along: float, right: float) -> tuple[float, float]:
        """Return a place along and right of the runway's middle, east and north [m]."""
        sine, cosine = sin(self.runway), cos(self.runway)
        return _FIELD_EAST + along * sine + right * cosine, _FIELD_NORTH + along * cosine - right * sine

    def _lead_in(self, length: float) -> tuple[float, float]:
        """Return a place that far before the entry on its track, east and north [m]."""
        east, north = entry_place(self.circle, self.faults)
        course = entry_track(self.circle, self.faults)
        return east - length * sin(course), north - length * cos(course)
