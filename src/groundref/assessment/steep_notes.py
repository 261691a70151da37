"""What a student wonders about in steep turns seen from above: that they are carried along by the wind."""

from __future__ import annotations

import numpy as np

from groundref.assessment.details import SteepFlown
from groundref.assessment.flown import Flown
from groundref.measures import length, speed


def steep_notes(flown: Flown) -> tuple[str, ...]:
    """Return how far the wind carried each turn, and that this is right; empty for other maneuvers."""
    details, wind = flown.details, flown.maneuver.wind
    if not isinstance(details, SteepFlown) or wind is None or not flown.wind_felt:
        return ()
    carried = [turn.drift_expected for turn in details.turns if np.isfinite(turn.drift_expected)]
    if not carried:
        return ()
    return (
        f"The wind of {speed(wind.speed)} carried each turn some {length(float(np.mean(carried)))} along. "
        "That is right: a steep turn holds the bank, not a distance from a place.",
    )
