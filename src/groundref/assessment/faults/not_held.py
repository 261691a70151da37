"""A quantity that left its value at the start, shared by altitude and airspeed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.assessment.decisive import decide, margin
from groundref.assessment.faults.arc import runs
from groundref.assessment.faults.mention import chance, probable, surely
from groundref.assessment.flown import Flown
from groundref.assessment.held import Deviation
from groundref.assessment.said import laps_named
from groundref.standards.standard import Element

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

SHARE: Final = 0.75  # of the tolerance, from where an instructor speaks up; common practice, no source
lasts: Final = 5.0  # [s]  what is not surely outside must last so long to be talked about; common practice


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
    verdict
        The verdict on the limit, `met`, `not-met` or `undetermined`.
    """

    at: int
    inside: Bools
    laps: tuple[int, ...]
    place: str
    start: float
    end: float
    verdict: str


def worst_of(
    flown: Flown, beyond: Floats, sd: Floats, limit: float, threshold: float, *, least: float = lasts
) -> Worst | None:
    """Return the worst of some sizes that can be supported; None when there is none.

    It is the worst that supports the verdict where that is not-met, so that finding and verdict are of one
    sample. What is not surely outside the limit is talked about where it is surely worth a word, or where it
    lasted and is probably worth one. So is, where it lasted, what is more likely outside the limit than not
    and no chance.

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
    least
        How long what is not surely outside must last [s]
    """
    size = np.abs(beyond)
    if not np.any(np.isfinite(size) & np.isfinite(sd)):
        return None
    verdict, at = decide(size, sd, -np.inf, limit)
    large = size >= threshold
    no_chance = large & (size - chance * sd >= surely * threshold)
    if verdict == "not-met":
        shown = no_chance | (size - margin * sd > limit)
    else:
        worth = no_chance & (size > limit) if verdict == "undetermined" else no_chance
        worth |= size - probable * sd >= threshold
        lasted = [_lasting(flown, large & (way * beyond > 0.0), least) for way in (1.0, -1.0)]
        shown = (worth & (lasted[0] | lasted[1])) | (size - chance * sd >= threshold)
        at = int(np.argmax(np.where(shown, size, -1.0)))
    if not shown.any():
        return None
    inside = shown & (np.sign(beyond) == np.sign(beyond[at]))
    time = flown.time[inside]
    place = flown.place_of(inside, at)
    return Worst(at, inside, flown.laps_in(inside), place, float(time[0]), float(time[-1]), verdict)


def _lasting(flown: Flown, large: Bools, least: float) -> Bools:
    """Return those of the samples that belong to a stretch that is long enough."""
    out = np.zeros(large.size, dtype=np.bool_)
    for run in runs(large):
        out[run] = run.size * flown.interval >= least
    return out


def tolerance_of(element: Element | None, usual: float, unit: float) -> float:
    """Return the tolerance of an element of the standard, the usual one where it has none [SI].

    Parameters
    ----------
    element
        The element; None where the standard has none.
    usual
        What is usual [SI]
    unit
        That of the element's limit [SI]
    """
    return usual if element is None or element.limit is None else element.limit * unit


def strength_of(size: float, sd: float, tolerance: float, verdict: str) -> float:
    """Return by how much a size is worth talking about: what is not surely outside by its lower end alone.

    Parameters
    ----------
    size, sd, tolerance
        Of the error [SI]
    verdict
        On the element.
    """
    return (size if verdict == "not-met" else size - chance * sd) / tolerance


def beside_limit(said: str, verdict: str, element: Element | None, *, beyond: bool) -> str:
    """Say what an error is beside its limit, as sure as the verdict on it is.

    Parameters
    ----------
    said
        The limit in words.
    verdict
        On the element.
    element
        The standard's; None where it has none.
    beyond
        Whether the size itself is beyond the limit.
    """
    printed = element is not None and element.published
    if verdict == "not-met":
        return f"{said} is the tolerance" if printed else f"{said} is usual, no limit is printed"
    named = f"the tolerance of {said}" if printed else f"the usual {said}"
    if verdict == "met":
        return f"near {named}, but inside it"
    return f"probably beyond {named}" if beyond else f"near {named}, on which side cannot be told"


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
