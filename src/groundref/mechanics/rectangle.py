"""The rectangular course and the airport traffic pattern: four legs in wind, and the corners between them.

A leg is flown on a track, its crab and ground speed from the wind triangle. At each corner the track turns
by 90° and the heading by 90° and the change of crab. `wind_angle` is the direction the air moves to less
the track of the leg *before* the corner, or of the leg itself. `direction` is +1 for right turns, −1 for
left. V is true airspeed, W wind speed. Numbers or arrays that broadcast together in, their common shape out,
where not said otherwise.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from groundref.angles import quarter_turn, wrap
from groundref.mechanics import arc, trochoid, turn
from groundref.mechanics.wind_triangle import crab_on_track, ground_speed_on_track

Floats = NDArray[np.float64]

# In the order flown. The course is entered downwind (handbook); the pattern begins with the takeoff.
course_legs: Final = ("downwind", "base", "upwind", "crosswind")
pattern_legs: Final = ("upwind", "crosswind", "downwind", "base", "final")


def leg_tracks(first_track: ArrayLike, direction: ArrayLike, legs: int = 4) -> Floats:
    """Return the tracks of successive legs, true, in [0, 2π), along a new last axis [rad].

    Parameters
    ----------
    first_track
        Track of the first leg, true [rad]
    direction
        +1 for right turns, −1 for left turns.
    legs
        Number of legs.
    """
    corners = quarter_turn * np.arange(legs)
    sided = np.asarray(direction, dtype=np.float64)[..., np.newaxis] * corners
    return wrap(np.asarray(first_track, dtype=np.float64)[..., np.newaxis] + sided)


def pattern_tracks(runway_bearing: ArrayLike, direction: ArrayLike) -> Floats:
    """Return the tracks of upwind, crosswind, downwind, base and final, true, along a new last axis [rad].

    Parameters
    ----------
    runway_bearing
        Direction of takeoff and landing, true [rad]
    direction
        +1 for a right-hand pattern, −1 for a left-hand one.

    Notes
    -----
    Source: Airplane Flying Handbook, chapter on airport traffic patterns: names of the legs (from memory).
    """
    return leg_tracks(runway_bearing, direction, len(pattern_legs))


def leg_time(
    true_airspeed: ArrayLike, wind_speed: ArrayLike, wind_angle: ArrayLike, length: ArrayLike
) -> Floats:
    """Return the time on a straight leg [s].

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    wind_angle
        α, direction the air moves to less the leg's track [rad]
    length
        Over the ground [m]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.
    """
    speed = ground_speed_on_track(true_airspeed, wind_speed, wind_angle)
    return np.asarray(length, dtype=np.float64) / speed


def corner_heading_change(
    true_airspeed: ArrayLike, wind_speed: ArrayLike, wind_angle: ArrayLike, direction: ArrayLike
) -> Floats:
    """Return how far the heading turns at a corner, right positive [rad].

    Δψ = d π/2 + δ_after − δ_before. With the wind along the first leg, more than 90° out of the downwind leg
    and into it, less than 90° into the upwind leg and out of it; the two kinds add up to 180°.

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    wind_angle
        α, direction the air moves to less the track before the corner [rad]
    direction
        d, +1 for a right turn, −1 for a left turn.

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.

    Notes
    -----
    Source: heading is track plus crab.
    """
    corner = np.multiply(direction, quarter_turn, dtype=np.float64)
    before = crab_on_track(true_airspeed, wind_speed, wind_angle)
    after = crab_on_track(true_airspeed, wind_speed, np.asarray(wind_angle, dtype=np.float64) - corner)
    return corner + after - before


def corner_positions(wind_angle: ArrayLike, direction: ArrayLike) -> tuple[Floats, Floats]:
    """Return where a corner begins and ends as positions χ of the circle's formulas [rad].

    Parameters
    ----------
    wind_angle
        α, direction the air moves to less the track before the corner [rad]
    direction
        +1 for a right turn, −1 for a left turn.
    """
    start = -np.multiply(direction, wind_angle, dtype=np.float64)
    return start, start + quarter_turn


def corner_bank_extremes(
    true_airspeed: ArrayLike,
    wind_speed: ArrayLike,
    wind_angle: ArrayLike,
    direction: ArrayLike,
    radius: ArrayLike,
) -> tuple[Floats, Floats]:
    """Return the least and greatest bank of a corner flown at one radius over the ground, their size [rad].

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    wind_angle
        α, direction the air moves to less the track before the corner [rad]
    direction
        +1 for a right turn, −1 for a left turn.
    radius
        R [m]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.
    """
    start, end = corner_positions(wind_angle, direction)
    return arc.bank_extremes(true_airspeed, wind_speed, radius, start, end)


def corner_radius(
    true_airspeed: ArrayLike,
    wind_speed: ArrayLike,
    wind_angle: ArrayLike,
    direction: ArrayLike,
    bank_limit: ArrayLike,
) -> Floats:
    """Return the smallest radius over the ground of a corner that keeps to a bank limit [m].

    The track turns by 90° about a circle that touches both legs, so the turn begins one radius before the
    corner and ends one radius beyond it.

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    wind_angle
        α, direction the air moves to less the track before the corner [rad]
    direction
        +1 for a right turn, −1 for a left turn.
    bank_limit
        φ, greater than 0 and less than π/2 [rad]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.
    """
    start, end = corner_positions(wind_angle, direction)
    return arc.smallest_radius(true_airspeed, wind_speed, start, end, bank_limit)


def corner_time(
    true_airspeed: ArrayLike,
    wind_speed: ArrayLike,
    wind_angle: ArrayLike,
    direction: ArrayLike,
    radius: ArrayLike,
) -> Floats:
    """Return the time of a corner flown at one radius over the ground [s].

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    wind_angle
        α, direction the air moves to less the track before the corner [rad]
    direction
        +1 for a right turn, −1 for a left turn.
    radius
        R [m]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.
    """
    start, end = corner_positions(wind_angle, direction)
    return arc.time(true_airspeed, wind_speed, radius, start, end)


def corner_at_constant_bank(
    true_airspeed: ArrayLike,
    wind_speed: ArrayLike,
    wind_angle: ArrayLike,
    direction: ArrayLike,
    bank: ArrayLike,
) -> tuple[Floats, Floats, Floats]:
    """Return how a corner goes that is flown at one bank, rolled in and out at once.

    The airplane turns through `corner_heading_change` at g tan φ / V. Where that leaves it, along the leg
    before and along the leg after, is what the turn needs of the two legs.

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    wind_angle
        α, direction the air moves to less the track before the corner [rad]
    direction
        +1 for a right turn, −1 for a left turn.
    bank
        φ, its size, not 0 [rad]

    Returns
    -------
    lead
        How far before the corner the turn must begin to end on the next leg [m]
    beyond
        How far beyond the corner it ends on that leg [m]
    duration
        Of the turn [s]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed, or at 90° of bank or more.

    Notes
    -----
    Source: `trochoid.ground_path` in axes along the leg before, north for its track.
    """
    side, angle = np.asarray(direction, dtype=np.float64), np.asarray(wind_angle, dtype=np.float64)
    tilt = side * np.abs(bank)
    heading = crab_on_track(true_airspeed, wind_speed, angle)
    change = corner_heading_change(true_airspeed, wind_speed, angle, side)
    duration = change / turn.rate_of_turn(true_airspeed, tilt)
    wind = np.asarray(wind_speed, dtype=np.float64)
    across, along = trochoid.ground_path(
        true_airspeed, tilt, heading, wind * np.sin(angle), wind * np.cos(angle), duration
    )
    return along, side * across, duration


def overshoot(
    true_airspeed: ArrayLike,
    wind_speed: ArrayLike,
    wind_angle: ArrayLike,
    direction: ArrayLike,
    bank: ArrayLike,
    lead: ArrayLike,
) -> Floats:
    """Return how far past the next leg a corner at one bank ends, short of it negative [m].

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    wind_angle
        α, direction the air moves to less the track before the corner [rad]
    direction
        +1 for a right turn, −1 for a left turn.
    bank
        φ, its size, not 0 [rad]
    lead
        How far before the next leg the turn begins [m]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed, or at 90° of bank or more.
    """
    needed, _, _ = corner_at_constant_bank(true_airspeed, wind_speed, wind_angle, direction, bank)
    return needed - np.asarray(lead, dtype=np.float64)
