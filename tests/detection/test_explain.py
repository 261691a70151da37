"""One explanation of a flight out of many that compete."""

from __future__ import annotations

from itertools import combinations
from math import exp

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundref.detection.candidate import Candidate
from groundref.detection.explain import TOUCH, explain, probabilities

candidates = st.lists(
    st.builds(
        lambda start, length, odds: Candidate("any", start, start + length, odds),
        st.floats(0.0, 100.0),
        st.floats(5.0, 60.0),
        st.floats(-6.0, 6.0),
    ),
    max_size=7,
)


def _overlap(one: Candidate, other: Candidate) -> bool:
    return one.start < max(other.end - TOUCH, other.start) and other.start < max(one.end - TOUCH, one.start)


@given(candidates)
def test_probabilities_are_those_of_summing_over_every_set(given_ones: list[Candidate]) -> None:
    weight, total = np.zeros(len(given_ones)), 0.0
    for size in range(len(given_ones) + 1):
        for members in combinations(range(len(given_ones)), size):
            if any(_overlap(given_ones[i], given_ones[j]) for i, j in combinations(members, 2)):
                continue
            odds = exp(sum(given_ones[i].log_odds for i in members))
            total += odds
            weight[list(members)] += odds
    np.testing.assert_allclose(probabilities(given_ones), weight / total, rtol=1e-9, atol=1e-12)


@given(candidates)
def test_what_is_chosen_never_overlaps(given_ones: list[Candidate]) -> None:
    chosen = [one for one, _ in explain(given_ones)]
    assert not any(_overlap(one, other) for one, other in combinations(chosen, 2))


def test_alone_a_candidate_has_the_probability_of_its_odds() -> None:
    (pair,) = explain([Candidate("any", 0.0, 60.0, 3.0)])
    assert pair[1] == pytest.approx(1.0 / (1.0 + exp(-3.0)))


def test_two_equal_readings_of_one_stretch_leave_it_open() -> None:
    assert explain([Candidate("one", 0.0, 60.0, 4.0), Candidate("other", 0.0, 60.0, 4.0)]) == []
