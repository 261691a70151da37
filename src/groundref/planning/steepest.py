"""The steepest bank of a maneuver by airspeed, wind and radius, laid out anew only where its shape changes.

Along an arc of one radius the bank falls all the way from downwind to upwind
(`mechanics.circle.bank_extremes`), so the steepest place of a path of such arcs is the one nearest to
straight downwind. The arcs turn through tracks that the shape gives; airspeed and wind do not change them,
and the radius does not either unless a distance between places is given. Once the place is known, its bank is
a formula.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache

import numpy as np

from groundref.mechanics import arc, circle
from groundref.planning.air import Air
from groundref.planning.inputs import Inputs
from groundref.planning.layout import LayOut
from groundref.planning.pieces import Arc
from groundref.standards.usual import usual

Steepest = Callable[[Air, float], float]
"""Gives the steepest bank [rad] in some air, of the plan's wind direction, at a radius [m]."""


def by_layout(lay_out: LayOut, inputs: Inputs) -> Steepest:
    """Return the steepest bank of any kind, laid out anew each time.

    Parameters
    ----------
    lay_out
        Of the kind.
    inputs
        Of the plan.
    """

    def steepest(air: Air, radius: float) -> float:
        there = replace(inputs, true_airspeed=air.true_airspeed, wind_speed=air.wind_speed)
        return max(piece.steepest(air) for piece in lay_out(there, radius).pieces)

    return cache(steepest)


def by_arcs(lay_out: LayOut, inputs: Inputs) -> Steepest:
    """Return the steepest bank of a kind whose turns are arcs about places on the ground.

    Parameters
    ----------
    lay_out
        Of the kind.
    inputs
        Of the plan.
    """

    changes_shape = inputs.spacing is not None

    @cache
    def nearest_downwind(radius: float) -> float:
        arcs = [piece for piece in lay_out(inputs, radius).pieces if isinstance(piece, Arc)]
        begin = np.array([arc.position(one.begin, inputs.air.downwind, one.side) for one in arcs])
        _, downwind = arc.most_upwind_and_downwind(begin, begin + [one.turn for one in arcs])
        return float(downwind.min())

    def steepest(air: Air, radius: float) -> float:
        place = nearest_downwind(radius if changes_shape else usual(inputs.kind).radius)
        return float(circle.required_bank(air.true_airspeed, air.wind_speed, radius, place))

    return cache(steepest)
