"""S-turns across a line: two half circles, the first begun with the wind behind, which then repeat."""

from __future__ import annotations

from math import cos, sin

import numpy as np

from groundref.angles import half_turn, quarter_turn
from groundref.planning.across_wind import with_wind
from groundref.planning.inputs import Inputs
from groundref.planning.layout import Entry, Layout
from groundref.planning.pieces import Arc, Mark, Place
from groundref.standards.lie import s_turn_bearing

_NUMBER = ("first", "second")


def layout(inputs: Inputs, radius: float) -> Layout:
    """Return two half circles along a line through the origin, one on either side of it.

    Parameters
    ----------
    inputs
        Of the plan.
    radius
        [m]
    """
    bearing = s_turn_bearing(inputs.air.downwind, inputs.side, inputs.course)
    pieces = (_half(inputs, radius, bearing, 0), _half(inputs, radius, bearing, 1))
    start = pieces[0].at(inputs.air, np.array([0.0]))
    reach = max(inputs.laps, 2.0) * radius
    return Layout(
        reference="line",
        places=(_along(bearing, -reach), _along(bearing, reach)),
        pieces=pieces,
        entry=Entry(
            place=_along(bearing, -2.0 * radius),
            track=pieces[0].begin,
            distance=None,
            bank=float(start.bank[0]),
            how=f"Square to the line {with_wind(inputs.air, pieces[0].begin)}, wings level over it; "
            "roll in at once.",
        ),
        radius=radius,
        notes=("The two half circles take equal time and repeat; where one ends the next begins.",),
    )


def _half(inputs: Inputs, radius: float, bearing: float, number: int) -> Arc:
    """Return a half circle, counted from 0."""
    side = inputs.side if number == 0 else -inputs.side
    marks = [Mark(0.0, f"{_NUMBER[number]} crossing"), Mark(0.5, f"top of the {_NUMBER[number]} half circle")]
    if number == 1:
        marks.append(Mark(1.0, "third crossing"))
    return Arc(
        center=_along(bearing, (2.0 * number - 1.0) * radius),
        radius=radius,
        side=side,
        begin=bearing - side * quarter_turn,
        turn=half_turn,
        height=inputs.height,
        name=f"{_NUMBER[number]} half circle",
        about=None,
        marks=tuple(marks),
    )


def _along(bearing: float, way: float) -> Place:
    return way * sin(bearing), way * cos(bearing)
