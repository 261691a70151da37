"""Elementary eights: two loops of one radius about two points, flown in opposite directions.

Two circles of radius R about points 2c apart, on an axis that runs from the first point to the second. The
straight legs between them touch both circles and cross half way, each at γ = asin(R/c) to the axis; each
loop turns the track through π + 2γ. One geometry serves the three eights of the handbook:

- around pylons, c > R: the points are the pylons, best on a line across the wind, and the middle is flown
  downwind; the legs are tangent to both circles (Airplane Flying Handbook, FAA-H-8083-3C, p. 7-13, read in
  a secondary copy);
- across a road, c > R: the middle lies over an intersection or a mark on the road, crossed at one angle each
  time with wings level, the loops on either side of the road (U.S. Civil Aeronautics Authority, Flight
  Instructor's Manual, p. 122, read in a secondary copy; that the points lie on a line *square* to the
  road is what its wording of the intersecting road says, and is taken so here);
- along a road, c = R: the circles touch, both loops are full 360° turns that begin and end over one place of
  the road on a track along it, the line through the centers square to the road (FAA-H-8083-3C, pp. 7-11 to
  7-12, read in a secondary copy).

Like the half circles of S-turns, both loops pass through the same tracks, one in the reverse order of the
other, so in any steady wind they are alike in time, steepest and shallowest bank.

`direction` is that of the turn about the *first* point: +1 right, −1 left; about the second it is the other.
V is true airspeed, W wind speed. Numbers or arrays that broadcast together in, their common shape out.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from groundref.angles import half_turn, wrap
from groundref.errors import NoSolutionError
from groundref.mechanics import arc
from groundref.mechanics.wind_triangle import ground_speed_on_track

Floats = NDArray[np.float64]


def leg_angle(radius: ArrayLike, half_spacing: ArrayLike) -> Floats:
    """Return the angle between a leg and the axis, γ = asin(R/c) [rad].

    Parameters
    ----------
    radius
        R [m]
    half_spacing
        c, half the distance between the two points [m]

    Raises
    ------
    NoSolutionError
        Where the circles overlap, c < R.

    Notes
    -----
    Source: the leg passes half way between the points, and R from each.
    """
    ratio = np.divide(radius, half_spacing, dtype=np.float64)
    if np.any(ratio > 1.0):
        raise NoSolutionError(
            "the two points are nearer to each other than twice the radius, so the loops would overlap",
            "half spacing",
            "fly smaller loops or choose points further apart",
        )
    return np.arcsin(ratio)


def half_spacing_for_crossing(radius: ArrayLike, crossing_angle: ArrayLike) -> Floats:
    """Return half the distance between the centers of an eight that crosses a road at an angle [m].

    With the axis square to the road the angle between leg and road is π/2 − γ, hence c = R / cos κ. An angle
    of 0 is the eight along a road.

    Parameters
    ----------
    radius
        R [m]
    crossing_angle
        κ, between the legs and the road, from 0 to less than π/2 [rad]
    """
    return np.asarray(radius, dtype=np.float64) / np.cos(crossing_angle)


def loop_turn(radius: ArrayLike, half_spacing: ArrayLike) -> Floats:
    """Return how far the track turns in a loop, π + 2γ, its size [rad].

    Parameters
    ----------
    radius
        R [m]
    half_spacing
        c, half the distance between the two points [m]

    Raises
    ------
    NoSolutionError
        Where the circles overlap.
    """
    return half_turn + 2.0 * leg_angle(radius, half_spacing)


def leg_length(radius: ArrayLike, half_spacing: ArrayLike) -> Floats:
    """Return the length of a straight leg between the loops, 2 √(c² − R²) [m].

    Parameters
    ----------
    radius
        R [m]
    half_spacing
        c, half the distance between the two points [m]

    Raises
    ------
    NoSolutionError
        Where the circles overlap.
    """
    return 2.0 * np.asarray(half_spacing, dtype=np.float64) * np.cos(leg_angle(radius, half_spacing))


def leg_tracks(
    axis_bearing: ArrayLike, direction: ArrayLike, radius: ArrayLike, half_spacing: ArrayLike
) -> tuple[Floats, Floats]:
    """Return the tracks of the leg from the first loop to the second and of the leg back, true [rad].

    With a right turn about the first point it lies to the right of the leg that leaves it, so this leg is
    turned from the axis by γ to the right: a + d γ, and back a + π − d γ.

    Parameters
    ----------
    axis_bearing
        a, from the first point to the second, true [rad]
    direction
        d, of the turn about the first point: +1 right, −1 left.
    radius
        R [m]
    half_spacing
        c, half the distance between the two points [m]

    Raises
    ------
    NoSolutionError
        Where the circles overlap.
    """
    tilt = np.multiply(direction, leg_angle(radius, half_spacing))
    axis = np.asarray(axis_bearing, dtype=np.float64)
    return wrap(axis + tilt), wrap(axis + half_turn - tilt)


def direction_downwind_between(axis_bearing: ArrayLike, direction_to: ArrayLike) -> Floats:
    """Return the turn about the first point with which the middle is flown downwind, +1 right, −1 left.

    Both legs have a component toward a + d π/2, which must be where the air goes. With the wind along the
    axis neither is better, and +1 is returned.

    Parameters
    ----------
    axis_bearing
        a, from the first point to the second, true [rad]
    direction_to
        Direction the air moves to, true [rad]
    """
    return np.where(np.sin(np.subtract(direction_to, axis_bearing)) >= 0.0, 1.0, -1.0)


def roll_places(
    axis_bearing: ArrayLike, direction: ArrayLike, radius: ArrayLike, half_spacing: ArrayLike
) -> tuple[tuple[Floats, Floats], ...]:
    """Return where to roll, east and north from the middle between the points [m].

    Half a leg before and beyond the middle, on the tracks of both legs.

    Parameters
    ----------
    axis_bearing
        a, from the first point to the second, true [rad]
    direction
        d, of the turn about the first point: +1 right, −1 left.
    radius
        R [m]
    half_spacing
        c, half the distance between the two points [m]

    Returns
    -------
    out_of_first, into_second, out_of_second, into_first
        Each east and north, in the order flown [m]

    Raises
    ------
    NoSolutionError
        Where the circles overlap.
    """
    half = 0.5 * leg_length(radius, half_spacing)
    there, back = leg_tracks(axis_bearing, direction, radius, half_spacing)
    signed = ((there, -half), (there, half), (back, -half), (back, half))
    return tuple((way * np.sin(track), way * np.cos(track)) for track, way in signed)


def loop_positions(
    axis_bearing: ArrayLike,
    direction: ArrayLike,
    direction_to: ArrayLike,
    radius: ArrayLike,
    half_spacing: ArrayLike,
) -> tuple[tuple[Floats, Floats], tuple[Floats, Floats]]:
    """Return where the loops begin and end as positions χ of the circle's formulas [rad].

    `circle` gives ground speed, crab and bank at positions between; `arc` time and extremes of the whole.

    Parameters
    ----------
    axis_bearing
        From the first point to the second, true [rad]
    direction
        Of the turn about the first point: +1 right, −1 left.
    direction_to
        Direction the air moves to, true [rad]
    radius
        R [m]
    half_spacing
        c, half the distance between the two points [m]

    Returns
    -------
    first, second
        Begin and end of the loop about the first and about the second point [rad]

    Raises
    ------
    NoSolutionError
        Where the circles overlap.
    """
    there, back = leg_tracks(axis_bearing, direction, radius, half_spacing)
    turned = loop_turn(radius, half_spacing)
    first = arc.position(back, direction_to, direction)
    second = arc.position(there, direction_to, np.negative(direction))
    return (first, first + turned), (second, second + turned)


def leg_times(
    true_airspeed: ArrayLike,
    wind_speed: ArrayLike,
    axis_bearing: ArrayLike,
    direction: ArrayLike,
    direction_to: ArrayLike,
    radius: ArrayLike,
    half_spacing: ArrayLike,
) -> tuple[Floats, Floats]:
    """Return the times of the leg to the second loop and of the leg back [s].

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    axis_bearing
        From the first point to the second, true [rad]
    direction
        Of the turn about the first point: +1 right, −1 left.
    direction_to
        Direction the air moves to, true [rad]
    radius
        R [m]
    half_spacing
        c, half the distance between the two points [m]

    Raises
    ------
    NoSolutionError
        Where the circles overlap or the wind is not less than the true airspeed.
    """
    length = leg_length(radius, half_spacing)
    there, back = (
        length / ground_speed_on_track(true_airspeed, wind_speed, np.subtract(direction_to, track))
        for track in leg_tracks(axis_bearing, direction, radius, half_spacing)
    )
    return there, back


def loop_times(
    true_airspeed: ArrayLike,
    wind_speed: ArrayLike,
    axis_bearing: ArrayLike,
    direction: ArrayLike,
    direction_to: ArrayLike,
    radius: ArrayLike,
    half_spacing: ArrayLike,
) -> tuple[Floats, Floats]:
    """Return the times of the loops about the first and about the second point [s].

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    axis_bearing
        From the first point to the second, true [rad]
    direction
        Of the turn about the first point: +1 right, −1 left.
    direction_to
        Direction the air moves to, true [rad]
    radius
        R [m]
    half_spacing
        c, half the distance between the two points [m]

    Raises
    ------
    NoSolutionError
        Where the circles overlap or the wind is not less than the true airspeed.
    """
    first, second = loop_positions(axis_bearing, direction, direction_to, radius, half_spacing)
    return (
        arc.time(true_airspeed, wind_speed, radius, *first),
        arc.time(true_airspeed, wind_speed, radius, *second),
    )
