"""Which of many uncertain values decides whether a limit was kept, and how sure a verdict is.

A verdict is given when it is at least nine in ten likely. It says on which side of a limit a value lies, so
its probability is one-sided: the limit lies 1.2816 standard deviations from the value or more, the quantile
of 0.9 of the normal distribution. A wrong verdict costs an instructor's trust, an open one a look at the
recording; nine in ten is our own weighing of the two, no source.

The largest value is not always the one that tells: a smaller one, better known, may lie outside for sure.
So the verdict and the value that is stated beside it are taken from the same sample: the worst of those that
by themselves support the verdict. The value with its standard deviation always agrees with it.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

LIKELY: Final = 0.9
"""Probability from which a verdict is given."""
margin: Final = 1.2815515655446004
"""Standard deviations from value to limit from which a verdict is given: the normal quantile of `LIKELY`."""


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
    `not-met` with the worst of the values that are likely outside; `met` with the worst of all, each of which
    is likely inside; else `undetermined` with the worst of those of which neither is likely. Likely is a
    probability of `LIKELY` by the value's own standard deviation.
    """
    beyond, reach = np.maximum(value - high, low - value), margin * sd
    known = np.isfinite(beyond) & np.isfinite(reach)
    likely_outside, maybe_outside = known & (beyond - reach > 0.0), known & (beyond + reach > 0.0)
    if likely_outside.any():
        return "not-met", _worst(beyond, likely_outside)
    if maybe_outside.any():
        return "undetermined", _worst(beyond, maybe_outside)
    return "met", _worst(beyond, known)


def _worst(beyond: Floats, among: NDArray[np.bool_]) -> int:
    """Return the index of the value farthest beyond the limit among some."""
    return int(np.argmax(np.where(among, beyond, -np.inf)))
