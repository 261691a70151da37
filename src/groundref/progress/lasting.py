"""Whether the last three lessons were within the standard, and whether common errors grow rarer."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from groundref.progress.flown import LessonFlown, ManeuverFlown
from groundref.progress.told import Consistency, FaultProgress, Figure

_LESSONS: Final = 3
_SURE: Final = 0.975
_RATES: Final = (np.arange(400) + 0.5) / 400.0

Lessons = Sequence[tuple[LessonFlown, Sequence[ManeuverFlown]]]


def last_three(figures: Sequence[Figure]) -> Consistency:
    """Return the verdicts of the last three lessons that have an element.

    A lesson is `not-met` where one of its maneuvers is, `met` where all of them are, else `undetermined`; so
    are three lessons together.

    Parameters
    ----------
    figures
        Of the element, in order.
    """
    lessons: dict[int, list[Figure]] = {}
    for figure in figures:
        lessons.setdefault(figure.at, []).append(figure)
    last = list(lessons.values())[-_LESSONS:]
    verdicts = tuple(_together([figure.element.decided for figure in lesson]) for lesson in last)
    says = _together(verdicts) if len(last) == _LESSONS else "too-few"
    return Consistency(tuple(lesson[0].date for lesson in last), verdicts, says)


def _together(verdicts: Sequence[str]) -> str:
    if "not-met" in verdicts:
        return "not-met"
    return "met" if all(verdict == "met" for verdict in verdicts) else "undetermined"


def faults(lessons: Lessons) -> list[FaultProgress]:
    """Return the common errors found in a kind of maneuver, the most frequent first.

    Parameters
    ----------
    lessons
        In order, with the maneuvers of one kind.
    """
    found: dict[str, list[int]] = {}
    for at, (_, maneuvers) in enumerate(lessons):
        for fault in {fault.fault: None for maneuver in maneuvers for fault in maneuver.faults}:
            found.setdefault(fault, []).append(at)
    told = [_fault(fault, at, lessons) for fault, at in found.items()]
    return sorted(told, key=lambda one: (-one.lessons, one.fault))


def _fault(fault: str, at: Sequence[int], lessons: Lessons) -> FaultProgress:
    """Return one error in the earlier and the later half of the lessons; one in the middle is in neither."""
    count = len(lessons)
    half = count // 2
    earlier, later = sum(n < half for n in at), sum(n >= count - half for n in at)
    rarer = probability_rarer(earlier, later, half) if half else None
    return FaultProgress(
        fault=fault,
        lessons=len(at),
        of=count,
        earlier=earlier,
        earlier_of=half,
        later=later,
        later_of=half,
        rarer=rarer,
        says=_says(rarer),
        last=lessons[at[-1]][0].date,
    )


def _says(rarer: float | None) -> str:
    if rarer is None or 1.0 - _SURE < rarer < _SURE:
        return "undetermined"
    return "rarer" if rarer >= _SURE else "more-often"


def probability_rarer(earlier: int, later: int, of: int) -> float:
    """Return how probably an error is rarer now.

    Parameters
    ----------
    earlier, later
        In how many lessons it was found before, and of late.
    of
        Of how many each, at least one.

    Notes
    -----
    Of each half the rate has the posterior Beta(k + ½, n − k + ½), Jeffreys' prior with k of n; the
    probability that the later rate is the smaller one is ∫ p(earlier rate = x) P(later rate < x) dx. With
    x = sin² θ both densities are finite at their ends, and sums over even steps of θ are exact enough.
    """
    theta = _RATES * (np.pi / 2.0)
    sine, cosine = np.log(np.sin(theta)), np.log(np.cos(theta))

    def share(k: int) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        density = np.exp(2.0 * (k * sine + (of - k) * cosine))
        return np.asarray(density / density.sum())

    before, after = share(earlier), share(later)
    return float(before @ (np.cumsum(after) - 0.5 * after))
