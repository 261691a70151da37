"""Where the loops of an elementary eight lie: along a road, across a road, around pylons.

All three are two circles of one radius with straight legs that cross between them (`mechanics.eights`). They
differ in how they lie to the road and the wind: along a road the circles touch on it, the wind across it;
across a road they lie on either side of it, the wind across it, the first one entered with the wind behind;
around pylons the wind is across the line of the pylons and the middle is flown with it.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import asin, ceil, cos, hypot, pi, sin

from groundref.angles import quarter_turn
from groundref.errors import NoSolutionError
from groundref.mechanics.eights import half_spacing_for_crossing
from groundref.simulation.around_point import check_bank
from groundref.simulation.exercise import Exercise
from groundref.standards.lie import ALONG, AROUND, eight_axis
from groundref.standards.usual import APART, CROSSING
from groundref.units import foot

Place = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Eight:
    """An elementary eight to fly.

    Attributes
    ----------
    middle
        Where the ways between the loops cross: east, north [m]
    centers
        Of the first and the second loop [m]
    radii
        Of the first and the second loop [m]
    axis
        Direction from the first center to the second [rad]
    side
        Of the first loop, +1 right, −1 left; the second turns the other way.
    tilt
        Angle between a leg and the axis [rad]
    """

    middle: Place
    centers: tuple[Place, Place]
    radii: tuple[float, float]
    axis: float
    side: float
    tilt: float

    def turn(self, loop: int) -> float:
        """Return which way a loop turns, counted from 0: +1 right, −1 left."""
        return self.side if loop % 2 == 0 else -self.side

    def center(self, loop: int) -> Place:
        """Return the center of a loop [m]."""
        return self.centers[loop % 2]

    def radius(self, loop: int) -> float:
        """Return the radius of a loop [m]."""
        return self.radii[loop % 2]

    def track(self, loop: int) -> float:
        """Return the track of the leg that leads into a loop [rad]."""
        return self.axis + self.side * self.tilt if loop % 2 else self.axis + pi - self.side * self.tilt

    def begin(self, loop: int) -> Place:
        """Return where a loop begins: where the leg that leads into it touches its circle [m]."""
        (east, north), track = self.center(loop), self.track(loop)
        away = -self.turn(loop) * self.radius(loop)  # to the right of the track
        return east + away * cos(track), north - away * sin(track)

    @property
    def loop_turn(self) -> float:
        """How far the track turns in a loop, its size [rad]."""
        return pi + 2.0 * self.tilt


def laid_out(exercise: Exercise) -> Eight:
    """Return the eight of an exercise.

    Raises
    ------
    NoSolutionError
        When a loop needs more bank than anyone flies, or the pylons are too close together.
    """
    uneven = 0.5 * exercise.faults.radius_changed
    radii = (exercise.radius + uneven, exercise.radius - uneven)
    check_bank(exercise.speed, exercise.wind_speed, min(radii))
    half = _half_spacing(exercise)
    axis, tilt = _axis(exercise), asin(min(exercise.radius / half, 1.0))
    if exercise.kind == AROUND:
        away = (half, half)  # the pylons stand where they stand; unequal loops cross elsewhere
        shift = half * (radii[0] - radii[1]) / (radii[0] + radii[1])
    else:
        away = (half * radii[0] / exercise.radius, half * radii[1] / exercise.radius)
        shift = 0.0
    return Eight(
        middle=_moved((exercise.east, exercise.north), axis, shift),
        centers=(
            _moved((exercise.east, exercise.north), axis, -away[0]),
            _moved((exercise.east, exercise.north), axis, away[1]),
        ),
        radii=radii,
        axis=axis,
        side=exercise.side,
        tilt=tilt,
    )


def road(exercise: Exercise) -> float:
    """Return the direction of the road of an eight along or across one [rad]."""
    return _axis(exercise) + exercise.side * quarter_turn


def _half_spacing(exercise: Exercise) -> float:
    """Return half the distance between the centers of equal loops [m]."""
    radius, spacing = exercise.radius, exercise.spacing
    if exercise.kind == ALONG:
        if spacing is not None:
            raise NoSolutionError(
                "the loops of eights along a road touch each other on the road",
                "spacing",
                "leave the distance out",
            )
        return radius
    if spacing is None:
        return 0.5 * APART * radius if exercise.kind == AROUND else float(_across(radius))
    if spacing < 2.0 * radius:
        what = "pylons" if exercise.kind == AROUND else "loops with their centers"
        raise NoSolutionError(
            f"{what} {spacing / foot:,.0f} ft apart are nearer to each other than twice the radius, so the "
            "loops would overlap",
            "spacing",
            f"choose {ceil(2.0 * radius / foot / 10.0) * 10:,} ft or more, or a smaller radius",
        )
    return 0.5 * spacing


def _across(radius: float) -> float:
    return float(half_spacing_for_crossing(radius, CROSSING))


def _axis(exercise: Exercise) -> float:
    """Return the direction from the first center to the second [rad]."""
    return eight_axis(exercise.kind, exercise.downwind, exercise.side, exercise.course)


def _moved(place: Place, direction: float, way: float) -> Place:
    return place[0] + way * sin(direction), place[1] + way * cos(direction)


def between(one: Place, other: Place) -> float:
    """Return the distance between two places [m]."""
    return hypot(other[0] - one[0], other[1] - one[1])
