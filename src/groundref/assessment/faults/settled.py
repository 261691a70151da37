"""The circle that was held once the entry was over, which the entry is measured by.

A point that nobody gave is fitted to all that was flown, an entry from too far or too close included, and so
gives way to it. What was flown once round from half of the first lap on shows which circle was meant: its
middle and radius are fitted anew to that part alone. Errors of flying last for some eighth of a circle, so
only so many of the samples are independent. A given point stays where it is.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import full_turn
from groundref.assessment.flown import Flown
from groundref.detection.circling import POSITION_WANDER
from groundref.errors import NoSolutionError
from groundref.mechanics.circle_fit import fit_circle

Floats = NDArray[np.float64]

EIGHTHS: Final = 3.0  # of the circle that must have been flown after the entry to tell it


@dataclass(frozen=True, slots=True)
class Settled:
    """The circle held after the entry.

    Attributes
    ----------
    east, north
        Its middle [m]
    radius
        [m]
    covariance
        Of middle and radius [m²]
    """

    east: float
    north: float
    radius: float
    covariance: Floats

    def outside_sd(self, direction: float) -> float:
        """Return the standard deviation of how far outside of it a place in a direction lies [m], [rad]."""
        gradient = np.array([np.sin(direction), np.cos(direction), 1.0])
        return float(np.hypot(np.sqrt(gradient @ self.covariance @ gradient), POSITION_WANDER))


def half_of_first_lap(flown: Flown) -> float:
    """Return when half of the first lap was over [s]."""
    first = flown.maneuver.laps[0]
    return 0.5 * (first.start + first.end)


def settled(flown: Flown) -> Settled:
    """Return the circle held once round from half of the first lap on, what it takes to regain it gently.

    Laps after that may lie elsewhere, as circles walk that are not corrected for wind. It is that of the
    whole maneuver where too little was flown afterwards to tell.
    """
    first, half = flown.maneuver.laps[0], half_of_first_lap(flown)
    used = flown.steady & (flown.time > half) & (flown.time <= half + (first.end - first.start))
    turned = float(np.abs(flown.states.track_rate[flown.samples][used]).sum() * flown.interval)
    eighths = turned / (full_turn / 8.0)
    if eighths < EIGHTHS:
        return _over_all(flown)
    if flown.maneuver.reference.source == "given":
        return _about_given(flown, used)
    try:
        fit = fit_circle(flown.states.east[flown.samples][used], flown.states.north[flown.samples][used])
    except NoSolutionError:
        return _over_all(flown)
    return Settled(fit.x, fit.y, fit.radius, fit.covariance * used.sum() / eighths)


def _about_given(flown: Flown, used: NDArray[np.bool_]) -> Settled:
    """Return the circle about the point given, of the mean distance flown."""
    over_all = _over_all(flown)
    radius = float(flown.profile.distance[used].mean())
    return Settled(over_all.east, over_all.north, radius, over_all.covariance)


def _over_all(flown: Flown) -> Settled:
    """Return the circle of all laps."""
    maneuver, reference = flown.maneuver, flown.maneuver.reference
    variances = np.array([reference.sd**2, reference.sd**2, maneuver.radius_sd**2])
    return Settled(reference.east, reference.north, maneuver.radius, np.diag(variances))
