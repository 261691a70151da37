"""How steep turns were flown: the bank of each, the heading before and after, how far the air carried it.

Heading is found as the direction of the ground velocity less the wind. An error of the wind moves it by the
same angle before and after a turn that ends on its first heading, and so drops out; what is left is the part
that belongs to the difference of the two headings, and noise.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import full_turn, unwrap, wrap
from groundref.assessment.assessed import Profile
from groundref.assessment.details import SteepFlown, SteepTurn
from groundref.assessment.held import bank_bias, steady
from groundref.assessment.profile import turn_sign
from groundref.detection.maneuver import Lap, Maneuver
from groundref.errors import NoSolutionError
from groundref.estimation.states import States
from groundref.mechanics.circle_fit import fit_moving_circle
from groundref.units import degree

Floats = NDArray[np.float64]

LEVEL_AFTER: Final = 2.5  # [s] after the middle of a roll until the wings are level, in any estimate
LOOK: Final = 3.5  # [s] of straight flight that the heading is taken from
REVERSAL: Final = 2.0 * LEVEL_AFTER + 1.0  # [s] between two turns too short for straight flight
HEADING_SD: Final = 1.0 * degree  # [rad] of a heading flown by hand over some seconds; common practice


@dataclass(frozen=True, slots=True)
class _Heading:
    """A heading, continuous over the maneuver, and its standard deviation but for the wind's [rad]."""

    value: float
    sd: float


def steep_flown(states: States, maneuver: Maneuver, profile: Profile) -> SteepFlown:
    """Return how each steep turn was flown.

    Parameters
    ----------
    states, maneuver, profile
        What was flown.
    """
    heading = _continuous(states, maneuver)
    return SteepFlown(
        tuple(
            _turn(states, maneuver, profile, heading, number) for number in range(1, len(maneuver.laps) + 1)
        )
    )


def _turn(states: States, maneuver: Maneuver, profile: Profile, heading: Floats, number: int) -> SteepTurn:
    lap, sign = maneuver.laps[number - 1], turn_sign(maneuver.laps[number - 1])
    before, after = _before(states, maneuver, heading, number), _after(states, maneuver, heading, number)
    whole = sign * full_turn * max(round(abs(lap.turn) / full_turn), 1)
    off = sign * (after.value - before.value - whole)
    bank, bank_sd = _bank(states, maneuver, profile, number)
    lasted = (lap.end - lap.start) * full_turn / abs(lap.turn)
    wind = maneuver.wind
    return SteepTurn(
        lap=number,
        bank=bank,
        bank_sd=bank_sd,
        heading_in=_wrapped(before.value),
        heading_out=_wrapped(after.value),
        off_heading=off,
        off_heading_sd=float(np.sqrt(before.sd**2 + after.sd**2 + _wind_sd(states, lap, off) ** 2)),
        drift=_drift(states, lap, lasted),
        drift_expected=float("nan") if wind is None else wind.speed * lasted,
    )


def _continuous(states: States, maneuver: Maneuver) -> Floats:
    """Return the heading of the whole flight, continuous from before the maneuver to after it [rad]."""
    index = (states.time >= maneuver.start - 20.0) & (states.time <= maneuver.end + 20.0)
    index &= np.isfinite(states.heading) & (states.piece == states.piece[maneuver.first])
    heading = np.full(len(states), np.nan)
    heading[index] = unwrap(states.heading[index])
    return heading


def _before(states: States, maneuver: Maneuver, heading: Floats, number: int) -> _Heading:
    """Return the heading before a turn."""
    start = maneuver.laps[number - 1].start
    begin = start - LEVEL_AFTER - LOOK
    if number > 1:
        left = maneuver.laps[number - 2]
        if start - left.end < REVERSAL:
            return _reversed(states, heading, left)
        begin = max(begin, left.end + LEVEL_AFTER)
    return _mean(states, heading, begin, start - LEVEL_AFTER)


def _after(states: States, maneuver: Maneuver, heading: Floats, number: int) -> _Heading:
    """Return the heading after a turn."""
    lap = maneuver.laps[number - 1]
    end = lap.end + LEVEL_AFTER + LOOK
    if number < len(maneuver.laps):
        following = maneuver.laps[number].start
        if following - lap.end < REVERSAL:
            return _reversed(states, heading, lap)
        end = min(end, following - LEVEL_AFTER)
    return _mean(states, heading, lap.end + LEVEL_AFTER, end)


def _mean(states: States, heading: Floats, begin: float, end: float) -> _Heading:
    """Return the mean heading of a straight stretch; NaN where nothing of it was recorded."""
    inside = (states.time >= begin) & (states.time <= end) & np.isfinite(heading)
    if not inside.any():
        return _Heading(float("nan"), float("nan"))
    noise = float(np.mean(states.velocity_sd[inside] / np.maximum(states.ground_speed[inside], 1.0)))
    return _Heading(float(np.mean(heading[inside])), float(np.hypot(noise, HEADING_SD)))


def _reversed(states: States, heading: Floats, lap: Lap) -> _Heading:
    """Return the heading at which one turn was rolled directly into the next: the farthest one reached."""
    inside = (states.time >= lap.end - 5.0) & (states.time <= lap.end + REVERSAL) & np.isfinite(heading)
    if not inside.any():
        return _Heading(float("nan"), float("nan"))
    farthest = turn_sign(lap) * float(np.max(turn_sign(lap) * heading[inside]))
    # Between two samples half of an interval's change is missed at most.
    return _Heading(farthest, 2.0 * HEADING_SD)


def _wind_sd(states: States, lap: Lap, off: float) -> float:
    """Return how uncertain the wind makes a difference of two headings [rad].

    A heading is moved by n·δw/V, n across it, so two that differ by ε by 2 sin(ε/2) of that.
    """
    part = slice(lap.first, lap.last + 1)
    sd = float(np.mean(np.hypot(states.wind_east_sd[part], states.wind_north_sd[part])))
    return 2.0 * abs(float(np.sin(0.5 * off))) * sd / max(float(np.mean(states.true_airspeed[part])), 1.0)


def _bank(states: States, maneuver: Maneuver, profile: Profile, number: int) -> tuple[float, float]:
    """Return the mean bank of a turn between rolling in and out, and its standard deviation [rad]."""
    samples = slice(maneuver.first, maneuver.last + 1)
    inside = steady(states, maneuver) & (profile.lap == number) & np.isfinite(states.bank[samples])
    if not inside.any():
        return float("nan"), float("nan")
    bank = profile.turn[inside] * states.bank[samples][inside]
    noise = float(np.mean(states.bank_sd[samples][inside])) / np.sqrt(max(inside.sum() / 4.0, 1.0))
    return float(np.mean(bank)), float(np.hypot(noise, bank_bias(states)))


def _drift(states: States, lap: Lap, lasted: float) -> float:
    """Return how far the middle of a turn moved over the ground in 360° [m]."""
    part = slice(lap.first, lap.last + 1)
    try:
        fit = fit_moving_circle(states.time[part], states.east[part], states.north[part])
    except NoSolutionError:
        return float("nan")
    return float(np.hypot(fit.rate_x, fit.rate_y)) * lasted


def _wrapped(heading: float) -> float:
    return float(wrap(heading)) if np.isfinite(heading) else float("nan")
