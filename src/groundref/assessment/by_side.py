"""The mean radius of the turns to one side: what is flown in turn to both should be of one size."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from groundref.detection.maneuver import Lap

RIGHT, LEFT = 1.0, -1.0


def mean_radius(laps: Sequence[Lap], side: float) -> tuple[float, float]:
    """Return the mean radius of the laps that turn to a side and its standard deviation; NaN for none [m].

    Their errors are their own, so that of the mean is √(Σσᵢ²) ÷ n.

    Parameters
    ----------
    laps
        Of a maneuver.
    side
        :data:`RIGHT` or :data:`LEFT`.
    """
    turned = [lap for lap in laps if lap.turn * side > 0.0 and np.isfinite(lap.radius)]
    if not turned:
        return float("nan"), float("nan")
    radius, sd = (np.array([getattr(lap, name) for lap in turned]) for name in ("radius", "radius_sd"))
    return float(radius.mean()), float(np.sqrt(np.sum(sd**2)) / sd.size)
