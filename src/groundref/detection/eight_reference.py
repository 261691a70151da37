"""What an elementary eight was flown about: the road along or across it, or its two pylons."""

from __future__ import annotations

from typing import Final

import numpy as np

from groundref.angles import half_turn, quarter_turn, wrap_signed
from groundref.detection import line
from groundref.detection.candidate import Ground
from groundref.detection.circling import POSITION_WANDER
from groundref.detection.line import Line
from groundref.detection.loops import Place, Row
from groundref.detection.maneuver import Reference
from groundref.estimation.states import States
from groundref.units import degree, foot, nautical_mile

NEAR_ENOUGH: Final = 0.6  # of the radius, within which a given place is the one flown about
PARALLEL_ENOUGH: Final = 25 * degree
LEAST_BEARING_SD: Final = 0.5 * degree  # loops are never quite round


def crossing(states: States, row: Row) -> Place:
    """Return where the ways between the loops cross: the mean of their middles [m]."""
    times = [0.5 * (a + b) for a, b in row.between]
    return (
        float(np.mean(np.interp(times, states.time, states.east))),
        float(np.mean(np.interp(times, states.time, states.north))),
    )


def centers_sd(row: Row) -> float:
    """Return the standard deviation of a fitted center per axis [m].

    What is not round in a loop stands at the same place of every other loop too, and moves its center by more
    than it shows in the distance; what moves the center alone shows nowhere. Factor and least share of the
    radius are those found on flights of an independent simulator.
    """
    wander = float(np.sqrt(np.mean([loop.rms**2 for loop in row.loops])))
    return float(np.sqrt((2.0 * wander) ** 2 + (0.014 * row.radius) ** 2 + POSITION_WANDER**2))


def road_bearing(row: Row) -> float:
    """Return the direction of a road square to the line through the centers, [0, π) [rad]."""
    return float(np.mod(row.axis + quarter_turn, half_turn))


def _disagreement(row: Row, place: Place) -> float:
    """Return by how much the crossing of the ways lies off where the loops' centers have it [m].

    Straight lines that touch two circles on opposite sides cross where the distance of the centers is divided
    as the radii are.
    """
    one, other = np.array(row.centers)
    radii = row.radii[0::2].mean(), row.radii[1::2].mean()
    share = float(radii[0] / (radii[0] + radii[1]))
    axis = np.array([np.sin(row.axis), np.cos(row.axis)])
    return abs(float((np.array(place) - one - share * (other - one)) @ axis))


def given_pylons(row: Row, ground: Ground) -> tuple[Place, Place] | None:
    """Return the given pylons in the order turned about; None where none are near."""
    if ground.pylons is None:
        return None
    order, off = _order(row, ground.pylons)
    return order if off <= NEAR_ENOUGH * row.radius else None


def _order(row: Row, pylons: tuple[Place, Place]) -> tuple[tuple[Place, Place], float]:
    orders = (pylons, (pylons[1], pylons[0]))
    off = [
        max(float(np.hypot(*np.subtract(a, b))) for a, b in zip(order, row.centers, strict=True))
        for order in orders
    ]
    nearer = int(np.argmin(off))
    return orders[nearer], off[nearer]


def given_line(states: States, row: Row, ground: Ground) -> tuple[Line, float, float] | None:
    """Return the given line, how far the crossing lies off it [m], and its angle off the axis [rad]."""
    if ground.line is None:
        return None
    told = line.through(ground.line, row.axis + quarter_turn)
    off = abs(float(told.right(*crossing(states, row))))
    turned = abs(float(wrap_signed(2.0 * (told.bearing - row.axis)))) / 2.0
    return told, off, turned


def pylons(row: Row, ground: Ground) -> tuple[Reference, list[str]]:
    """Return the pylons: the given ones where they lie near the centers of the loops."""
    fitted = Reference("pylons", row.centers, centers_sd(row), "fitted")
    order = given_pylons(row, ground)
    if order is not None:
        same = ground.pylons == order
        elevations = ground.pylon_elevations or ()
        return Reference("pylons", order, 0.0, "given", elevations=elevations[:: 1 if same else -1]), []
    if ground.pylons is None:
        note = "The pylons were fitted to the loops; good loops about other places look the same."
        return fitted, [note]
    _, off = _order(row, ground.pylons)
    return fitted, [
        f"A given pylon lies {_said(off)} from the nearest place turned about; the given ones were not used."
    ]


def road(states: States, row: Row, ground: Ground, *, along: bool) -> tuple[Reference, list[str]]:
    """Return the road that an eight was flown along or across.

    Parameters
    ----------
    states
        The flight.
    row
        The loops.
    ground
        What is known about places on the ground.
    along
        Whether along it; otherwise across.
    """
    east, north = crossing(states, row)
    sd = centers_sd(row)
    if (
        not along
    ):  # where the way's middle is hangs on when either loop was left; along a road they are one place
        sd = float(np.hypot(sd, 0.5 * _disagreement(row, (east, north))))
    told = given_line(states, row, ground)
    if told is not None:
        near = told[1] <= NEAR_ENOUGH * row.radius
        parallel = not along or told[2] >= quarter_turn - PARALLEL_ENOUGH
        if near and parallel:
            return _line(told[0], row, told[0].place(float(told[0].along(east, north))), 0.0, "given"), []
    fitted = _line(Line(east, north, road_bearing(row)), row, (east, north), sd, "fitted")
    if told is not None:
        where = (
            f"lies {_said(told[1])} from where these loops meet"
            if told[1] > NEAR_ENOUGH * row.radius
            else "runs too far off the one that these loops were flown along"
        )
        return fitted, [f"The given line {where}; it was not used here."]
    return fitted, [
        "The road was taken square to the line through the centers of the loops, where they meet; good loops "
        "about another place look the same."
    ]


def _line(used: Line, row: Row, middle: Place, sd: float, source: str) -> Reference:
    """Return the part of the road two radii either way from the middle."""
    reach = 2.0 * row.radius
    at = float(used.along(*middle))
    spread = row.spread * 2.0 * row.radius
    return Reference(
        type="line",
        places=(used.place(at - reach), used.place(at + reach)),
        sd=sd,
        source=source,
        bearing=float(np.mod(used.bearing, half_turn)),
        bearing_sd=0.0
        if source == "given"
        else float(np.hypot(np.sqrt(2.0) * centers_sd(row) / spread, LEAST_BEARING_SD)),
    )


def _said(off: float) -> str:
    return f"{off / nautical_mile:,.1f} NM" if off > nautical_mile else f"{off / foot:,.0f} ft"
