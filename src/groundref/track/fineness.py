"""How finely a recording was written: what is too coarse for motion in a turn is said."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.track.recording import Recording
from groundref.units import degree, nautical_mile

Floats = NDArray[np.float64]

SELDOM: Final = 5.0  # [s] a 30° bank turns 30° in it; beyond, bank and airspeed are guessed between samples
COARSE_STEP: Final = 15.0  # [m] steps of position beyond the usual error of a phone's


def position_step(recording: Recording) -> float:
    """Return the step in which latitudes are written, from their decimals; 0 when they have many [m]."""
    latitude = recording.latitude / degree
    for decimals in range(5):
        scaled = latitude * 10.0**decimals
        # Degrees that came through radians are off by rounding, far less than the next decimal.
        if np.abs(scaled - np.round(scaled)).max() < 1e-6:
            return 60.0 * nautical_mile / 10.0**decimals
    return 0.0


def coarseness(recording: Recording, interval: float) -> list[str]:
    """Return what is too coarse to be trusted in a turn, one plain sentence each.

    Parameters
    ----------
    recording
        The kept samples.
    interval
        Usual time between them [s]
    """
    found = []
    if interval > SELDOM:
        found.append(
            f"There is one position every {interval:.0f} s only; bank, airspeed and wind in a turn "
            "are uncertain, and short errors cannot be seen."
        )
    step = position_step(recording)
    if step > COARSE_STEP:
        found.append(
            f"Positions are written in steps of about {step:.0f} m only; bank, airspeed and distances "
            "are uncertain."
        )
    return found
