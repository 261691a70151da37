"""How the line of S-turns was crossed, and which half circles lie on which side of it.

At a crossing the track turns and the bank rolls through level, so both are as uncertain as the moment of the
crossing: an error of the line across it, over the ground speed, is an error of time, and rates of turn and
of roll make errors of track and bank of that.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import quarter_turn, wrap_signed
from groundref.assessment.assessed import Profile
from groundref.assessment.details import Crossing, LineFlown
from groundref.assessment.held import bank_bias
from groundref.assessment.profile import turn_sign
from groundref.detection.maneuver import Lap, Maneuver
from groundref.estimation.states import States
from groundref.units import degree

Floats = NDArray[np.float64]

FEW: Final = 2.0  # [s] between samples; with fewer a roll through level leaves no trace of its own
ROLL_BIAS: Final = 0.15  # [s] by which a smoothed bank may lag or lead a roll; found on simulated flights
LEAST_BANK_SD: Final = 1.0 * degree
LEAST_BEHIND: Final = 0.35  # share of the wind across the line, from which one side of it is downwind
BESIDE: Final = 2.0  # [s] either side of a crossing, over which rates are taken


def progress(maneuver: Maneuver) -> float:
    """Return the direction in which the line was worked along [rad]."""
    first, last = maneuver.laps[0], maneuver.laps[-1]
    bearing = maneuver.reference.bearing
    east, north = last.about_east - first.about_east, last.about_north - first.about_north
    ahead = east * np.sin(bearing) + north * np.cos(bearing)
    return bearing if ahead >= 0.0 else bearing + 2.0 * quarter_turn


def out(maneuver: Maneuver, lap: Lap) -> float:
    """Return the direction out from the line on the side of a half circle [rad]."""
    return progress(maneuver) - turn_sign(lap) * quarter_turn


def downwind_square(maneuver: Maneuver, direction_to: float) -> float | None:
    """Return the track square to the line with the wind behind; None where the wind follows the line [rad].

    Parameters
    ----------
    maneuver
        S-turns.
    direction_to
        Direction the air moves to [rad]
    """
    square = progress(maneuver) + quarter_turn
    behind = float(np.cos(square - direction_to))
    if abs(behind) < LEAST_BEHIND:
        return None
    return square if behind > 0.0 else square + 2.0 * quarter_turn


def line_flown(states: States, maneuver: Maneuver, profile: Profile) -> LineFlown:
    """Measure the crossings between the half circles.

    Parameters
    ----------
    states, maneuver, profile
        What was flown.
    """
    return LineFlown(tuple(_crossing(states, maneuver, a, b) for a, b in pairwise(maneuver.laps)))


def _crossing(states: States, maneuver: Maneuver, before: Lap, after: Lap) -> Crossing:
    """Measure one crossing, square to the line when the track is out to the side of the next half circle."""
    time, reference = after.start, maneuver.reference
    at = interpolated(states, time)
    speed = max(at(states.ground_speed), 1.0)
    late = float(np.hypot(reference.sd, at(states.position_sd)) / speed)
    off = float(wrap_signed(at(states.track) - out(maneuver, after)))
    turn_rate, roll_rate = rate(states, time, states.track), rate(states, time, states.bank)
    off_sd = np.sqrt(
        (at(states.velocity_sd) / speed) ** 2 + reference.bearing_sd**2 + (turn_rate * late) ** 2
    )
    late = float(np.hypot(late, ROLL_BIAS))
    own = np.hypot(at(states.bank_sd), bank_bias(states))
    bank_sd = np.sqrt(own**2 + LEAST_BANK_SD**2 + (roll_rate * late) ** 2)
    interval = float(np.median(np.diff(states.time[before.first : after.last + 1])))
    told = interval <= FEW
    east, north = reference.places[0]
    along = progress(maneuver)
    return Crossing(
        time=time,
        off_square=off,
        off_square_sd=float(off_sd),
        bank=at(states.bank) if told else float("nan"),
        bank_sd=float(bank_sd) if told else float("nan"),
        along=float((at(states.east) - east) * np.sin(along) + (at(states.north) - north) * np.cos(along)),
    )


def interpolated(states: States, time: float) -> Callable[[Floats], float]:
    """Return a function that reads a quantity at a time."""

    def at(values: Floats) -> float:
        return float(np.interp(time, states.time, values))

    return at


def rate(states: States, time: float, values: Floats) -> float:
    """Return how fast a quantity changed about a time [s⁻¹]."""
    at = interpolated(states, time - BESIDE), interpolated(states, time + BESIDE)
    return float((at[1](values) - at[0](values)) / (2.0 * BESIDE))
