"""What the pilot does and sees beside the schedule: roll into the entry, wing in the way, heights by rule."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from groundref.angles import wrap
from groundref.mechanics import pylon, sight, steep, turn, wing_view
from groundref.mechanics.wind_triangle import crab_on_track, ground_speed_on_track
from groundref.planning.inputs import Inputs
from groundref.planning.layout import Layout
from groundref.planning.schedule import Schedule
from groundref.units import foot

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class RollIn:
    """The way in, wings level, and the roll from it.

    Attributes
    ----------
    heading, crab, ground_speed
        On the way in: true [rad], right positive [rad], [m s⁻¹]
    roll_time
        From level to the bank of the entry at the airplane's roll rate [s]
    lead_time, lead_distance
        Before abeam, to begin the roll, so that the turn is where it would be with the bank there at once;
        None where nothing is abeam or no roll begins the maneuver [s], along the track [m]
    spans
        Distance abeam in wing spans; None where nothing is abeam.
    depression
        Of the point below the horizon, abeam; None likewise [rad]
    hidden
        Whether the wing hides it there from the left seat, wings level; None likewise.
    """

    heading: float
    crab: float
    ground_speed: float
    roll_time: float
    lead_time: float | None
    lead_distance: float | None
    spans: float | None
    depression: float | None
    hidden: bool | None


def roll_in(inputs: Inputs, layout: Layout, schedule: Schedule) -> RollIn:
    """Return the way in and its roll.

    Notes
    -----
    While the bank grows evenly the heading lags behind that of a turn with the bank there at once by the time
    of the roll less what it turns meanwhile over the full rate, φ/p − Δψ V/(g tan φ): the lead. It is a
    little more than half the time of the roll. Source: own derivation, with Δψ of `mechanics.steep`.
    """
    air, entry, aircraft = inputs.air, layout.entry, inputs.aircraft
    speed, bank = float(schedule.true_airspeed[0]), abs(entry.bank)
    crab = float(crab_on_track(speed, air.wind_speed, air.downwind - entry.track))
    over_ground = float(ground_speed_on_track(speed, air.wind_speed, air.downwind - entry.track))
    roll_time = bank / aircraft.roll_rate
    lead = depression = spans = hidden = None
    if entry.distance is not None:
        height = float(schedule.height[0])
        depression = float(sight.depression(entry.distance, height))
        spans = entry.distance / aircraft.wing_span
    if entry.distance is not None and bank > 0.0 and depression is not None:
        turned = float(steep.heading_while_rolling(speed, bank, aircraft.roll_rate))
        lead = roll_time - turned / float(turn.rate_of_turn(speed, bank))
        side = 1.0 if entry.bank > 0.0 else -1.0
        corners, ahead = aircraft.wing_corners(side), float(sight.ahead_of_abeam(crab, side))
        hidden = bool(wing_view.is_hidden(corners, depression, ahead, 0.0))
    return RollIn(
        heading=float(wrap(entry.track + crab)),
        crab=crab,
        ground_speed=over_ground,
        roll_time=roll_time,
        lead_time=lead,
        lead_distance=None if lead is None else lead * over_ground,
        spans=spans,
        depression=depression,
        hidden=hidden,
    )


def hidden_by_wing(inputs: Inputs, schedule: Schedule) -> NDArray[np.bool_]:
    """Return whether the wing hides the place flown about, from the left seat with the nose level.

    False where there is no such place; shape (n,).
    """
    hidden = np.zeros(schedule.time.shape, dtype=np.bool_)
    for side in (-1.0, 1.0):
        there = schedule.side == side
        if there.any():
            hidden[there] = wing_view.is_hidden(
                inputs.aircraft.wing_corners(side),
                schedule.depression[there],
                schedule.ahead[there],
                side * schedule.bank[there],
            )
    return hidden


def handbook_heights(schedule: Schedule) -> Floats:
    """Return the pivotal height of the handbook's rule at each position, shape (n,) [m]."""
    return pylon.handbook_height(schedule.ground_speed)


def of_handbook_heights(schedule: Schedule, by_rule: Floats) -> str:
    """Return a sentence on what the handbook's rule and the exact height differ by."""
    off = (by_rule - schedule.height)[np.isfinite(schedule.distance)] / foot
    if np.abs(off).max() < 5.0:
        return "In this wind GS²/11.3 of the handbook gives the pivotal height within 5 ft."
    return (
        f"GS²/11.3 of the handbook holds in still air: in this wind it is up to {off.max():,.0f} ft too high "
        f"where the wind is behind and {-off.min():,.0f} ft too low where it is ahead, since what counts is "
        "true airspeed times ground speed."
    )
