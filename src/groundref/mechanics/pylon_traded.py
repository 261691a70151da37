"""The path about a pylon on the wing line when height is traded for speed, in closed form.

With V²/2 + gH held and gH = V (V + w_h) (`pylon.height_with_speed_traded`), let ν be the heading from the
downwind heading in the direction flown, w_h = W cos ν, and sinh s = W cos ν / (3 V₀). Then

V = V₀ e^(−s),    V + w_h = V₀ (cosh s + 2 sinh s).

The distance changes by the wind away from the pylon, d' = W sin ν, and the heading turns at (V + w_h)/d, so
d(ln d) = −dw_h / (V + w_h). In s that is −3 cosh s ds / (cosh s + 2 sinh s), whose integral is
s − 2 ln(cosh s + 2 sinh s), hence

d V (V + w_h)² is constant,

as d (V + w_h) is at constant airspeed. The bank is tan φ = H/d, so it goes as V² (V + w_h)³: steepest flying
downwind. V₀ is the true airspeed where the wind is square to the heading, W the wind speed, less than V₀.
Numbers or arrays that broadcast together in, their common shape out.
"""

from __future__ import annotations

from math import cos, hypot, pi, sin
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from groundref.mechanics.pylon import height_with_speed_traded
from groundref.mechanics.wind_triangle import require_wind_below_airspeed

Floats = NDArray[np.float64]

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(24)
_HALVINGS: Final = 40  # of a quarter turn: to 10⁻¹² rad
_PER_PART: Final = np.pi  # [rad] of heading that one set of nodes integrates


def on_heading(
    still_airspeed: ArrayLike, wind_speed: ArrayLike, heading_from_downwind: ArrayLike
) -> tuple[Floats, Floats, Floats]:
    """Return true airspeed [m s⁻¹], pivotal height [m] and relative distance of the pylon on a heading.

    The distance is over that where the wind is square to the heading, V₀³ / (V (V + w_h)²).

    Parameters
    ----------
    still_airspeed, wind_speed
        V₀ and W [m s⁻¹]
    heading_from_downwind
        ν [rad]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.

    Notes
    -----
    Source: own derivation, above.
    """
    still, wind = require_wind_below_airspeed(still_airspeed, wind_speed)
    along = wind * np.cos(heading_from_downwind)
    air, height = height_with_speed_traded(still, along)
    return air, height, np.asarray(still**3 / (air * (air + along) ** 2), dtype=np.float64)


def widest_crab(still_airspeed: float, wind_speed: float) -> float:
    """Return the heading from downwind, π/2 to π, on which the crab is largest [rad].

    On its mirror image it is as large. With tan δ = W sin ν / (V + w_h) and dV/dw_h = −V/(3V + w_h) the crab
    is level where

    V cos ν + W = V W sin²ν / (3V + w_h),

    whose sides meet once between ν = π/2, where the left one is larger, and π, where it is smaller.

    Parameters
    ----------
    still_airspeed, wind_speed
        V₀ and W [m s⁻¹]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.

    Notes
    -----
    Source: own derivation, above; found by halving.
    """
    require_wind_below_airspeed(still_airspeed, wind_speed)
    low, high = 0.5 * pi, pi
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        along = wind_speed * cos(middle)
        air = (hypot(along, 3.0 * still_airspeed) - along) / 3.0
        level = air * cos(middle) + wind_speed - air * wind_speed * sin(middle) ** 2 / (3.0 * air + along)
        low, high = (middle, high) if level > 0.0 else (low, middle)
    return 0.5 * (low + high)


def time_between(
    still_airspeed: float, wind_speed: float, square_distance: float, start: float, heading: ArrayLike
) -> Floats:
    """Return the time from one heading to others, ∫ d / (V + w_h) dν [s].

    Parameters
    ----------
    still_airspeed, wind_speed
        V₀ and W [m s⁻¹]
    square_distance
        Distance of the pylon where the wind is square to the heading [m]
    start
        ν where time begins [rad]
    heading
        ν where it is asked for, any shape, up to a few turns from ``start`` [rad]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.

    Notes
    -----
    Source: Gauss–Legendre quadrature of 24 nodes for each half turn; its error is below 10⁻⁹ of the time for
    winds up to half of the airspeed.
    """
    ends = np.asarray(heading, dtype=np.float64)
    parts = max(int(np.ceil(np.max(np.abs(ends - start), initial=0.0) / _PER_PART)), 1)
    step = (ends - start) / parts
    total = np.zeros_like(ends)
    for part in range(parts):
        angle = (start + (part + 0.5) * step)[..., None] + 0.5 * step[..., None] * _NODES
        air, _, distance = on_heading(still_airspeed, wind_speed, angle)
        rate = square_distance * distance / (air + wind_speed * np.cos(angle))
        total += 0.5 * step * (rate @ _WEIGHTS)
    return total
