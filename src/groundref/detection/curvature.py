"""How long a path is, and what a turning of it was flown about where it is no circle that could be fitted."""

from __future__ import annotations

import numpy as np

from groundref.detection.segments import Turning
from groundref.estimation.states import States


def curvature(states: States, turning: Turning) -> tuple[tuple[float, float], float]:
    """Return what a turning was flown about on the mean, whatever its shape, and its mean radius [m].

    A path of length s that turns by θ has the mean radius of curvature r = s/θ. With the track χ, at each
    place p of it the center of a turn to the right lies at p + r (cos χ, −sin χ), and the mean of them,

        c = 1/θ ∫ p + r (cos χ, −sin χ) dχ,

    is that of any arc of a circle. What is flown straight turns by nothing and has no weight in it, so two
    half circles with a wait between them are about the place in their middle.

    Parameters
    ----------
    states, turning
        The flight, and the stretch of turning.
    """
    part = slice(turning.first, turning.last + 1)
    east, north, track = states.east[part], states.north[part], states.track[part]
    turned = np.diff(track)
    radius = flown(states, turning.first, turning.last) / abs(turning.turn)
    aside = turning.direction * radius
    middle = 0.5 * (track[1:] + track[:-1])
    x = 0.5 * (east[1:] + east[:-1]) + aside * np.cos(middle)
    y = 0.5 * (north[1:] + north[:-1]) - aside * np.sin(middle)
    whole = float(turned.sum())
    return (float(np.sum(turned * x)) / whole, float(np.sum(turned * y)) / whole), radius


def flown(states: States, first: int, last: int) -> float:
    """Return the length of the path over the ground, or of that in the air where it is seen so [m].

    Parameters
    ----------
    states
        The flight, over the ground or in the air.
    first, last
        From one sample to another.
    """
    part = slice(first, last + 1)
    return float(np.hypot(np.diff(states.east[part]), np.diff(states.north[part])).sum())
