"""The radius to fly next time, for a plan after a debrief and for a debrief by a plan alike."""

from __future__ import annotations

from math import ceil
from typing import Final

from groundref.planning.fit import smallest_radius
from groundref.planning.inputs import Inputs
from groundref.planning.kinds import steepest_of
from groundref.units import foot

TOLD: Final = 50.0 * foot
"""Radii to fly next are told in steps of this: none is judged finer from the cockpit; own figure."""


def told(radius: float) -> float:
    """Return a radius rounded up to what is told of it [m]."""
    return TOLD * ceil(radius / TOLD - 1e-9)


def wide_enough(inputs: Inputs, bank_limit: float, start: float) -> float:
    """Return the radius to fly next so that a bank limit holds all around, rounded up [m].

    Parameters
    ----------
    inputs
        Of a plan: the kind, the wind and the airspeed count.
    bank_limit
        [rad]
    start
        Any radius that can be laid out [m]

    Raises
    ------
    NoSolutionError
        When none is found.
    """
    return told(smallest_radius(steepest_of(inputs), inputs.air, bank_limit, start))
