"""How far the plan is from the stall, from the limits of the airplane and from the standard's."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf

import numpy as np

from groundref.errors import NoSolutionError
from groundref.mechanics import airspeed, atmosphere, limits, turn
from groundref.planning.inputs import Inputs
from groundref.planning.layout import Layout
from groundref.planning.schedule import Extremes
from groundref.planning.steepest import Steepest


@dataclass(frozen=True, slots=True)
class Margins:
    """Margins at the mass flown; airspeeds calibrated.

    Attributes
    ----------
    mass
        [kg]
    bank
        The steepest [rad]
    load_factor, limit_load_factor
        At that bank; of the structure.
    airspeed
        Where the margin above the stall is least [m s⁻¹]
    stall_speed, stall_speed_flaps
        In the turn there, clean and with flaps down; None where the airplane's file does not say [m s⁻¹]
    above_stall
        ``airspeed`` less ``stall_speed`` [m s⁻¹]
    greatest_bank
        At the plan's airspeed, at which a level turn stalls or meets the limit load factor [rad]
    stalls_first
        Whether it stalls there rather.
    maneuvering_speed
        At this mass [m s⁻¹]
    bank_in_gust
        The steepest with the gust added to the wind all the way; None where none is possible [rad]
    above_stall_in_gust
        Left above the stall at that bank, with the gust taken off the airspeed; None likewise [m s⁻¹]
    """

    mass: float
    bank: float
    load_factor: float
    limit_load_factor: float
    airspeed: float
    stall_speed: float
    stall_speed_flaps: float | None
    above_stall: float
    greatest_bank: float
    stalls_first: bool
    maneuvering_speed: float
    bank_in_gust: float | None
    above_stall_in_gust: float | None


def margins(inputs: Inputs, steepest: Steepest, layout: Layout, found: Extremes) -> Margins:
    """Return the margins of a plan.

    Parameters
    ----------
    inputs
        Of the plan, the radius filled in.
    steepest, layout
        Steepest bank of its kind; what was laid out.
    found
        Extremes of the path.

    Raises
    ------
    NoSolutionError
        When the airspeed is below the stall with wings level.
    """
    plane = inputs.aircraft
    slow, bank = _nearest_to_stall(inputs, layout)
    stall = float(turn.stall_speed_in_turn(plane.stall_speed, bank))
    flaps = plane.stall_speed_flaps
    greatest, stalls = limits.greatest_bank(
        inputs.calibrated_airspeed, plane.stall_speed, plane.limit_load_factor
    )
    gusty = _in_gust(inputs, steepest, layout, found)
    left = None
    if gusty is not None:
        slowed = slow * (1.0 - inputs.gust / inputs.true_airspeed)
        left = float(limits.stall_margin(slowed, plane.stall_speed, gusty))
    return Margins(
        mass=plane.mass,
        bank=found.bank_max,
        load_factor=float(turn.load_factor(found.bank_max)),
        limit_load_factor=plane.limit_load_factor,
        airspeed=slow,
        stall_speed=stall,
        stall_speed_flaps=None if flaps is None else float(turn.stall_speed_in_turn(flaps, bank)),
        above_stall=slow - stall,
        greatest_bank=float(greatest),
        stalls_first=bool(stalls),
        maneuvering_speed=plane.maneuvering_speed,
        bank_in_gust=gusty,
        above_stall_in_gust=left,
    )


def _nearest_to_stall(inputs: Inputs, layout: Layout) -> tuple[float, float]:
    """Return the calibrated airspeed [m s⁻¹] and bank [rad] of the place with the least margin.

    Height traded for speed makes the airspeed differ from place to place; else the steepest bank decides.
    """
    least, there = inf, (inputs.calibrated_airspeed, 0.0)
    for piece in layout.pieces:
        samples = piece.at(inputs.air, piece.critical(inputs.air))
        pressure = atmosphere.pressure_altitude_from_indicated(
            inputs.elevation + samples.height, inputs.altimeter
        )
        speed = airspeed.calibrated_airspeed(samples.true_airspeed, pressure, inputs.temperature)
        left = limits.stall_margin(speed, inputs.aircraft.stall_speed, samples.bank)
        worst = int(np.argmin(left))
        if left[worst] < least:
            least, there = float(left[worst]), (float(speed[worst]), abs(float(samples.bank[worst])))
    return there


def _in_gust(inputs: Inputs, steepest: Steepest, layout: Layout, found: Extremes) -> float | None:
    """Return the steepest bank with the gust added to the wind; None where none is possible [rad].

    Where no radius is planned, as of a rectangle, its corners stay where they were laid out without the gust.
    """
    if inputs.gust <= 0.0 or inputs.radius is None:
        return found.bank_max
    stronger = replace(inputs.air, wind_speed=inputs.wind_speed + inputs.gust)
    try:
        if layout.radius is None:
            return max(piece.steepest(stronger) for piece in layout.pieces)
        return steepest(stronger, inputs.radius)
    except NoSolutionError:
        return None
