"""Places too close together for the radius that a bank asks for: how far apart they would have to be."""

from __future__ import annotations

from dataclasses import replace
from math import ceil
from typing import Final

from groundref.errors import NoSolutionError
from groundref.planning.fit import smallest_radius
from groundref.planning.inputs import Inputs
from groundref.planning.kinds import steepest_of
from groundref.planning.offered import or_more
from groundref.standards.usual import usual
from groundref.units import degree, foot

_APART: Final = (2.0, 2.25, 2.5, 3.0, 4.0)  # times the radius, tried in turn
_ROOM: Final = 0.45  # of the spacing: two radii and a little between them
_TOLD: Final = 10.0 * foot


def first_radius(inputs: Inputs) -> float:
    """Return a radius to begin looking from: the usual one, or one for which the places leave room [m].

    Parameters
    ----------
    inputs
        Of the plan.
    """
    habit = usual(inputs.kind).radius
    return habit if inputs.spacing is None else min(habit, _ROOM * inputs.spacing)


def too_close(inputs: Inputs, bank_limit: float) -> NoSolutionError | None:
    """Return what to say of places too close together; None where that is not what is wrong.

    Parameters
    ----------
    inputs
        Of a plan with a spacing for which no radius was found.
    bank_limit
        [rad]

    Raises
    ------
    NoSolutionError
        When there is no radius at the usual spacing either.
    """
    roomy = replace(inputs, spacing=None)
    needed = smallest_radius(steepest_of(roomy), inputs.air, bank_limit, first_radius(roomy))
    if inputs.spacing is None or inputs.spacing > _APART[-1] * needed:
        return None
    for times in _APART:
        spacing = _TOLD * ceil(times * needed / _TOLD)
        if spacing > inputs.spacing and _works(replace(inputs, spacing=spacing), bank_limit):
            return NoSolutionError(
                f"no room for {needed / foot:,.0f} ft of radius at {bank_limit / degree:.0f}°",
                "spacing",
                f"choose {or_more(spacing)}, or allow more bank",
            )
    return None


def _works(inputs: Inputs, bank_limit: float) -> bool:
    try:
        smallest_radius(steepest_of(inputs), inputs.air, bank_limit, first_radius(inputs))
    except NoSolutionError:
        return False
    return True
