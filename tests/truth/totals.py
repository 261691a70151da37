"""Figures over many lessons: shares, errors and coverages."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from typing import Final

import numpy as np

from groundref.detection.maneuver import KINDS

from .estimates import LEVELS, Measure
from .lessons import draw
from .recorded import RECORDERS
from .tally import Case, Result, tally

NOTHING: Final = "nothing"
CONFIDENCES: Final = (0.5, 0.7, 0.8, 0.9, 0.95, 0.99, 1.0)
"""Edges of the classes of stated confidence."""


@dataclass(frozen=True, slots=True)
class NotFlown:
    """A lesson that was not flown to its end, and why."""

    lesson: int
    why: str


def fly_block(
    block: int,
    numbers: Iterable[int],
    names: Sequence[str] = tuple(RECORDERS),
    processes: int = 2,
    kinds: Sequence[str] | None = None,
) -> tuple[list[Result], list[NotFlown]]:
    """Fly, record and debrief lessons of a block, on several processes.

    Returns
    -------
    tuple
        The results, and the lessons that were not flown to their end.
    """
    with ProcessPoolExecutor(processes) as pool:
        done = pool.map(partial(_one, block, tuple(names), kinds), numbers)
        results: list[Result] = []
        failed: list[NotFlown] = []
        for outcome in done:
            if isinstance(outcome, NotFlown):
                failed.append(outcome)
            else:
                results.extend(outcome)
    return results, failed


def _one(
    block: int, names: Sequence[str], kinds: Sequence[str] | None, number: int
) -> list[Result] | NotFlown:
    try:
        return tally(draw(block, number, kinds), names)
    except RuntimeError as error:
        return NotFlown(number, str(error))


@dataclass(frozen=True, slots=True)
class Share:
    """What was right among what was said and what was there.

    Attributes
    ----------
    right, false, missed
        Counts.
    """

    right: int
    false: int
    missed: int

    @property
    def precision(self) -> float:
        """Part of what was said that is right."""
        said = self.right + self.false
        return self.right / said if said else float("nan")

    @property
    def recall(self) -> float:
        """Part of what was there that was said."""
        there = self.right + self.missed
        return self.right / there if there else float("nan")

    @property
    def f1(self) -> float:
        """Harmonic mean of both."""
        counted = 2 * self.right + self.false + self.missed
        return 2 * self.right / counted if counted else float("nan")


def cases(results: Iterable[Result], recorders: Iterable[str]) -> list[Case]:
    """Return the cases of some recorders; what was none of its kind is left out, found or not."""
    return [case for case in _of(results, recorders) if not case.astray]


def gone_astray(results: Iterable[Result], recorders: Iterable[str]) -> list[Case]:
    """Return the cases of some recorders that are left out: what was flown there was none of its kind."""
    return [case for case in _of(results, recorders) if case.astray]


def _of(results: Iterable[Result], recorders: Iterable[str]) -> list[Case]:
    chosen = set(recorders)
    return [case for result in results if result.recorder in chosen for case in result.cases]


def detected(among: Iterable[Case], kind: str | None = None) -> Share:
    """Return how well a kind was found, or all of them."""
    right = false = missed = 0
    for case in among:
        if case.same:
            right += kind in (None, case.flown)
            continue
        missed += case.flown != "" and kind in (None, case.flown)
        false += case.found != "" and kind in (None, case.found)
    return Share(right, false, missed)


def confusion(among: Iterable[Case]) -> dict[tuple[str, str], int]:
    """Return how often which kind was found where which was flown; `nothing` is ordinary flying.

    A maneuver of the right kind that was found in its half only counts as nothing found.
    """
    count: Counter[tuple[str, str]] = Counter()
    for case in among:
        found = case.found if case.same or case.found != case.flown else ""
        count[case.flown or NOTHING, found or NOTHING] += 1
    return dict(count)


def false_in_ordinary(results: Iterable[Result]) -> list[tuple[int, str, str, str]]:
    """Return lesson, recorder, what was flown and what was said, of lessons without any maneuver."""
    return [
        (result.lesson, result.recorder, result.what, case.found)
        for result in results
        if result.what != "maneuvers"
        for case in result.cases
    ]


def calibration(among: Iterable[Case]) -> list[tuple[float, float, int, float, float]]:
    """Return lower and upper edge, count, mean confidence and share right of each class."""
    said = [case for case in among if case.found]
    rows = []
    for low, high in pairwise(CONFIDENCES):
        inside = [case for case in said if low <= case.confidence < high or case.confidence == high == 1.0]
        if inside:
            rows.append(
                (
                    low,
                    high,
                    len(inside),
                    float(np.mean([case.confidence for case in inside])),
                    float(np.mean([case.same for case in inside])),
                )
            )
    return rows


@dataclass(frozen=True, slots=True)
class Spread:
    """Errors of one quantity.

    Attributes
    ----------
    count
        Of maneuvers.
    median, most
        Median, and 95 % of the errors are smaller.
    rms
        Over all samples where the quantity has many.
    inside
        Share of truths within the stated interval of each level.
    """

    count: int
    median: float
    most: float
    rms: float
    inside: tuple[float, ...]


def spread(among: Iterable[Case], quantity: str) -> Spread | None:
    """Return the errors of a quantity; None where it was never estimated."""
    measures = [case.measures[quantity] for case in among if quantity in case.measures]
    if not measures:
        return None
    errors = np.array([each.error for each in measures])
    weights = np.array([each.count for each in measures], dtype=np.float64)
    return Spread(
        count=len(measures),
        median=float(np.median(errors)),
        most=float(np.quantile(errors, 0.95)),
        rms=float(np.sqrt(np.average(errors**2, weights=weights))),
        inside=tuple(_share(measures, weights, k) for k in range(len(LEVELS))),
    )


def _share(measures: Sequence[Measure], weights: np.ndarray, level: int) -> float:
    return float(np.average([each.inside[level] for each in measures], weights=weights))


def faults(among: Iterable[Case], keep: Callable[[Case, str], bool] = lambda case, name: True) -> Share:
    """Return how well errors were found; one whose cause was said counts as found."""
    count = Counter(outcome for case in among for name, outcome in case.faults.items() if keep(case, name))
    return Share(count["found"] + count["explained"], count["false"], count["missed"])


def verdicts(among: Iterable[Case], quantity: str | None = None) -> Counter[str]:
    """Return how many verdicts were right, wrong and undetermined."""
    return Counter(outcome for case in among for name, outcome in case.verdicts if quantity in (None, name))


def kinds_flown(among: Iterable[Case]) -> list[str]:
    """Return the kinds flown, in the usual order."""
    flown = {case.flown for case in among}
    return [kind for kind in KINDS if kind in flown]
