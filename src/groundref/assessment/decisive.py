"""Which of many uncertain values decides whether a limit was kept.

The largest value is not always the one that tells: a smaller one, better known, may lie outside for sure, and
a smaller one, poorly known, may have been the worst. So the verdict and the value that is stated beside it
are taken from the same sample, and the value with its standard deviation always agrees with the verdict.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

interval: Final = 1.96  # standard deviations either side of a value: the two-sided 95 % interval


def decide(value: Floats, sd: Floats, low: float, high: float) -> tuple[str, int]:
    """Return the verdict on a limit, or on the two of a band, and the index of the value that decides.

    Parameters
    ----------
    value, sd
        Values and their standard deviations; NaN where not known, at least one known.
    low, high
        The limits; −∞ for none below.

    Returns
    -------
    `not-met` with the value that is outside most surely; `met` with the one that comes nearest to being
    outside; else `undetermined` with the worst of those whose interval holds a limit.
    """
    beyond, reach = np.maximum(value - high, low - value), interval * sd
    outside, nearest = int(np.nanargmax(beyond - reach)), int(np.nanargmax(beyond + reach))
    if beyond[outside] - reach[outside] > 0.0:
        return "not-met", outside
    if beyond[nearest] + reach[nearest] <= 0.0:
        return "met", nearest
    return "undetermined", int(np.nanargmax(np.where(beyond + reach > 0.0, beyond, np.nan)))
