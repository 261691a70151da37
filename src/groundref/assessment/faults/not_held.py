"""A quantity that left its value at the start, shared by altitude and airspeed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.assessment.decisive import decide
from groundref.assessment.faults.mention import chance, surely
from groundref.assessment.flown import Flown
from groundref.assessment.held import Deviation
from groundref.assessment.said import laps_named

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

SHARE: Final = 0.75  # of the tolerance, from where an instructor speaks up; common practice, no source


@dataclass(frozen=True, slots=True)
class Worst:
    """The value that stands for all of an error, and where else it was made.

    Attributes
    ----------
    at
        Index of the value from the maneuver's first sample.
    inside
        Samples at which the error was made the same way and is beyond doubt.
    laps
        Numbers of their laps.
    place
        Where in the circle; empty when it has no one place.
    start, end
        First and last of them [s]
    """

    at: int
    inside: Bools
    laps: tuple[int, ...]
    place: str
    start: float
    end: float


def worst_of(flown: Flown, beyond: Floats, sd: Floats, limit: float, threshold: float) -> Worst | None:
    """Return the worst of some sizes that can be supported; None when there is none.

    It is the worst that supports the verdict where that is not-met, so that finding and verdict are of one
    sample, and the largest one supported otherwise.

    Parameters
    ----------
    beyond
        Sizes of the error, negative the other way, over the maneuver's samples; NaN where they do not count.
    sd
        Their standard deviations.
    limit
        Size from which the verdict is not-met.
    threshold
        Size worth mentioning.
    """
    size = np.abs(beyond)
    shown = (size >= threshold) & (size - chance * sd >= surely * threshold)
    if not shown.any():
        return None
    verdict, at = decide(size, sd, -np.inf, limit)
    if verdict != "not-met":
        at = int(np.argmax(np.where(shown, size, -1.0)))
    inside = shown & (np.sign(beyond) == np.sign(beyond[at]))
    time = flown.time[inside]
    place = flown.place_of(inside, at)
    return Worst(at, inside, flown.laps_in(inside), place, float(time[0]), float(time[-1]))


def where(flown: Flown, worst: Worst) -> str:
    """Say the laps and the place of an error, with what leads to them; empty when neither is known."""
    said = laps_named(worst.laps, flown.words.lap)
    own = int(flown.profile.lap[worst.at])
    if len(worst.laps) > 1 and own:
        said += f", most in {flown.words.lap} {own}"
    place = flown.place(worst.at) if len(worst.laps) > 1 or worst.place else ""
    return f"{said}, {place}" if place else said


def compared_with(deviation: Deviation) -> str:
    """Say what a quantity is compared with."""
    return "that of the start" if deviation.reference_from == "start" else "the middle of what was flown"
