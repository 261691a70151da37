"""The rectangular course as it is laid out: a field, and the rectangle flown outside of its sides.

The first leg is the downwind leg, along a longer side; it is entered at 45° from outside, where its straight
part begins. Corners are arcs of one radius over the ground, so that the bank needed goes with the ground
speed: steep out of the downwind leg, shallow out of the upwind leg (FAA-H-8083-3C, chapter 7).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, sin

from groundref.angles import quarter_turn
from groundref.errors import NoSolutionError
from groundref.mechanics import boundary
from groundref.simulation.exercise import Exercise
from groundref.standards.field import field_course
from groundref.standards.usual import CORNER_BANK
from groundref.units import degree

Line = tuple[float, float, float]  # a place on it, east and north, and its track [m], [rad]


@dataclass(frozen=True, slots=True)
class Course:
    """A rectangular course to fly.

    Attributes
    ----------
    east, north
        Middle of the field [m]
    bearing
        Track of the first leg [rad]
    length, width
        Sides of the field, that of the first leg first [m]
    side
        +1 right turns, −1 left.
    outside
        Distance outside of the field [m]
    farther
        How much farther outside the second and fourth leg are flown [m]
    corner_radius
        Of the corners [m]
    """

    east: float
    north: float
    bearing: float
    length: float
    width: float
    side: float
    outside: float
    farther: float
    corner_radius: float

    def track(self, leg: int) -> float:
        """Return the track of a leg, counted from 0 [rad]."""
        return self.bearing + self.side * leg * quarter_turn

    def line(self, leg: int) -> Line:
        """Return the middle of a leg and its track."""
        across = 0.5 * (self.length if leg % 2 else self.width) + self.outside
        away = -self.side * (across + (self.farther if leg % 2 else 0.0))  # to the right of its track
        track = self.track(leg)
        return self.east + away * cos(track), self.north - away * sin(track), track

    def span(self, leg: int) -> float:
        """Return the length of the straight part of a leg [m]."""
        side = self.width if leg % 2 else self.length + 2.0 * self.farther
        return side + 2.0 * (self.outside - self.corner_radius)

    @property
    def entry(self) -> tuple[float, float]:
        """Place where the straight part of the first leg begins, east and north [m]."""
        east, north, track = self.line(0)
        back = 0.5 * self.span(0)
        return east - back * sin(track), north - back * cos(track)

    @property
    def around(self) -> float:
        """Length of one circuit over the ground [m]."""
        return 2.0 * (self.span(0) + self.span(1)) + 4.0 * quarter_turn * self.corner_radius

    @property
    def field(self) -> tuple[tuple[float, float], ...]:
        """Corners of the field in the order passed, the first one ending the first leg [m]."""
        east, north = boundary.corners(
            self.east, self.north, self.bearing, self.length, self.width, self.side
        )
        places = list(zip(east.tolist(), north.tolist(), strict=True))
        return (*places[1:], places[0])


def laid_out(exercise: Exercise) -> Course:
    """Return the course of an exercise.

    Raises
    ------
    NoSolutionError
        When the field is too small for the airspeed and the wind, or an uneven distance turns it inside out.
    """
    bank = min(CORNER_BANK, exercise.bank_limit - 5 * degree)
    sizes = field_course(exercise.speed, exercise.wind_speed, exercise.radius, exercise.spacing, bank)
    course = Course(
        east=exercise.east,
        north=exercise.north,
        bearing=exercise.downwind if exercise.course is None else exercise.course,
        length=sizes.length,
        width=sizes.width,
        side=exercise.side,
        outside=sizes.outside,
        farther=exercise.faults.leg_distance_uneven,
        corner_radius=sizes.corner_radius,
    )
    if course.span(0) < sizes.straight:
        raise NoSolutionError(
            "the first leg has no straight part",
            "rectangular course",
            "choose a longer field or less uneven distances",
        )
    return course
