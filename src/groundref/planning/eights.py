"""Elementary eights: two loops of one radius, one way and then the other, and the legs between them.

How the loops lie to the wind tells the three apart, see `mechanics.eights`: along a road the wind is across
the road and the loops touch on it; across a road they lie upwind and downwind of it; around pylons the wind
is across the line of the pylons and the middle is flown with it.
"""

from __future__ import annotations

from math import cos, sin
from typing import Final

import numpy as np

from groundref.angles import quarter_turn
from groundref.errors import NoSolutionError
from groundref.mechanics import eights
from groundref.planning.across_wind import with_wind
from groundref.planning.inputs import Inputs
from groundref.planning.layout import Entry, Layout
from groundref.planning.offered import both, or_less, or_more
from groundref.planning.pieces import Arc, Leg, Mark, Piece, Place
from groundref.standards.lie import ACROSS, ALONG, AROUND, eight_axis
from groundref.standards.usual import APART, CROSSING

_NUMBER: Final = ("first", "second")
_HOW: Final = {
    ALONG: "Along the road {wind}, wings level over it; roll into the first loop where the loops touch.",
    ACROSS: "Across the road at the crossing angle, wings level over it, then into the first loop.",
    AROUND: "Between the pylons {wind}; roll in when the first pylon is at the radius.",
}


def layout(inputs: Inputs, radius: float) -> Layout:
    """Return the eight about the origin, its first loop first.

    Parameters
    ----------
    inputs
        Of the plan.
    radius
        [m]

    Raises
    ------
    NoSolutionError
        When the loops would overlap.
    """
    axis = eight_axis(inputs.kind, inputs.air.downwind, inputs.side, inputs.course)
    half = _half_spacing(inputs, radius)
    centers = (_along(axis, -half), _along(axis, half))
    there, back = (float(track) for track in eights.leg_tracks(axis, inputs.side, radius, half))
    turned, length = float(eights.loop_turn(radius, half)), float(eights.leg_length(radius, half))
    loops = tuple(
        _loop(inputs, radius, centers[number], number, begin, turned)
        for number, begin in ((0, back), (1, there))
    )
    pieces: tuple[Piece, ...] = loops
    if length > 1.0:
        pieces = (loops[0], _leg(inputs, there, length, 1), loops[1], _leg(inputs, back, length, 0))
    start = loops[0].at(inputs.air, np.array([0.0]))
    return Layout(
        reference="pylons" if inputs.kind == AROUND else "line",
        places=centers if inputs.kind == AROUND else _road(inputs, axis, radius),
        pieces=pieces,
        entry=Entry(
            place=(float(start.east[0]), float(start.north[0])),
            track=loops[0].begin,
            # Abeam of a pylon; of a road there is no place to be abeam of.
            distance=radius if inputs.kind == AROUND else None,
            bank=float(start.bank[0]),
            how=_HOW[inputs.kind].format(wind=with_wind(inputs.air, loops[0].begin)),
        ),
        radius=radius,
        notes=("Both loops pass through the same tracks, so they are alike in time and in their banks.",),
    )


def _half_spacing(inputs: Inputs, radius: float) -> float:
    """Return half the distance between the centers [m]."""
    if inputs.kind == ALONG:
        return radius
    if inputs.spacing is not None:
        if inputs.spacing < 2.0 * radius:
            raise NoSolutionError(
                f"loops of {both(radius)} overlap",
                "spacing",
                f"choose {or_more(2.0 * radius)}, or a radius of {or_less(0.5 * inputs.spacing)}",
            )
        return 0.5 * inputs.spacing
    if inputs.kind == AROUND:
        return 0.5 * APART * radius
    return float(eights.half_spacing_for_crossing(radius, CROSSING))


def _road(inputs: Inputs, axis: float, radius: float) -> tuple[Place, Place]:
    """Return two places on the road, through the middle and square to the axis."""
    road = axis + inputs.side * quarter_turn
    return _along(road, -2.0 * radius), _along(road, 2.0 * radius)


def _loop(inputs: Inputs, radius: float, center: Place, number: int, begin: float, turned: float) -> Arc:
    """Return a loop, counted from 0."""
    name = f"{_NUMBER[number]} loop"
    marks = (
        Mark(0.0, f"{name} begins"),
        Mark(0.25, f"{name}, a quarter"),
        Mark(0.5, f"{name}, half way"),
        Mark(0.75, f"{name}, three quarters"),
        Mark(1.0, f"{name} ends"),
    )
    side = inputs.side if number == 0 else -inputs.side
    about = number if inputs.kind == AROUND else None
    return Arc(center, radius, side, begin, turned, inputs.height, name, about, marks)


def _leg(inputs: Inputs, track: float, length: float, to: int) -> Leg:
    """Return the leg to a loop, through the middle."""
    middle = "between the pylons" if inputs.kind == AROUND else "over the road"
    start = _along(track, -0.5 * length)
    marks = (Mark(0.5, f"{middle}, to the {_NUMBER[to]} loop"),)
    return Leg(start, track, length, inputs.height, f"leg to the {_NUMBER[to]} loop", None, marks)


def _along(bearing: float, way: float) -> Place:
    return way * sin(bearing), way * cos(bearing)
