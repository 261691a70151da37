"""One explanation of a whole flight out of many that compete for its parts.

An explanation is a set of candidates no two of which overlap; what they leave over is ordinary flying. Its
probability is taken as proportional to the product of their odds,

    P(set) ∝ exp(Σ log-odds of its members),

so two readings of one stretch share it according to their evidence, and one long candidate is weighed against
any combination of shorter ones in its place. Every such set is summed over by one pass forward and one
backward in time, as for a hidden Markov chain: with the candidates sorted by their ends, let F(t) be the sum
over all sets that lie before t, and B(t) over those after. A candidate's probability, the share of the sets
that hold it, is then

    p = F(start) · exp(log-odds) · B(end) / F(∞).

The explanation given is the likeliest set. Of it are reported the candidates in whose stretch something was
flown with more than one half: p of the candidate and of the maneuvers that explain the same stretch. So when
an eight was flown for sure, but one of two kinds, the likelier is reported with its p, and the other named
beside it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.detection.candidate import Candidate

Floats = NDArray[np.float64]

SAME_STRETCH: Final = 0.7  # of their time in common, from which two candidates explain the same stretch
WORTH_NAMING: Final = 0.05  # probability from which another reading is named
TOUCH: Final = 2.0  # [s] by which two stretches may overlap: the end of one roll is the beginning of the next


@dataclass(frozen=True, slots=True)
class Explained:
    """One candidate of the explanation given.

    Attributes
    ----------
    candidate
        The candidate.
    probability
        Of the candidate, given all others.
    alternatives
        Other maneuvers that the same stretch may have been, with their probabilities, likeliest first.
    """

    candidate: Candidate
    probability: float
    alternatives: tuple[tuple[str, float], ...]


def explain(candidates: Sequence[Candidate]) -> list[Explained]:
    """Return the candidates that explain the flight, in the order flown.

    Parameters
    ----------
    candidates
        In any order.
    """
    if not candidates:
        return []
    start, end, odds = _spans(candidates)
    probability = probabilities(candidates)
    maneuver = np.array([one.build is not None for one in candidates])
    explained = []
    for i in _likeliest(start, end, odds):
        beside = (start < end[i]) & (end > start[i]) & maneuver
        beside[i] = False
        others = np.flatnonzero(beside)
        same = others[_shared(start, end, i, others) >= SAME_STRETCH]
        if probability[i] + probability[same].sum() <= 0.5:
            continue
        named: dict[str, float] = {}
        for j in others.tolist():
            kind = candidates[j].kind
            named[kind] = named.get(kind, 0.0) + float(probability[j])
        named.pop(candidates[i].kind, None)
        told = sorted(((k, p) for k, p in named.items() if p >= WORTH_NAMING), key=lambda pair: -pair[1])
        explained.append(Explained(candidates[i], float(probability[i]), tuple(told)))
    return explained


def probabilities(candidates: Sequence[Candidate]) -> Floats:
    """Return the probability of each candidate given all others.

    Parameters
    ----------
    candidates
        In any order.
    """
    if not candidates:
        return np.empty(0)
    start, end, odds = _spans(candidates)
    before, total = _sums(start, end, odds)
    after, _ = _sums(-end, -start, odds)
    return np.asarray(np.exp(before + odds + after - total), dtype=np.float64)


def _spans(candidates: Sequence[Candidate]) -> tuple[Floats, Floats, Floats]:
    """Return start, end less what may be shared with the next one, and log-odds of each candidate."""
    start = np.array([one.start for one in candidates])
    end = np.maximum(np.array([one.end for one in candidates]) - TOUCH, start)
    return start, end, np.array([one.log_odds for one in candidates])


def _shared(start: Floats, end: Floats, one: int, others: NDArray[np.intp]) -> Floats:
    """Return how much of the time of either of two stretches both have in common."""
    common = np.minimum(end[one], end[others]) - np.maximum(start[one], start[others])
    whole = np.maximum(end[one], end[others]) - np.minimum(start[one], start[others])
    return np.asarray(common / np.maximum(whole, 1e-9), dtype=np.float64)


def _likeliest(start: Floats, end: Floats, odds: Floats) -> list[int]:
    """Return the members of the likeliest set, in the order flown."""
    order = np.argsort(end, kind="stable")
    ends = end[order]
    best: list[tuple[float, tuple[int, ...]]] = [(0.0, ())]
    for k, i in enumerate(order.tolist()):
        before, members = best[int(np.searchsorted(ends[:k], start[i], side="right"))]
        taken = (before + float(odds[i]), (*members, i))
        best.append(taken if taken[0] > best[-1][0] else best[-1])
    return list(best[-1][1])


def _sums(start: Floats, end: Floats, odds: Floats) -> tuple[Floats, float]:
    """Return for each candidate the log of the sum over all sets that end before it, and over all sets."""
    order = np.argsort(end, kind="stable")
    ends = end[order]
    sums = [0.0]  # over the sets among the first 0, 1, 2, ... candidates in the order of their ends
    before = np.empty(start.size)
    for i in order.tolist():
        before[i] = sums[int(np.searchsorted(ends[: len(sums) - 1], start[i], side="right"))]
        sums.append(float(np.logaddexp(sums[-1], odds[i] + before[i])))
    return before, sums[-1]
