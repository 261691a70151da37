"""Turns around a point: one circle, entered downwind where it is steepest."""

from __future__ import annotations

import numpy as np

from groundref.angles import full_turn
from groundref.planning.inputs import Inputs
from groundref.planning.layout import Entry, Layout
from groundref.planning.pieces import Arc, Mark

_QUARTERS = ("downwind entry", "crosswind, downwind of the point", "upwind", "crosswind, upwind of the point")


def layout(inputs: Inputs, radius: float) -> Layout:
    """Return the circle about the origin, entered straight downwind abeam the point.

    Parameters
    ----------
    inputs
        Of the plan.
    radius
        [m]
    """
    air = inputs.air
    circle = Arc(
        center=(0.0, 0.0),
        radius=radius,
        side=inputs.side,
        begin=air.downwind,
        turn=full_turn,
        height=inputs.height,
        name="circle",
        about=0,
        marks=tuple(Mark(0.25 * quarter, name) for quarter, name in enumerate(_QUARTERS)),
    )
    start = circle.at(air, np.array([0.0]))
    return Layout(
        reference="point",
        places=((0.0, 0.0),),
        pieces=(circle,),
        entry=Entry(
            place=(float(start.east[0]), float(start.north[0])),
            track=air.downwind,
            distance=radius,
            bank=float(start.bank[0]),
            how=f"{_way_in(inputs)}, the point {'right' if inputs.side > 0 else 'left'}; roll in abeam.",
        ),
        radius=radius,
    )


def _way_in(inputs: Inputs) -> str:
    """Say which way the entry leads: downwind, and in a calm whichever way suits."""
    return "Straight downwind" if inputs.wind_speed > 0.0 else "From whichever side suits, as it is calm"
