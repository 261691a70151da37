"""How large a rectangular course is about its field, for plans and for simulated lessons alike."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from groundref.errors import NoSolutionError
from groundref.mechanics.circle import smallest_radius
from groundref.standards.usual import FARTHEST_OUTSIDE, LONGER_SIDE, OUTSIDE, STRAIGHT
from groundref.units import foot


@dataclass(frozen=True, slots=True)
class FieldCourse:
    """Sizes of a rectangular course.

    Attributes
    ----------
    length, width
        Sides of the field, the longer one first [m]
    outside
        Distance outside of the field [m]
    corner_radius
        Of the corners, arcs of one radius over the ground [m]
    straight
        Least length of the straight part of a longer leg; of a shorter one twice as much [m]
    """

    length: float
    width: float
    outside: float
    corner_radius: float
    straight: float


def field_course(
    true_airspeed: float, wind_speed: float, half_width: float, length: float | None, corner_bank: float
) -> FieldCourse:
    """Return the course about a field, no nearer than its corners and straight legs ask for.

    Parameters
    ----------
    true_airspeed, wind_speed
        [m s⁻¹]
    half_width
        Half of the field's shorter side, the radius asked for [m]
    length
        Its longer side; the usual one when None [m]
    corner_bank
        In the corners where they are steepest, out of the downwind leg [rad]

    Raises
    ------
    NoSolutionError
        When the field is too small for the airspeed and the wind.
    """
    corner = float(smallest_radius(true_airspeed, wind_speed, corner_bank))
    straight = 0.5 * STRAIGHT * (true_airspeed + wind_speed)
    outside = max(OUTSIDE, corner + straight - half_width)
    if outside > FARTHEST_OUTSIDE:
        least = ceil((half_width + outside - FARTHEST_OUTSIDE) / foot / 100.0) * 100
        raise NoSolutionError(
            "the field is too small: the corners leave no straight legs within half a mile of it",
            "radius",
            f"choose {least:,} ft ({ceil(least * foot):,} m) or more (half of its shorter side), more bank, "
            "or less wind or airspeed",
        )
    usual = max(LONGER_SIDE, 2.0 * half_width)
    return FieldCourse(usual if length is None else length, 2.0 * half_width, outside, corner, straight)
