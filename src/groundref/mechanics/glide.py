"""The glide, straight and turning: angle, height lost in a turn, reach in wind.

Steady, coordinated, power off. The flight path slopes down by γ, bank φ is the angle of the lift about the
flight path, V the speed along the path. Forces balance as L cos φ = mg cos γ, D = mg sin γ, and the turn
takes L sin φ = m V cos γ ψ'; with L/D at the lift actually carried it follows that

tan γ = 1/((L/D) cos φ),  n = L/mg = cos γ / cos φ,  ψ' = g tan φ / V.

Steady wind changes none of the height lost, only where over the ground the airplane ends: add wind times
`time_in_turn`. Numbers or arrays that broadcast together in, their common shape out; NaN in, NaN out.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from groundref.angles import quarter_turn
from groundref.errors import NoSolutionError
from groundref.mechanics import turn
from groundref.mechanics.wind_triangle import ground_speed_on_track

Floats = NDArray[np.float64]


def glide_angle(glide_ratio: ArrayLike, bank: ArrayLike = 0.0) -> Floats:
    """Return how steeply the flight path slopes down, γ = atan(1/((L/D) cos φ)) [rad].

    Parameters
    ----------
    glide_ratio
        L/D at the lift carried, positive
    bank
        φ, either side, less than π/2 [rad]

    Raises
    ------
    NoSolutionError
        Where the glide ratio is not positive, or at 90° of bank or more.
    """
    ratio, roll = np.asarray(glide_ratio, dtype=np.float64), np.asarray(bank, dtype=np.float64)
    if np.any(ratio <= 0.0):
        raise NoSolutionError("a glide ratio is not positive", "glide ratio", "give distance over height")
    if np.any(np.abs(roll) >= quarter_turn):
        raise NoSolutionError("no glide is steady at 90° of bank or more", "bank", "give a smaller bank")
    return np.arctan(1.0 / (ratio * np.cos(roll)))


def load_factor(bank: ArrayLike, glide_angle: ArrayLike) -> Floats:
    """Return the load factor of a steady gliding turn, n = cos γ / cos φ.

    Stall speed rises with its root, as in a level turn.

    Parameters
    ----------
    bank
        φ, either side [rad]
    glide_angle
        γ, downward positive [rad]

    Raises
    ------
    NoSolutionError
        At 90° of bank or more.
    """
    return np.cos(np.asarray(glide_angle, dtype=np.float64)) * turn.load_factor(bank)


def time_in_turn(heading_change: ArrayLike, true_airspeed: ArrayLike, bank: ArrayLike) -> Floats:
    """Return the time of a turn, Δψ V/(g tan φ), the same gliding as level, infinite without bank [s].

    Parameters
    ----------
    heading_change
        Δψ, either side [rad]
    true_airspeed
        V, along the path [m s⁻¹]
    bank
        φ, either side [rad]

    Raises
    ------
    NoSolutionError
        At 90° of bank or more.
    """
    with np.errstate(divide="ignore"):
        return np.abs(heading_change) / np.abs(turn.rate_of_turn(true_airspeed, bank))


def height_lost(
    heading_change: ArrayLike, true_airspeed: ArrayLike, bank: ArrayLike, glide_ratio: ArrayLike
) -> Floats:
    """Return the height lost in a gliding turn at a speed that is held, Δψ V² sin γ/(g tan φ) [m].

    For a flat glide sin γ ≈ tan γ gives the usual Δψ V²/(g (L/D) sin φ), too large by 1/cos γ: 0.8 % at
    30° of bank and L/D 9, 2.4 % at 60°.

    Parameters
    ----------
    heading_change
        Δψ, either side [rad]
    true_airspeed
        V, held in the turn [m s⁻¹]
    bank
        φ, either side, not 0 [rad]
    glide_ratio
        L/D at the lift carried in the turn

    Raises
    ------
    NoSolutionError
        Where the glide ratio is not positive, or at 90° of bank or more.

    Notes
    -----
    Source: own derivation: time in the turn times V sin γ.
    """
    sink_rate = np.multiply(true_airspeed, np.sin(glide_angle(glide_ratio, bank)))
    return time_in_turn(heading_change, true_airspeed, bank) * sink_rate


def speed_at_fixed_lift(glide_speed: ArrayLike, bank: ArrayLike, glide_ratio: ArrayLike) -> Floats:
    """Return the speed in the turn that keeps the lift coefficient of the straight glide [m s⁻¹].

    L = n mg grows with V² alone, so V² = V₀² n/n₀ with n₀ = cos γ₀ of the straight glide.

    Parameters
    ----------
    glide_speed
        V₀, speed of the straight glide [m s⁻¹]
    bank
        φ, either side [rad]
    glide_ratio
        L/D, the same in the turn because the lift coefficient is

    Raises
    ------
    NoSolutionError
        Where the glide ratio is not positive, or at 90° of bank or more.
    """
    lift = load_factor(bank, glide_angle(glide_ratio, bank))
    straight = np.cos(glide_angle(glide_ratio))
    return np.asarray(glide_speed, dtype=np.float64) * np.sqrt(lift / straight)


def height_lost_at_fixed_lift(
    heading_change: ArrayLike, glide_speed: ArrayLike, bank: ArrayLike, glide_ratio: ArrayLike
) -> Floats:
    """Return the height lost in a gliding turn flown at the lift coefficient of the straight glide [m].

    For a flat glide it goes as 1/(sin φ cos φ), least at 45° of bank.

    Parameters
    ----------
    heading_change
        Δψ, either side [rad]
    glide_speed
        V₀, speed of the straight glide; the turn is flown faster [m s⁻¹]
    bank
        φ, either side, not 0 [rad]
    glide_ratio
        L/D

    Raises
    ------
    NoSolutionError
        Where the glide ratio is not positive, or at 90° of bank or more.

    Notes
    -----
    Source: `height_lost` at `speed_at_fixed_lift`.
    """
    speed = speed_at_fixed_lift(glide_speed, bank, glide_ratio)
    return height_lost(heading_change, speed, bank, glide_ratio)


def bank_of_least_loss(glide_ratio: ArrayLike) -> Floats:
    """Return the bank that loses least height for a heading change at fixed lift coefficient [rad].

    With k = 1/(L/D) and c = cos φ, the loss goes as sin γ cos γ / sin φ = k c / ((c² + k²) √(1 − c²)); its
    derivative vanishes where 2c⁴ − c² + k² = 0, so cos²φ = (1 + √(1 − 8k²))/4: 45° and a little more.

    Parameters
    ----------
    glide_ratio
        L/D, more than √8

    Raises
    ------
    NoSolutionError
        Where the glide ratio is √8 or less; the loss then falls with bank without a least value.

    Notes
    -----
    Source: own derivation, above.
    """
    drag_over_lift = 1.0 / np.asarray(glide_ratio, dtype=np.float64)
    room = 1.0 - 8.0 * drag_over_lift**2
    if np.any((room <= 0.0) | (drag_over_lift < 0.0)):
        raise NoSolutionError(
            "with a glide ratio of 2.83 or less no bank loses least height", "glide ratio", "check it"
        )
    return np.arccos(np.sqrt(0.25 * (1.0 + np.sqrt(room))))


def reach(
    height: ArrayLike,
    glide_ratio: ArrayLike,
    true_airspeed: ArrayLike,
    wind_speed: ArrayLike,
    wind_angle: ArrayLike,
) -> Floats:
    """Return how far over the ground a straight glide goes while making good a track [m].

    The glide lasts h/(V sin γ); over the ground it goes at the ground speed of the horizontal airspeed
    V cos γ. To first order this is h (L/D) times ground speed over airspeed.

    Parameters
    ----------
    height
        h, height to lose [m]
    glide_ratio
        L/D at this speed, in still air
    true_airspeed
        V, along the path [m s⁻¹]
    wind_speed
        Steady over the height [m s⁻¹]
    wind_angle
        Direction the air moves to minus track, 0 is a tailwind [rad]

    Raises
    ------
    NoSolutionError
        Where the wind is not less than the horizontal airspeed, or the glide ratio not positive.
    """
    angle = glide_angle(glide_ratio)
    speed = np.asarray(true_airspeed, dtype=np.float64)
    lasting = np.asarray(height, dtype=np.float64) / (speed * np.sin(angle))
    return ground_speed_on_track(speed * np.cos(angle), wind_speed, wind_angle) * lasting
