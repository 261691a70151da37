"""How far an arc moved along with the air: not about a place on the ground, but at a held bank.

In the frame that moves with the share s of the wind w, sample i of a loop is at pᵢ − s w tᵢ. Held to a
place, the loop is a circle at s = 0; carried along at constant bank, at s = 1. With eᵢ(s) the distances from
the best circle there, to first order e(s) = e(0) + s (e(1) − e(0)), which is least at

    s = −Σ e(0) (e(1) − e(0)) / Σ (e(1) − e(0))².

A part of a circle has no other use for its center and radius than to hide s, and what is left of e(1) − e(0)
after the fits is what they do not hide.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.detection.circling import POSITION_WANDER
from groundref.detection.ordinary import Drift
from groundref.errors import NoSolutionError
from groundref.estimation.wind_value import Wind
from groundref.mechanics.circle_fit import fit_circle

Floats = NDArray[np.float64]

HELD_TO: Final = 0.03  # of the radius, the distance of a student who watches the place; common practice
LOOKS: Final = 2.0  # independent looks at a wander that takes half a loop
TELLS: Final = 2.5  # times what is left unexplained that e(1) − e(0) must be to tell anything


def arc_drift(time: Floats, east: Floats, north: Floats, wind: Wind | None) -> Drift | None:
    """Return how far an arc moved downwind; None where the wind is unknown or too light to tell.

    Parameters
    ----------
    time
        Of each sample [s]
    east, north
        Where it was over the ground [m]
    wind
        Over the arc.
    """
    if wind is None or wind.speed < TELLS * wind.speed_sd or time.size < 6:
        return None
    since = time - time.mean()
    try:
        held = fit_circle(east, north)
        let_go = fit_circle(east - wind.east * since, north - wind.north * since)
    except NoSolutionError:
        return None
    change = let_go.residual - held.residual
    size = float(np.sqrt(np.mean(change**2)))
    share = -float(np.mean(held.residual * change)) / size**2
    rest = float(np.sqrt(np.mean((held.residual + share * change) ** 2)))
    unsure = float(np.hypot(rest, POSITION_WANDER))
    if size < TELLS * unsure:
        return None
    sd = float(np.hypot(unsure / size / np.sqrt(LOOKS), share * wind.speed_sd / wind.speed))
    return Drift(share, sd, HELD_TO * held.radius / size)
