"""A layout flown by its bank schedule alone, and drawn plans for tests."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import pi, radians

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from groundref.aircraft.loading import load_aircraft
from groundref.planning import Plan, make
from groundref.planning.air import Air
from groundref.planning.inputs import Inputs
from groundref.planning.pieces import Piece
from groundref.standards.usual import usual
from groundref.units import foot, knot, standard_gravity

Floats = NDArray[np.float64]


def given(kind: str = "turns-around-a-point", **other: object) -> Inputs:
    """Return inputs of 92 kt true and 14 kt from 240°, with what else is asked for."""
    habit = usual(kind)
    plain = Inputs(
        kind=kind,
        aircraft=load_aircraft("high-wing-trainer"),
        calibrated_airspeed=90 * knot,
        true_airspeed=92 * knot,
        wind_speed=14 * knot,
        wind_from=radians(240),
        height=habit.height,
        elevation=620 * foot,
        temperature=288.0,
        altimeter=101_325.0,
        side=-1.0,
        laps=habit.laps,
        bank_limit=habit.bank,
    )
    return replace(plain, **other)


@cache
def planned(kind: str = "turns-around-a-point", **other: object) -> Plan:
    return make(given(kind, **other))


def integrate(piece: Piece, air: Air) -> tuple[Floats, Floats]:
    """Return where the bank and the airspeed of a piece lead, flown without looking at the ground.

    Heading turns at g tan φ / V, and the ground velocity is V along the heading plus the wind.

    Returns
    -------
    tuple
        East, north and heading at the end: as integrated, and as the piece says, shape (3,) each.
    """
    told = piece.at(air, np.linspace(0.0, 1.0, 2001))
    seconds = float(told.time[-1])

    def bank(time: float) -> float:
        return float(np.interp(time, told.time, told.bank))

    def speed(time: float) -> float:
        return float(np.interp(time, told.time, told.true_airspeed))

    def slope(time: float, state: Floats) -> list[float]:
        heading = state[2]
        return [
            speed(time) * np.sin(heading) + air.wind_speed * np.sin(air.downwind),
            speed(time) * np.cos(heading) + air.wind_speed * np.cos(air.downwind),
            standard_gravity * np.tan(bank(time)) / speed(time),
        ]

    begin = [told.east[0], told.north[0], told.heading[0]]
    found = solve_ivp(slope, (0.0, seconds), begin, rtol=1e-9, atol=1e-9, max_step=seconds / 200)
    end = found.y[:, -1]
    end[2] = told.heading[-1] + (end[2] - told.heading[-1] + pi) % (2 * pi) - pi
    return end, np.array([told.east[-1], told.north[-1], told.heading[-1]])
