"""Consistency by verdicts, the instructor's first; errors that grow rarer. Outside check: scipy's beta."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from groundref.progress import progress
from groundref.progress.lasting import probability_rarer
from tests.progress.invented import element, lesson, maneuver


def judged(*verdicts):
    """Return lessons, each with the verdicts of its maneuvers; `own:` before the instructor's."""
    lessons = []
    for n, each in enumerate(verdicts, 1):
        flown = [
            element(verdict="undetermined", own=verdict[4:])
            if verdict.startswith("own:")
            else element(verdict=verdict)
            for verdict in each.split()
        ]
        lessons.append(lesson(n, *(maneuver(one, number=k) for k, one in enumerate(flown, 1))))
    return progress("a student", lessons).maneuvers[0].elements[0].last_three


@pytest.mark.parametrize(
    ("verdicts", "says"),
    [
        (("not-met", "met", "met", "met"), "met"),
        (("met", "met", "not-met"), "not-met"),
        (("met", "undetermined", "met"), "undetermined"),
        (("met", "own:met", "met"), "met"),
        (("met", "own:not-met", "met"), "not-met"),
        (("met", "met not-met", "met"), "not-met"),
        (("met", "met undetermined", "met"), "undetermined"),
        (("met", "met"), "too-few"),
    ],
)
def test_three_lessons_together(verdicts, says):
    assert judged(*verdicts).says == says


def test_the_last_three_are_the_latest_with_their_days():
    told = judged("not-met", "met", "undetermined", "met")
    assert told.verdicts == ("met", "undetermined", "met")
    assert told.dates == ("2026-05-10", "2026-05-17", "2026-05-24")


@given(st.integers(1, 20), st.data())
@settings(max_examples=25, deadline=None)
def test_probability_of_being_rarer_is_that_of_two_betas(of, data):
    earlier, later = (data.draw(st.integers(0, of)) for _ in range(2))
    before, after = (stats.beta(k + 0.5, of - k + 0.5) for k in (earlier, later))
    # Over the quantiles of the earlier rate, so that its peaks at 0 and 1 need no care.
    expected = after.cdf(before.ppf((np.arange(4000) + 0.5) / 4000)).mean()
    assert probability_rarer(earlier, later, of) == pytest.approx(expected, abs=2e-3)


@given(st.integers(1, 30), st.data())
def test_what_is_rarer_turned_round_is_more_often(of, data):
    earlier, later = (data.draw(st.integers(0, of)) for _ in range(2))
    assert probability_rarer(earlier, later, of) + probability_rarer(later, earlier, of) == pytest.approx(1.0)


def test_errors_are_counted_by_lesson_and_told_when_rarer():
    lessons = [
        lesson(
            n, maneuver(element(), faults=("wrong-crab",) if n < 5 else ()), maneuver(element(), faults=())
        )
        for n in range(1, 9)
    ]
    (told,) = progress("a student", lessons).maneuvers[0].faults
    assert (told.fault, told.lessons, told.of, told.earlier, told.later) == ("wrong-crab", 4, 8, 4, 0)
    assert told.says == "rarer"
    assert told.last == "2026-05-24"


def test_an_error_in_two_lessons_and_then_not_is_not_yet_rarer():
    lessons = [lesson(n, maneuver(element(), faults=("wrong-crab",) if n < 2 else ())) for n in range(1, 4)]
    assert progress("a student", lessons).maneuvers[0].faults[0].says == "undetermined"
