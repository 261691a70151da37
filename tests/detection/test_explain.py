"""One explanation of a flight out of many that compete."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from math import exp

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundref.detection.candidate import Candidate
from groundref.detection.explain import TOUCH, explain, probabilities
from groundref.detection.maneuver import Maneuver

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
def test_what_is_chosen_never_overlaps_and_is_the_likeliest_set(given_ones: list[Candidate]) -> None:
    maneuvers = [replace(one, build=_never) for one in given_ones]
    chosen = [one.candidate for one in explain(maneuvers)]
    assert not any(_overlap(one, other) for one, other in combinations(chosen, 2))
    best = max(
        (
            sum(one.log_odds for one in members)
            for size in range(len(maneuvers) + 1)
            for members in combinations(maneuvers, size)
            if not any(_overlap(one, other) for one, other in combinations(members, 2))
        ),
        default=0.0,
    )
    # What is left out of the likeliest set is what was rather not flown at all.
    assert sum(one.log_odds for one in chosen) <= best + 1e-9
    assert all(one.log_odds > 0.0 for one in chosen)


def test_alone_a_candidate_has_the_probability_of_its_odds() -> None:
    (only,) = explain([Candidate("any", 0.0, 60.0, 3.0, _never)])
    assert only.probability == pytest.approx(1.0 / (1.0 + exp(-3.0)))
    assert only.alternatives == ()


def test_two_readings_of_one_stretch_share_it_and_the_other_is_named() -> None:
    (only,) = explain([Candidate("one", 0.0, 60.0, 4.2, _never), Candidate("other", 0.0, 60.0, 4.0, _never)])
    assert only.candidate.kind == "one"
    assert 0.5 < only.probability < 0.6
    assert [kind for kind, _ in only.alternatives] == ["other"]


def test_a_likelier_reading_as_ordinary_flying_leaves_nothing_to_report() -> None:
    explained = explain([Candidate("one", 0.0, 60.0, 3.0, _never), Candidate("ordinary", 0.0, 60.0, 5.0)])
    assert [one.candidate.kind for one in explained if one.candidate.build is not None] == []


def _never(confidence: float) -> Maneuver:
    raise AssertionError(confidence)
