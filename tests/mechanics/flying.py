"""Fly a point mass open loop: an integration that knows the equations of motion and none of our formulas."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

GRAVITY = 9.80665  # [m s⁻²]

# Settings of the integrator; far finer than any tolerance in the tests that use it.
RELATIVE, ABSOLUTE = 1e-11, 1e-9


def fly_level(
    true_airspeed: float,
    wind: tuple[float, float],
    heading: float,
    bank_at: Callable[[float], float],
    times: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Return east, north and heading, one row each, at the times, with bank as a function of time."""

    def motion(time: float, state: NDArray[np.float64]) -> list[float]:
        nose = state[2]
        return [
            true_airspeed * np.sin(nose) + wind[0],
            true_airspeed * np.cos(nose) + wind[1],
            GRAVITY * np.tan(bank_at(time)) / true_airspeed,
        ]

    return _integrate(motion, [0.0, 0.0, heading], times)


def fly_by_position(
    true_airspeed: float,
    wind: tuple[float, float],
    heading: float,
    bank_on_track: Callable[[float], float],
    times: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Return the same with bank as a function of the track being made good."""

    def motion(_: float, state: NDArray[np.float64]) -> list[float]:
        east = true_airspeed * np.sin(state[2]) + wind[0]
        north = true_airspeed * np.cos(state[2]) + wind[1]
        turn_rate = GRAVITY * np.tan(bank_on_track(float(np.arctan2(east, north)))) / true_airspeed
        return [east, north, turn_rate]

    return _integrate(motion, [0.0, 0.0, heading], times)


def glide_in_space(
    velocity: NDArray[np.float64], bank: float, lift: float, drag: float, duration: float
) -> NDArray[np.float64]:
    """Return position and velocity (east, north, up) after a glide under constant lift and drag per mass.

    Lift is square to the velocity and tilted by the bank about it; no angle of glide or rate of turn is
    assumed.
    """

    def motion(_: float, state: NDArray[np.float64]) -> NDArray[np.float64]:
        speed = state[3:]
        along = speed / np.linalg.norm(speed)
        right = np.cross(along, [0.0, 0.0, 1.0])
        right /= np.linalg.norm(right)
        over = np.cross(right, along)
        force = lift * (np.cos(bank) * over + np.sin(bank) * right) - drag * along
        return np.concatenate([speed, force - [0.0, 0.0, GRAVITY]])

    return _integrate(motion, [0.0, 0.0, 0.0, *velocity], np.array([duration]))[:, 0]


def _integrate(
    motion: Callable[[float, NDArray[np.float64]], list[float] | NDArray[np.float64]],
    start: list[float],
    times: NDArray[np.float64],
) -> NDArray[np.float64]:
    flown = solve_ivp(
        motion, (0.0, times[-1]), start, method="DOP853", t_eval=times, rtol=RELATIVE, atol=ABSOLUTE
    )
    assert flown.success
    return np.asarray(flown.y, dtype=np.float64)
