"""Cautions on being low: least heights, the standard's band, and the ground to glide to."""

from __future__ import annotations

from math import hypot
from typing import Final

import numpy as np

from groundref.angles import direction_of
from groundref.measures import length, stated_length
from groundref.planning.cautions import Caution, Weight
from groundref.planning.engine_out import EngineOut, nearest_edge
from groundref.planning.heights import Heights, asked_for, keeps
from groundref.planning.inputs import Inputs
from groundref.planning.rules import load_rules
from groundref.planning.schedule import Schedule
from groundref.units import degree, foot

OVER_OBSTACLE: Final = 500 * foot
"""Vertical clearance that the handbook asks for (FAA-H-8083-3B, ground reference chapter)."""
BESIDE_OBSTACLE: Final = 2000 * foot
"""Horizontal clearance that it asks for."""
_ROUNDING: Final = 1e-6  # [m]
_ALIKE: Final = 0.05  # of the least reach, over which it differs too little between directions to name one


def height_cautions(inputs: Inputs, found: Heights) -> list[Caution]:
    """Return what to be warned of about the plan's heights.

    Parameters
    ----------
    inputs
        Of the plan.
    found
        Its heights.
    """
    return [*_of_rules(inputs, found), *_of_band(found)]


def _of_rules(inputs: Inputs, found: Heights) -> list[Caution]:
    low = f"{length(found.lowest)}"
    if found.limit is None:
        town = found.rules.over("congested")
        open_land = found.rules.over("open")
        room = found.lowest - open_land.kept_from(found.obstacle or 0.0)
        side = "above" if room >= -_ROUNDING else "below"
        says = (
            f"The surroundings are not stated. {low} is {length(abs(room))} "
            f"{side} what open land asks ({open_land.what}); {town.what} ({town.source})."
        )
        weight = Weight.NOTE if room >= -_ROUNDING else Weight.CARE
        return [Caution(weight, "surroundings-not-stated", says, open_land.source)]
    if found.least is None:
        says = f"From {low} keep the distance: {found.limit.what}."
        return [Caution(Weight.NOTE, "distance-from-people", says, found.limit.source)]
    if not keeps(found.limit, found.lowest, found.obstacle):
        least = asked_for(found.limit, found.obstacle)
        says = (
            f"The lowest height of {low} is below the {least} asked for here "
            f"({found.limit.what}): fly faster, which raises it, or take another place."
        )
        return [Caution(Weight.STOP, "below-least-height", says, found.limit.source)]
    if found.obstacle is None:
        says = (
            f"No obstacle is stated: {low} above the ground is legal here up to an obstacle of "
            f"{length(max(found.lowest - found.limit.kept_from(0.0), 0.0))} ({found.limit.what})."
        )
        counted = found.limit.above != "surface"
        return [Caution(Weight.NOTE, "obstacle-not-stated", says, found.limit.source)] if counted else []
    if found.lowest < found.obstacle + OVER_OBSTACLE - _ROUNDING:
        says = (
            f"The lowest height of {low} clears the obstacle of {length(found.obstacle)} by "
            f"{length(found.lowest - found.obstacle)}; the handbook asks for "
            f"{stated_length(OVER_OBSTACLE)} above and {stated_length(BESIDE_OBSTACLE)} to the side."
        )
        return [Caution(Weight.CARE, "near-obstacle", says, "FAA-H-8083-3B, ground reference chapter")]
    return []


def _of_band(found: Heights) -> list[Caution]:
    band, low, high = found.band, found.band_low, found.band_high
    if band is None:
        return []
    beyond = []
    if low is not None and found.lowest < low - _ROUNDING:
        beyond.append(f"the lowest height of {length(found.lowest)} is below {stated_length(low)}")
    if high is not None and found.highest > high + _ROUNDING:
        beyond.append(f"the highest of {length(found.highest)} is above {stated_length(high)}")
    if not beyond:
        return []
    says = f"Outside the height band of the standard: {' and '.join(beyond)}."
    return [Caution(Weight.CARE, "outside-height-band", says, f"{band.code}, {band.source}")]


def engine_cautions(inputs: Inputs, found: EngineOut, schedule: Schedule) -> list[Caution]:
    """Return what to be warned of should the engine stop.

    Parameters
    ----------
    inputs
        Of the plan.
    found
        Ground that can be reached.
    schedule
        Positions of the plan.
    """
    source = _rule(inputs)
    if inputs.wind_speed >= found.glide_speed:
        says = "The wind is not less than the best-glide speed: gliding, no ground upwind can be reached."
        return [Caution(Weight.STOP, "wind-above-glide", says, source)]
    landing = found.landing
    if landing is None:
        return [_without_landing(found, source)]
    name, left = schedule.name[landing.worst], landing.least
    short = int((landing.height < 0.0).sum())
    if short:
        says = (
            f"Should the engine stop, the landing place is out of reach from {short} of "
            f"{landing.height.size} positions; from the worst, '{name}', the glide is {length(-left)} "
            "short in height: fly nearer to it or higher."
        )
        return [Caution(Weight.STOP, "landing-out-of-reach", says, source)]
    says = (
        f"Should the engine stop, the landing place is reached from everywhere; from the worst position, "
        f"'{name}', with {length(left)} left"
    )
    half = found.half_turn_loss
    if left < half:
        says += f": less than the {length(half)} of a half turn, so straight in from there."
        return [Caution(Weight.CARE, "landing-just-in-reach", says, source)]
    return [Caution(Weight.NOTE, "landing-in-reach", f"{says}.", source)]


def _without_landing(found: EngineOut, source: str) -> Caution:
    lost = f"A half turn at {found.bank / degree:.0f}° costs {length(found.half_turn_loss)}"
    edge = nearest_edge(found)
    if found.common is None:
        says = f"Should the engine stop, no one field can be reached from every position. {lost}."
        return Caution(Weight.CARE, "no-common-field", says, source)
    if edge is None:
        says = (
            "Should the engine stop, the ground that can be glided to from every position lies off to the "
            f"side of the maneuver: choose a field {_where(found)}. {lost}."
        )
        return Caution(Weight.CARE, "no-landing-place", says, source)
    # Where the reach is alike all round, as in a calm, the least of it is no direction to speak of.
    round_about = np.ptp(found.common) < _ALIKE * edge[0]
    least = "" if round_about else f"; {edge[1] / degree:03.0f}° is the direction with the least to spare"
    says = (
        f"No landing place is stated. Should the engine stop, any field within {length(edge[0])} of "
        f"the middle of the maneuver can be glided to from every position{least}. {lost}."
    )
    return Caution(Weight.NOTE, "no-landing-place", says, source)


def _where(found: EngineOut) -> str:
    """Return where the ground lies that can be reached from everywhere."""
    if found.center is None or found.common is None:
        return "elsewhere"
    toward = direction_of(*found.center) / degree
    return (
        f"within {length(found.common.min())} of the place that is "
        f"{length(hypot(*found.center))} toward {toward:03.0f}° true from its middle"
    )


def _rule(inputs: Inputs) -> str:
    return load_rules(inputs.around.rules).anywhere.source
