"""S-turns across a line: half circles of one radius on alternating sides, in any wind.

The line has the bearing in which the S-turns progress. Each half circle begins where the line is crossed at
a right angle and ends where it is crossed again, 2R further along; a right turn begins to the left of the
line, a left turn to its right. `turned` is how far the track has turned since the crossing, 0 to π, and
`wind_angle` is the direction the air moves to less the line's bearing. V is true airspeed, W wind speed.

Both half circles pass through the same tracks, all those with a component along the line's bearing, one of
them in the reverse order of the other. Ground speed, crab and required bank belong to the track. So in *any*
steady wind the half circles are alike in time, steepest and shallowest bank; what differs is the order in
which banks come: entered downwind, a half circle begins steep, entered upwind it ends steep.
Numbers or arrays that broadcast together in, their common shape out.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from groundref.angles import half_turn, quarter_turn, wrap
from groundref.mechanics import arc, circle
from groundref.mechanics.elliptic import second_kind
from groundref.mechanics.wind_triangle import require_wind_below_airspeed

Floats = NDArray[np.float64]


def track(line_bearing: ArrayLike, direction: ArrayLike, turned: ArrayLike) -> Floats:
    """Return the track in a half circle, true, in [0, 2π) [rad].

    Parameters
    ----------
    line_bearing
        Bearing of the line in the sense of progress, true [rad]
    direction
        Of this half circle: +1 for a right turn, −1 for a left turn.
    turned
        Turned by the track since the crossing, 0 to π [rad]
    """
    off_line = np.asarray(turned, dtype=np.float64) - quarter_turn
    return wrap(np.asarray(line_bearing, dtype=np.float64) + np.multiply(direction, off_line))


def ground_path(radius: ArrayLike, direction: ArrayLike, turned: ArrayLike) -> tuple[Floats, Floats]:
    """Return where the airplane is, along the line from the crossing and to the right of the line [m].

    Parameters
    ----------
    radius
        R [m]
    direction
        Of this half circle: +1 for a right turn, −1 for a left turn.
    turned
        Turned by the track since the crossing, 0 to π [rad]
    """
    size, angle = np.asarray(radius, dtype=np.float64), np.asarray(turned, dtype=np.float64)
    return size * (1.0 - np.cos(angle)), -np.multiply(direction, size * np.sin(angle))


def position(turned: ArrayLike, wind_angle: ArrayLike, direction: ArrayLike) -> Floats:
    """Return the position χ of the circle's formulas in a half circle, not wrapped [rad].

    The track is the line's bearing and d (s − π/2), so from the downwind track, in the direction flown, it
    is s − π/2 − d α. `circle` gives ground speed, crab and bank from it.

    Parameters
    ----------
    turned
        s, turned by the track since the crossing, 0 to π [rad]
    wind_angle
        α, direction the air moves to less the line's bearing [rad]
    direction
        d, of this half circle: +1 for a right turn, −1 for a left turn.

    Notes
    -----
    Source: own derivation, above.
    """
    off_line = np.asarray(turned, dtype=np.float64) - quarter_turn
    return off_line - np.multiply(direction, wind_angle, dtype=np.float64)


def crossing_crab(
    true_airspeed: ArrayLike, wind_speed: ArrayLike, wind_angle: ArrayLike, direction: ArrayLike
) -> Floats:
    """Return the crab at the crossing that begins a half circle, nose right of track positive [rad].

    The line is crossed at a right angle by the *track*; only with no wind along the line is the nose square
    to it as well. sin δ = −d (W/V) cos α: the nose points off square toward where the wind along the line
    comes from.

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    wind_angle
        α, direction the air moves to less the line's bearing [rad]
    direction
        Of the half circle that begins: +1 for a right turn, −1 for a left turn.

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.

    Notes
    -----
    Source: `circle.crab` with nothing turned.
    """
    return circle.crab(true_airspeed, wind_speed, position(0.0, wind_angle, direction), direction)


def turned_with_nose_square(
    true_airspeed: ArrayLike, wind_speed: ArrayLike, wind_angle: ArrayLike, direction: ArrayLike
) -> Floats:
    """Return how far the track has turned since the crossing when the nose is square to the line [rad].

    With the nose square the wind along the line, W cos α, is all of the motion along it, and
    V − d W sin α the motion across: the track is off square by atan2(W cos α, V − d W sin α). Negative
    where wind against the progress lets the nose pass square before the line is crossed.

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    wind_angle
        α, direction the air moves to less the line's bearing [rad]
    direction
        d, of the half circle that begins: +1 for a right turn, −1 for a left turn.

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.

    Notes
    -----
    Source: own derivation, above.
    """
    air, wind = require_wind_below_airspeed(true_airspeed, wind_speed)
    angle = np.asarray(wind_angle, dtype=np.float64)
    return np.arctan2(wind * np.cos(angle), air - np.multiply(direction, wind * np.sin(angle)))


def time_from_crossing(
    true_airspeed: ArrayLike,
    wind_speed: ArrayLike,
    radius: ArrayLike,
    turned: ArrayLike,
    wind_angle: ArrayLike,
    direction: ArrayLike,
) -> Floats:
    """Return the time since the crossing that began a half circle [s].

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    radius
        R [m]
    turned
        Turned by the track since the crossing, 0 to π [rad]
    wind_angle
        α, direction the air moves to less the line's bearing [rad]
    direction
        Of this half circle: +1 for a right turn, −1 for a left turn.

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.

    Notes
    -----
    Source: `arc.time`, incomplete elliptic integrals of the second kind.
    """
    start = position(0.0, wind_angle, direction)
    return arc.time(true_airspeed, wind_speed, radius, start, position(turned, wind_angle, direction))


def half_circle_time(
    true_airspeed: ArrayLike, wind_speed: ArrayLike, radius: ArrayLike, wind_angle: ArrayLike
) -> Floats:
    """Return the time of a half circle, the same on either side of the line [s].

    Over half a turn the elliptic integral grows by the complete one twice, whatever its start, and the sine
    changes sign. With χ₀ = −π/2 − d α, sin χ₀ = −cos α, which leaves, with m = (W/V)²,

    T = 2 R (V E(m) − W cos α) / (V² − W²).

    The direction of the turn has gone: half circles of one radius take one time in any steady wind. Wind
    along the progress shortens both alike. Half circles that take different times have different radii.

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    radius
        R [m]
    wind_angle
        α, direction the air moves to less the line's bearing [rad]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.

    Notes
    -----
    Source: own derivation, above.
    """
    air, wind = require_wind_below_airspeed(true_airspeed, wind_speed)
    along = wind * np.cos(np.asarray(wind_angle, dtype=np.float64))
    way = air * second_kind(quarter_turn, (wind / air) ** 2) - along
    return 2.0 * np.asarray(radius, dtype=np.float64) * way / (air**2 - wind**2)


def bank_extremes(
    true_airspeed: ArrayLike, wind_speed: ArrayLike, radius: ArrayLike, wind_angle: ArrayLike
) -> tuple[Floats, Floats]:
    """Return the least and the greatest bank of a half circle, the same on either side, their size [rad].

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    radius
        R [m]
    wind_angle
        α, direction the air moves to less the line's bearing [rad]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.

    Notes
    -----
    Source: `arc.bank_extremes`.
    """
    start, end = position(0.0, wind_angle, 1.0), position(half_turn, wind_angle, 1.0)
    return arc.bank_extremes(true_airspeed, wind_speed, radius, start, end)


def bank_before_crossing(
    true_airspeed: ArrayLike,
    wind_speed: ArrayLike,
    radius: ArrayLike,
    wind_angle: ArrayLike,
    direction: ArrayLike,
) -> Floats:
    """Return the bank that a perfect half circle still has where it reaches the line, its size [rad].

    The half circle after it begins with the same bank on the other side: same track, same radius. Level
    wings *at* the line therefore cost a little of both half circles, what the roll takes.

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]
    radius
        R [m]
    wind_angle
        α, direction the air moves to less the line's bearing [rad]
    direction
        Of the half circle that ends: +1 for a right turn, −1 for a left turn.

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.
    """
    end = position(half_turn, wind_angle, direction)
    return circle.required_bank(true_airspeed, wind_speed, radius, end)
