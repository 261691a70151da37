"""How the airport traffic pattern was flown about a runway given by its two ends.

Distances are from the runway: of upwind leg and final beyond the extended centerline as seen from the
pattern's side, of the downwind leg from the centerline, of crosswind and base leg from the runway's ends.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from groundref.assessment.course import Side, corner_flown, leg_flown
from groundref.assessment.details import CornerFlown, LegFlown
from groundref.detection.circling import POSITION_WANDER
from groundref.detection.maneuver import Leg, Reference
from groundref.detection.runway import FLYING, PatternFound, Runway, circuits_of
from groundref.estimation.mean_wind import wind_over
from groundref.estimation.states import States
from groundref.estimation.wind_value import Wind
from groundref.units import foot, knot

TAXI: Final = 15 * knot  # slower on the runway is a full stop
TOUCHED: Final = 40 * foot  # lower over the runway is a touch, the height's own error counted in
SETTLED: Final = 15.0  # [s] on final in which an overshoot shows
AFTER: Final = 90.0  # [s] from the threshold on, in which what ended the circuit shows
_GIVEN: Final = Reference("rectangle", (), 0.0, "given")


@dataclass(frozen=True, slots=True)
class PatternFlown:
    """One circuit of the airport traffic pattern as flown.

    Attributes
    ----------
    start, end
        When its first leg that was flown began, and when the threshold was passed [s]
    direction
        `left` or `right`.
    bearing
        Direction of takeoff and landing, [0, 2π) [rad]
    ending
        `full-stop`, `touch-and-go` or `low-approach`; None where no height is known.
    lowest
        Least height above the ground over the runway; None where it is not known [m]
    wind
        Over the circuit; None when it could not be told.
    legs, corners
        In the order flown.
    width, width_sd
        Distance of the downwind leg from the centerline and its standard deviation [m]
    overshoot, overshoot_sd
        How far beyond the extended centerline the turn onto final went, short of it negative, and its
        standard deviation [m]
    """

    start: float
    end: float
    direction: str
    bearing: float
    ending: str | None
    lowest: float | None
    wind: Wind | None
    legs: tuple[LegFlown, ...]
    corners: tuple[CornerFlown, ...]
    width: float
    width_sd: float
    overshoot: float
    overshoot_sd: float


def patterns_flown(states: States, runway: Runway) -> tuple[PatternFlown, ...]:
    """Return the circuits of a runway as flown, in the order flown.

    Parameters
    ----------
    states
        The flight.
    runway
        Its ends in any order.
    """
    found = circuits_of(states, runway)
    return tuple(_flown(states, circuit, number) for number, circuit in enumerate(found, start=1))


def _flown(states: States, circuit: PatternFound, number: int) -> PatternFlown:
    wind = _wind(states, circuit)
    around = [_side(circuit, leg) for leg in circuit.legs]
    legs = tuple(
        leg_flown(states, leg, number, side, _GIVEN, wind)
        for leg, side in zip(circuit.legs, around, strict=True)
    )
    corners = tuple(
        corner_flown(states, wind, number, (leg, after), side, _line(states, side, after))
        for leg, after, side in zip(circuit.legs, circuit.legs[1:], around[1:], strict=False)
    )
    downwind = next(leg for leg in legs if leg.name == "downwind")
    ending, lowest = _ended(states, circuit)
    overshoot, sd = _overshoot(states, circuit, around[-1])
    return PatternFlown(
        start=circuit.legs[0].start,
        end=circuit.legs[-1].end,
        direction="right" if circuit.side > 0 else "left",
        bearing=circuit.runway.bearing,
        ending=ending,
        lowest=lowest,
        wind=wind,
        legs=legs,
        corners=corners,
        width=downwind.distance,
        width_sd=downwind.distance_sd,
        overshoot=overshoot,
        overshoot_sd=sd,
    )


def _wind(states: States, circuit: PatternFound) -> Wind | None:
    """Return the wind over the circuit less final; near the ground it may not be known."""
    first, last = circuit.legs[0], circuit.legs[-2]
    index = np.arange(first.first, last.last + 1)
    known = index[~np.isfinite(states.wind_east[index])]
    return wind_over(states, int(known[-1]) + 1 if known.size else first.first, last.last)


def _side(circuit: PatternFound, leg: Leg) -> Side:
    """Return the side of the runway that a leg's distance counts from."""
    at = circuit.runway.threshold if leg.name in {"base", "final"} else circuit.runway.end
    return Side(at[0], at[1], leg.course, float(circuit.side))


def _line(states: States, side: Side, leg: Leg) -> float:
    """Return how far outside of a side a leg lies [m]."""
    return float(np.median(side.outside(states, slice(leg.first, leg.last + 1))))


def _overshoot(states: States, circuit: PatternFound, centerline: Side) -> tuple[float, float]:
    """Return how far beyond the extended centerline the turn onto final went and its sd [m]."""
    base, final = circuit.legs[-2], circuit.legs[-1]
    time = states.time[base.last : final.last + 1]
    turning = slice(base.last, base.last + int(np.count_nonzero(time <= final.start + SETTLED)))
    position = float(np.nanmedian(states.position_sd[turning]))
    return float(centerline.outside(states, turning).max()), float(np.hypot(position, POSITION_WANDER))


def _ended(states: States, circuit: PatternFound) -> tuple[str | None, float | None]:
    """Return how a circuit ended and the least height over the runway [m]."""
    final = circuit.legs[-1]
    after = np.flatnonzero(
        (states.time >= final.end)
        & (states.time <= final.end + AFTER)
        & (states.piece == states.piece[final.last])
    )
    if not after.size:
        return None, None
    along, _ = circuit.runway.along_and_right(states, slice(int(after[0]), int(after[-1]) + 1))
    over, speed = along <= circuit.runway.length, states.ground_speed[after]
    flew_on = bool(np.any(~over & (speed > FLYING)))
    stopped = float(speed.min()) < TAXI
    if states.height is None or not np.isfinite(states.height[after]).all():
        return ("full-stop" if stopped else None), None
    lowest = float(np.min(states.height[after[over]])) if over.any() else None
    if stopped or lowest is None:
        return ("full-stop" if stopped else None), lowest
    if not flew_on:
        return ("full-stop" if lowest < TOUCHED else None), lowest
    return ("touch-and-go" if lowest < TOUCHED else "low-approach"), lowest
