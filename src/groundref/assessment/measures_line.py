"""What a standard limits where a line or the road of an eight is crossed: square to it, wings level."""

from __future__ import annotations

import numpy as np

from groundref.assessment.details import EightFlown, LegFlown, LineFlown
from groundref.assessment.flown import Flown
from groundref.assessment.line_flown import interpolated, rate
from groundref.assessment.measured import Measured


def crossing(flown: Flown) -> Measured | None:
    """Return how far the track was off square at each crossing; None where no line was crossed."""
    if not isinstance(flown.details, LineFlown) or not flown.details.crossings:
        return None
    crossings = flown.details.crossings
    return Measured(
        np.abs([each.off_square for each in crossings]),
        np.array([each.off_square_sd for each in crossings]),
        np.array([each.time for each in crossings]),
    )


def level_at_line(flown: Flown) -> Measured | None:
    """Return the bank where a line was crossed, or the road of an eight; None where none was crossed."""
    if isinstance(flown.details, EightFlown):
        return _level_over_road(flown, flown.details)
    if not isinstance(flown.details, LineFlown) or not flown.details.crossings:
        return None
    crossings = flown.details.crossings
    return Measured(
        np.abs([each.bank for each in crossings]),
        np.array([each.bank_sd for each in crossings]),
        np.array([each.time for each in crossings]),
    )


def _level_over_road(flown: Flown, eight: EightFlown) -> Measured | None:
    """Return the bank where each straight way crosses the road; None where none does.

    An error of the road's place, over the ground speed, is one of time, and the rate of roll makes one of
    bank of it: on a straight way a small one.
    """
    states = flown.states
    crossed = [time for leg in eight.legs if (time := _over_road(flown, leg)) is not None]
    if not crossed:
        return None
    rows = []
    for time in crossed:
        at = interpolated(states, time)
        late = np.hypot(flown.maneuver.reference.sd, at(states.position_sd)) / at(states.ground_speed)
        rows.append(
            (abs(at(states.bank)), np.hypot(at(states.bank_sd), rate(states, time, states.bank) * late))
        )
    bank, sd = np.array(rows).T
    return Measured(bank, np.hypot(sd, flown.bank_bias), np.array(crossed))


def _over_road(flown: Flown, leg: LegFlown) -> float | None:
    """Return when a straight way crosses the road; None where it does not [s]."""
    states, reference = flown.states, flown.maneuver.reference
    index = np.flatnonzero((states.time >= leg.start) & (states.time <= leg.end))
    east, north = reference.places[0]
    beside = (states.east[index] - east) * np.cos(reference.bearing)
    beside -= (states.north[index] - north) * np.sin(reference.bearing)
    turned = np.flatnonzero(np.diff(np.sign(beside)) != 0.0)
    if not turned.size:
        return None
    one = int(turned[0])
    part = beside[one] / (beside[one] - beside[one + 1])
    time = states.time[index]
    return float(time[one] + part * (time[one + 1] - time[one]))
