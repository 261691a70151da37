"""Which of many uncertain values decides whether a limit was kept.

The largest value is not always the one that tells: a smaller one, better known, may lie outside for sure.
So the verdict and the value that is stated beside it are taken from the same sample: the worst of those whose
own interval supports the verdict. The value with its standard deviation always agrees with it.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

interval: Final = 1.96  # standard deviations either side of a value: the two-sided 95 % interval


def decide(value: Floats, sd: Floats, low: float, high: float) -> tuple[str, int]:
    """Return the verdict on a limit, or on the two of a band, and the index of the value to state.

    Parameters
    ----------
    value, sd
        Values and their standard deviations; NaN where not known, at least one known.
    low, high
        The limits; −∞ for none below.

    Returns
    -------
    `not-met` with the worst of the values that are outside for sure; `met` with the worst of all, which are
    inside for sure; else `undetermined` with the worst of those whose interval holds a limit.
    """
    beyond, reach = np.maximum(value - high, low - value), interval * sd
    known = np.isfinite(beyond) & np.isfinite(reach)
    surely_outside, maybe_outside = known & (beyond - reach > 0.0), known & (beyond + reach > 0.0)
    if surely_outside.any():
        return "not-met", _worst(beyond, surely_outside)
    if maybe_outside.any():
        return "undetermined", _worst(beyond, maybe_outside)
    return "met", _worst(beyond, known)


def _worst(beyond: Floats, among: NDArray[np.bool_]) -> int:
    """Return the index of the value farthest beyond the limit among some."""
    return int(np.argmax(np.where(among, beyond, -np.inf)))
