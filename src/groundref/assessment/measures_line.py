"""What a standard limits where a line is crossed: square to it, wings level."""

from __future__ import annotations

import numpy as np

from groundref.assessment.details import LineFlown
from groundref.assessment.flown import Flown
from groundref.assessment.measured import Measured


def crossing(flown: Flown) -> Measured | None:
    """Return how far the track was off square at each crossing; None where no line was crossed."""
    if not isinstance(flown.details, LineFlown) or not flown.details.crossings:
        return None
    crossings = flown.details.crossings
    return Measured(
        np.abs([each.off_square for each in crossings]),
        np.array([each.off_square_sd for each in crossings]),
        np.array([each.time for each in crossings]),
    )


def level_at_line(flown: Flown) -> Measured | None:
    """Return the bank at each crossing; None where no line was crossed."""
    if not isinstance(flown.details, LineFlown) or not flown.details.crossings:
        return None
    crossings = flown.details.crossings
    sd = np.array([each.bank_sd for each in crossings])
    return Measured(
        np.abs([each.bank for each in crossings]),
        np.hypot(sd, flown.bank_bias),
        np.array([each.time for each in crossings]),
    )
