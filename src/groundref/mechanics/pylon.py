"""The pivotal height: where a pylon stays on the wing line while the airplane turns about it.

Require the pylon abeam, 90° from the *heading*, on the line through the lateral axis, nose level. Let d be
its horizontal distance, φ its depression and so the bank, w_h the wind along the heading. The line to the
pylon turns at (V + w_h)/d, the heading at g tan φ / V, and they must turn alike; with tan φ = H/d the
distance cancels:

H = V (V + w_h) / g = V G cos δ / g = (air velocity · ground velocity) / g.

The bank does not come into it. G²/g, the handbook's rule, is this in still air; in wind it is too high by
about W/V of the height flying downwind and too low by as much flying upwind.
Level, coordinated flight in steady, uniform wind; climbs so slow that their acceleration is nothing beside g.
Numbers or arrays that broadcast together in, their common shape out; NaN in, NaN out.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from groundref.mechanics.wind_triangle import require_wind_below_airspeed
from groundref.units import foot, knot, standard_gravity

Floats = NDArray[np.float64]

# Airplane Flying Handbook (FAA-H-8083-3C, p. 7-15): feet from knots squared over 11.3. Exact is 11.294.
handbook_divisor: Final = 11.3 * knot**2 / foot


def pivotal_height(true_airspeed: ArrayLike, ground_speed: ArrayLike, crab: ArrayLike) -> Floats:
    """Return the exact pivotal height above the pylon, V G cos δ / g [m].

    Parameters
    ----------
    true_airspeed
        V [m s⁻¹]
    ground_speed
        G [m s⁻¹]
    crab
        δ, either sign [rad]

    Notes
    -----
    Source: own derivation, above. An equal-area rule and the product of the two velocities stand in
    J. Denker, "Turns on pylons" (2008).
    """
    product = np.multiply(true_airspeed, ground_speed, dtype=np.float64)
    return product * np.cos(crab) / standard_gravity


def pivotal_height_with_wind(true_airspeed: ArrayLike, wind_along_heading: ArrayLike) -> Floats:
    """Return the exact pivotal height above the pylon, V (V + w_h) / g [m].

    Parameters
    ----------
    true_airspeed
        V [m s⁻¹]
    wind_along_heading
        w_h, a tailwind positive [m s⁻¹]
    """
    air = np.asarray(true_airspeed, dtype=np.float64)
    return air * (air + np.asarray(wind_along_heading, dtype=np.float64)) / standard_gravity


def handbook_height(ground_speed: ArrayLike) -> Floats:
    """Return the pivotal height as the handbook prints it, G² over 11.3 in knots and feet [m].

    Exact in still air but for the rounding of the divisor, 0.05 % low.

    Parameters
    ----------
    ground_speed
        G [m s⁻¹]

    Notes
    -----
    Source: Airplane Flying Handbook (FAA-H-8083-3C), p. 7-15.
    """
    return np.asarray(ground_speed, dtype=np.float64) ** 2 / handbook_divisor


def height_with_speed_traded(
    still_airspeed: ArrayLike, wind_along_heading: ArrayLike
) -> tuple[Floats, Floats]:
    """Return true airspeed [m s⁻¹] and pivotal height [m] when height is traded for speed.

    At fixed power a small airplane cannot follow the pivotal height at one airspeed; with V²/2 + gH held and
    gH = V (V + w_h), 3V²/2 + w_h V = 3V₀²/2, hence V = (√(w_h² + 9V₀²) − w_h) / 3. Climbing as the tailwind
    grows it slows, and both heights lie closer together.

    Parameters
    ----------
    still_airspeed
        V₀, true airspeed where the wind is square to the heading [m s⁻¹]
    wind_along_heading
        w_h, a tailwind positive [m s⁻¹]

    Notes
    -----
    Source: own derivation, above. Thrust equal to drag throughout, wind the same at all heights.
    """
    along = np.asarray(wind_along_heading, dtype=np.float64)
    air = (np.hypot(along, np.multiply(3.0, still_airspeed, dtype=np.float64)) - along) / 3.0
    return air, pivotal_height_with_wind(air, along)


def height_rate(wind_toward_pylon: ArrayLike, bank: ArrayLike) -> Floats:
    """Return how fast the pivotal height changes at constant true airspeed, w_n tan φ, up positive [m s⁻¹].

    H d is constant along the path and the distance shrinks by the wind toward the pylon, so H'/H = w_n/d.

    Parameters
    ----------
    wind_toward_pylon
        w_n, component of the air's motion along the wing toward the pylon [m s⁻¹]
    bank
        φ, toward the pylon positive [rad]

    Notes
    -----
    Source: own derivation, above.
    """
    return np.multiply(wind_toward_pylon, np.tan(bank), dtype=np.float64)


def height_rate_with_speed_traded(
    true_airspeed: ArrayLike, wind_along_heading: ArrayLike, wind_toward_pylon: ArrayLike, bank: ArrayLike
) -> Floats:
    """Return how fast the pivotal height changes when height is traded for speed, up positive [m s⁻¹].

    From 3V²/2 + w_h V constant, V' = −V w_h' / (3V + w_h); gH' = −V V', and the wind along a heading that
    turns at g tan φ / V grows by w_h' = w_n g tan φ / V: H' = w_n tan φ · V / (3V + w_h). About a third of
    `height_rate`.

    Parameters
    ----------
    true_airspeed
        V at this moment [m s⁻¹]
    wind_along_heading
        w_h, a tailwind positive [m s⁻¹]
    wind_toward_pylon
        w_n, component of the air's motion along the wing toward the pylon [m s⁻¹]
    bank
        φ, toward the pylon positive [rad]

    Notes
    -----
    Source: own derivation, above.
    """
    air = np.asarray(true_airspeed, dtype=np.float64)
    share = air / (3.0 * air + np.asarray(wind_along_heading, dtype=np.float64))
    return share * height_rate(wind_toward_pylon, bank)


def ahead_rate(
    height: ArrayLike, pivotal: ArrayLike, true_airspeed: ArrayLike, distance: ArrayLike
) -> Floats:
    """Return how fast the pylon moves ahead of the wing line at a wrong height, g (H − H_p)/(V d) [rad s⁻¹].

    With the wing held level with the pylon, tan φ = H/d, the heading turns at gH/(Vd) and the line to the
    pylon at (V + w_h)/d = gH_p/(Vd). Too high, the pylon moves ahead and the cure is to descend; too low, it
    falls behind and the cure is to climb.

    Parameters
    ----------
    height
        H above the pylon [m]
    pivotal
        H_p, the exact pivotal height [m]
    true_airspeed
        V [m s⁻¹]
    distance
        d, horizontal, to the pylon [m]

    Notes
    -----
    Source: own derivation, above, with the pylon abeam.
    """
    excess = np.subtract(height, pivotal, dtype=np.float64)
    return standard_gravity * excess / np.multiply(true_airspeed, distance, dtype=np.float64)


def pivotal_height_from_velocity(
    ground_east: ArrayLike, ground_north: ArrayLike, wind_east: ArrayLike, wind_north: ArrayLike
) -> Floats:
    """Return the exact pivotal height from the velocities, (v − w) · v / g [m].

    Parameters
    ----------
    ground_east, ground_north
        v, velocity over the ground [m s⁻¹]
    wind_east, wind_north
        w, velocity of the air [m s⁻¹]

    Notes
    -----
    Source: the air velocity is v − w, and air · ground velocity is V G cos δ.
    """
    east, north = np.asarray(ground_east, dtype=np.float64), np.asarray(ground_north, dtype=np.float64)
    product = np.subtract(east, wind_east) * east + np.subtract(north, wind_north) * north
    return product / standard_gravity


def pivotal_height_gradient(
    ground_east: ArrayLike, ground_north: ArrayLike, wind_east: ArrayLike, wind_north: ArrayLike
) -> Floats:
    """Return the partial derivatives of `pivotal_height_from_velocity`, along a new last axis [s].

    By ground velocity (2v − w)/g, by wind −v/g, in the order of the arguments.

    Parameters
    ----------
    ground_east, ground_north
        v, velocity over the ground [m s⁻¹]
    wind_east, wind_north
        w, velocity of the air [m s⁻¹]
    """
    east, north, air_east, air_north = np.broadcast_arrays(ground_east, ground_north, wind_east, wind_north)
    slopes = [2.0 * east - air_east, 2.0 * north - air_north, -east, -north]
    return np.stack(slopes, axis=-1) / standard_gravity


def pivotal_height_sd(
    ground_east: ArrayLike,
    ground_north: ArrayLike,
    wind_east: ArrayLike,
    wind_north: ArrayLike,
    covariance: ArrayLike,
) -> Floats:
    """Return the standard deviation of the pivotal height to first order [m].

    Parameters
    ----------
    ground_east, ground_north
        v, velocity over the ground [m s⁻¹]
    wind_east, wind_north
        w, velocity of the air [m s⁻¹]
    covariance
        4 × 4 in its last axes, of the four in this order [m² s⁻²]

    Notes
    -----
    Source: propagation of covariance, √(∇H · C · ∇H). Beyond first order the ground velocity's own variance
    adds to the mean (its trace over g) and to the spread; both are below a foot for 1 m/s.
    """
    slope = pivotal_height_gradient(ground_east, ground_north, wind_east, wind_north)
    variance = slope[..., np.newaxis, :] @ np.asarray(covariance, dtype=np.float64) @ slope[..., np.newaxis]
    return np.sqrt(variance[..., 0, 0])


def height_extremes(true_airspeed: ArrayLike, wind_speed: ArrayLike) -> tuple[Floats, Floats]:
    """Return the pivotal heights straight upwind, the least, and straight downwind, V (V ∓ W)/g [m].

    Parameters
    ----------
    true_airspeed, wind_speed
        V and W [m s⁻¹]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the true airspeed.
    """
    air, wind = require_wind_below_airspeed(true_airspeed, wind_speed)
    return pivotal_height_with_wind(air, -wind), pivotal_height_with_wind(air, wind)
