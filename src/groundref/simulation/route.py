"""The way of a lesson: from the apron of an invented airfield to the maneuvers and back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, degrees, radians, sin
from typing import Final

from groundref.angles import half_turn, quarter_turn
from groundref.simulation.exercise import Shape
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
    """Airfield, ways in and maneuvers of one lesson.

    Attributes
    ----------
    shapes
        The maneuvers in the order flown; the first one sets the practice speed.
    weather
        The air.
    """

    shapes: Sequence[Shape]
    weather: Weather

    @property
    def runway(self) -> float:
        """Direction of the runway in use: into the wind, to the nearest 10° [rad]."""
        return radians(round(degrees(self.shapes[0].exercise.downwind - half_turn) / 10) * 10)

    @property
    def runway_ends(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """Ends of the runway in use, in the direction of landing, each east and north [m]."""
        return self._off_field(-0.5 * _RUNWAY_LENGTH, 0.0), self._off_field(0.5 * _RUNWAY_LENGTH, 0.0)

    def parked(self) -> Motion:
        """Return the airplane on the apron."""
        east, north = self._off_field(0.25 * _RUNWAY_LENGTH, _APRON)
        return Motion(0.0, east, north, 0.0, 0.0, 0.0, self.runway + half_turn, on_ground=True)

    def inbound(self) -> Motion:
        """Return the airplane on the way in to the first maneuver."""
        first = self.shapes[0]
        east, north = _lead_in(first, _LEAD_IN)
        exercise = first.exercise
        return airborne(east, north, exercise.height, first.course, exercise.speed, self.weather)

    def maneuver_only(self) -> list[Leg]:
        """Return the maneuvers with the ways between them, and a minute after the last."""
        legs: list[Leg] = []
        for number, shape in enumerate(self.shapes):
            exercise = shape.exercise
            if number:
                legs.append(GoTo(*_joined(shape), exercise.height, exercise.speed))
            legs += [
                shape.approach,
                shape.maneuver,
                Straight(exercise.height, exercise.speed, course=shape.after, seconds=40.0),
            ]
        return legs

    def lesson(self) -> list[Leg]:
        """Return the whole flight."""
        return [*self._outbound(), *self.maneuver_only(), *self._homebound()]

    def _outbound(self) -> list[Leg]:
        """Return start, climb, two clearing turns and the way to the first way in."""
        first, runway = self.shapes[0], self.runway
        speed, height = first.exercise.speed, first.exercise.height
        climb_speed, above = _CLIMB_SPEED * speed, max(height + 700 * foot, 1500 * foot)
        return [
            Wait(45.0),
            Taxi(*self._off_field(-0.5 * _RUNWAY_LENGTH, _APRON)),
            Wait(60.0),
            Taxi(*self._off_field(-0.5 * _RUNWAY_LENGTH, 0.0)),
            TakeOff(runway, _LIFT_OFF_SPEED * speed),
            Straight(above, climb_speed, course=runway, until_height=700 * foot),
            Turn(-quarter_turn, radians(20), climb_speed, height=above),
            Straight(above, climb_speed, until_height=above - 30 * foot),
            Straight(above, speed, seconds=40.0),
            Turn(-quarter_turn, _CLEARING_BANK, speed, height=above),
            Turn(quarter_turn, _CLEARING_BANK, speed, height=above),
            Straight(above, speed, seconds=25.0),
            GoTo(*_joined(first), height, speed),
        ]

    def _homebound(self) -> list[Leg]:
        """Return the way back, the left-hand circuit and the landing."""
        runway, speed = self.runway, self.shapes[0].exercise.speed
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


def _joined(shape: Shape) -> tuple[float, float]:
    """Return where the way in to a maneuver is joined, east and north [m]."""
    exercise = shape.exercise
    return _lead_in(shape, _JOINED * (exercise.speed + exercise.wind_speed))


def _lead_in(shape: Shape, length: float) -> tuple[float, float]:
    """Return a place that far before the entry on its track, east and north [m]."""
    east, north = shape.entry
    return east - length * sin(shape.course), north - length * cos(shape.course)
