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

Of two candidates that overlap at most one has p > ½: those that have are the explanation given, with p as
their confidence.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.detection.candidate import Candidate

Floats = NDArray[np.float64]

TOUCH: Final = 2.0  # [s] by which two stretches may overlap: the end of one roll is the beginning of the next


def explain(candidates: Sequence[Candidate]) -> list[tuple[Candidate, float]]:
    """Return the candidates that explain the flight, with their probabilities, in the order flown.

    Parameters
    ----------
    candidates
        In any order.
    """
    probability = probabilities(candidates)
    chosen = [(one, float(p)) for one, p in zip(candidates, probability, strict=True) if p > 0.5]
    return sorted(chosen, key=lambda pair: pair[0].start)


def probabilities(candidates: Sequence[Candidate]) -> Floats:
    """Return the probability of each candidate given all others.

    Parameters
    ----------
    candidates
        In any order.
    """
    if not candidates:
        return np.empty(0)
    start = np.array([one.start for one in candidates])
    end = np.maximum(np.array([one.end for one in candidates]) - TOUCH, start)
    odds = np.array([one.log_odds for one in candidates])
    before, total = _sums(start, end, odds)
    after, _ = _sums(-end, -start, odds)
    return np.asarray(np.exp(before + odds + after - total), dtype=np.float64)


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
