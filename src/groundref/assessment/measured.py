"""What was measured of one quantity that a standard limits."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Measured:
    """What was measured of a quantity, at one or at many moments.

    Attributes
    ----------
    value, sd
        Values and their standard deviations; NaN where they do not count [SI]
    time
        When [s]
    """

    value: Floats
    sd: Floats
    time: Floats

    @property
    def known(self) -> bool:
        """Whether there is a value at all."""
        return bool(np.any(np.isfinite(self.value) & np.isfinite(self.sd)))
