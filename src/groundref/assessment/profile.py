"""The maneuver sample by sample: place in the circle, distance, and the bank that holds the distance."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from groundref.angles import direction_of, wrap_signed
from groundref.assessment.assessed import Profile
from groundref.detection.maneuver import Lap, Maneuver
from groundref.estimation.states import States
from groundref.mechanics.circle import bank_from_ground_speed

Floats = NDArray[np.float64]


def turn_signs(maneuver: Maneuver) -> Floats:
    """Return for each sample of a maneuver +1 where it turns right, −1 where it turns left.

    Between two laps it is the sign of the one before; before the first that of the first.
    """
    starts = np.array([lap.first for lap in maneuver.laps])
    signs = np.array([turn_sign(lap) for lap in maneuver.laps])
    index = np.arange(maneuver.first, maneuver.last + 1)
    own = np.maximum(np.searchsorted(starts, index, side="right") - 1, 0)
    return np.asarray(signs[own], dtype=np.float64)


def turn_sign(lap: Lap) -> float:
    """Return +1 for a lap to the right, −1 for one to the left."""
    return 1.0 if lap.turn > 0.0 else -1.0


def profile_of(states: States, maneuver: Maneuver) -> Profile:
    """Set what was flown against what the maneuver needed, over its samples.

    Parameters
    ----------
    states
        Motion over the whole flight.
    maneuver
        The maneuver found in it.
    """
    samples = slice(maneuver.first, maneuver.last + 1)
    lap, turn = _lap_numbers(maneuver), turn_signs(maneuver)
    about_east, about_north = _about(maneuver, lap)
    east, north = states.east[samples] - about_east, states.north[samples] - about_north
    distance = np.hypot(east, north)
    required, required_sd = _bank_required(states, maneuver, samples, turn)
    return Profile(
        lap=lap,
        turn=turn,
        position=_position(states.track[samples], maneuver, turn),
        azimuth=direction_of(east, north),
        distance=distance,
        radial=distance - maneuver.radius,
        bank_required=required,
        bank_required_sd=required_sd,
    )


def _about(maneuver: Maneuver, lap: NDArray[np.int64]) -> tuple[Floats, Floats]:
    """Return the place turned about at each sample; NaN outside the laps and where there is none [m]."""
    east = np.array([np.nan, *(one.about_east for one in maneuver.laps)])
    north = np.array([np.nan, *(one.about_north for one in maneuver.laps)])
    return east[lap], north[lap]


def _lap_numbers(maneuver: Maneuver) -> NDArray[np.int64]:
    """Return the lap number of each sample, 0 outside; a shared border sample belongs to the later lap."""
    numbers = np.zeros(maneuver.last - maneuver.first + 1, dtype=np.int64)
    for number, lap in enumerate(maneuver.laps, start=1):
        numbers[lap.first - maneuver.first : lap.last - maneuver.first + 1] = number
    return numbers


def _position(track: Floats, maneuver: Maneuver, turn: Floats) -> Floats:
    """Return the angle of track from straight downwind, growing in the direction flown, in [−π, π) [rad]."""
    if maneuver.wind is None:
        return np.full(track.shape, np.nan)
    return wrap_signed(turn * (track - maneuver.wind.direction_to))


def _bank_required(states: States, maneuver: Maneuver, samples: slice, turn: Floats) -> tuple[Floats, Floats]:
    """Return the bank that holds the maneuver's radius, and its standard deviation [rad].

    From tanφ = G² / (g R cosδ) the differentials are d ln tanφ = 2 dG/G − dR/R + tanδ dδ, and
    dφ = sinφ cosφ d ln tanφ.
    """
    speed, crab = states.ground_speed[samples], states.crab[samples]
    bank = bank_from_ground_speed(speed, crab, maneuver.radius)
    relative = np.sqrt(
        (2.0 * states.velocity_sd[samples] / speed) ** 2
        + (maneuver.radius_sd / maneuver.radius) ** 2
        + (np.tan(crab) * _crab_sd(states, samples)) ** 2
    )
    return turn * bank, np.abs(np.sin(bank) * np.cos(bank)) * relative


def _crab_sd(states: States, samples: slice) -> Floats:
    """Return the standard deviation of the crab: that of the wind across the heading, over airspeed [rad]."""
    heading = states.heading[samples]
    sine, cosine = np.sin(heading), np.cos(heading)
    across = (
        (cosine * states.wind_east_sd[samples]) ** 2
        + (sine * states.wind_north_sd[samples]) ** 2
        - 2.0 * sine * cosine * states.wind_covariance[samples]
    )
    return np.sqrt(np.maximum(across, 0.0)) / states.true_airspeed[samples]
