"""A part of the constant-radius ground circle: the half circle of an S-turn, a corner, the loop of an eight.

An arc runs from one position χ to a later one, both counted as in `circle`: the track from the downwind
track in the direction flown. V is true airspeed, W wind speed, R radius. Level, coordinated flight in
steady, uniform wind. Numbers or arrays that broadcast together in, their common shape out.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from groundref.angles import full_turn, half_turn
from groundref.mechanics import circle
from groundref.units import standard_gravity

Floats = NDArray[np.float64]


def position(track: ArrayLike, direction_to: ArrayLike, direction: ArrayLike) -> Floats:
    """Return the position χ of a track in a turn, not wrapped [rad].

    Parameters
    ----------
    track
        Direction of motion over the ground, true [rad]
    direction_to
        Direction the air moves to, true [rad]
    direction
        +1 for a right turn, −1 for a left turn.
    """
    from_downwind = np.subtract(track, direction_to, dtype=np.float64)
    return np.multiply(direction, from_downwind, dtype=np.float64)


def time(
    true_airspeed: ArrayLike, wind_speed: ArrayLike, radius: ArrayLike, start: ArrayLike, end: ArrayLike
) -> Floats:
    """Return the time to fly an arc [s].

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    radius
        R [m]
    start, end
        Positions where the arc begins and ends [rad]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.

    Notes
    -----
    Source: `circle.time_from_downwind` at both ends.
    """
    until_end = circle.time_from_downwind(true_airspeed, wind_speed, radius, end)
    return until_end - circle.time_from_downwind(true_airspeed, wind_speed, radius, start)


def heading_change(
    true_airspeed: ArrayLike, wind_speed: ArrayLike, start: ArrayLike, end: ArrayLike, direction: ArrayLike
) -> Floats:
    """Return how far the heading turns along an arc, right positive [rad].

    The track turns by the arc; the heading by that and by the change of crab between its ends.

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    start, end
        Positions where the arc begins and ends [rad]
    direction
        +1 for a right turn, −1 for a left turn.

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.

    Notes
    -----
    Source: heading is track plus crab.
    """
    turned = np.multiply(direction, np.subtract(end, start), dtype=np.float64)
    crab_at_end = circle.crab(true_airspeed, wind_speed, end, direction)
    return turned + crab_at_end - circle.crab(true_airspeed, wind_speed, start, direction)


def most_upwind_and_downwind(start: ArrayLike, end: ArrayLike) -> tuple[Floats, Floats]:
    """Return the positions of an arc nearest to straight upwind and to straight downwind, in [0, π] [rad].

    Ground speed and required bank depend on cos χ alone and fall all the way from downwind to upwind
    (`circle.bank_extremes`), so these two places carry the extremes of an arc. A position and its mirror
    image about the wind are alike in both; what is returned is the one of the two in [0, π].

    Parameters
    ----------
    start, end
        Positions where the arc begins and ends, in that order [rad]

    Notes
    -----
    Source: own derivation, above. The arc holds a straight downwind place where it holds a multiple of 2π.
    """
    first, last = np.asarray(start, dtype=np.float64), np.asarray(end, dtype=np.float64)
    at_start, at_end = np.cos(first), np.cos(last)
    upwind = np.where(
        _holds_full_turn(first - half_turn, last - half_turn), -1.0, np.minimum(at_start, at_end)
    )
    downwind = np.where(_holds_full_turn(first, last), 1.0, np.maximum(at_start, at_end))
    return np.arccos(upwind), np.arccos(downwind)


def _holds_full_turn(first: Floats, last: Floats) -> NDArray[np.bool_]:
    """Return whether a multiple of 2π lies between two angles."""
    return np.floor(last / full_turn) >= np.ceil(first / full_turn)


def ground_speed_extremes(
    true_airspeed: ArrayLike, wind_speed: ArrayLike, start: ArrayLike, end: ArrayLike
) -> tuple[Floats, Floats]:
    """Return the least and the greatest ground speed along an arc [m s⁻¹].

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    start, end
        Positions where the arc begins and ends, in that order [rad]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.
    """
    upwind, downwind = most_upwind_and_downwind(start, end)
    slowest = circle.ground_speed(true_airspeed, wind_speed, upwind)
    return slowest, circle.ground_speed(true_airspeed, wind_speed, downwind)


def bank_extremes(
    true_airspeed: ArrayLike, wind_speed: ArrayLike, radius: ArrayLike, start: ArrayLike, end: ArrayLike
) -> tuple[Floats, Floats]:
    """Return the least and the greatest bank that an arc needs, their size [rad].

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    radius
        R [m]
    start, end
        Positions where the arc begins and ends, in that order [rad]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.
    """
    upwind, downwind = most_upwind_and_downwind(start, end)
    least = circle.required_bank(true_airspeed, wind_speed, radius, upwind)
    return least, circle.required_bank(true_airspeed, wind_speed, radius, downwind)


def smallest_radius(
    true_airspeed: ArrayLike, wind_speed: ArrayLike, start: ArrayLike, end: ArrayLike, bank_limit: ArrayLike
) -> Floats:
    """Return the smallest radius of an arc that nowhere needs more than the bank limit [m].

    R = G² / (g tan φ cos δ) at the place of the arc nearest to straight downwind.

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    start, end
        Positions where the arc begins and ends, in that order [rad]
    bank_limit
        φ, greater than 0 and less than π/2 [rad]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.

    Notes
    -----
    Source: `circle.bank_from_ground_speed` solved for the radius.
    """
    _, steepest = most_upwind_and_downwind(start, end)
    speed = circle.ground_speed(true_airspeed, wind_speed, steepest)
    crab = circle.crab(true_airspeed, wind_speed, steepest, 1.0)
    return speed**2 / (standard_gravity * np.tan(bank_limit) * np.cos(crab))
