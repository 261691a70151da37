"""Trends: true ones are found, none is made of two lessons, and the stated intervals hold what is true.

Outside checks: scipy's `theilslopes` (Theil 1950, Sen 1968) and its Student distribution and minimizer; the
posterior is summed once more by brute force.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats
from scipy.optimize import minimize

from groundref.progress.fitting import SPREAD, fits
from groundref.progress.pooling import _USUAL
from groundref.progress.rows import Row, padded
from groundref.progress.trends import _SIZES, NO_PRIOR, trends

FIGURES = st.lists(st.floats(0.05, 4.0), min_size=2, max_size=10)


def rows(y, sd=0.1):
    return [Row(n, float(value), sd, ()) for n, value in enumerate(y, 1)]


def one(y, sd=0.1, limit=1.0):
    return trends([rows(y, sd)], [limit])[0][0]


@given(FIGURES)
@settings(max_examples=60, deadline=None)
def test_lessons_in_reverse_have_the_opposite_trend(y):
    there, back = one(y), one(y[::-1])
    assert back.a_lesson == pytest.approx(-there.a_lesson, abs=1e-3 + 0.02 * there.a_lesson_sd)
    assert back.a_lesson_sd == pytest.approx(there.a_lesson_sd, rel=0.02)


@given(FIGURES, st.floats(0.01, 1000.0))
@settings(max_examples=60, deadline=None)
def test_another_unit_is_only_another_unit(y, unit):
    plain, scaled = one(y), one([unit * value for value in y], 0.1 * unit, unit)
    for name in ("a_lesson", "a_lesson_sd", "low", "high", "now", "now_sd", "scatter"):
        assert getattr(scaled, name) == pytest.approx(unit * getattr(plain, name), rel=1e-6, abs=1e-9 * unit)
    assert scaled.says == plain.says


@given(st.floats(0.05, 4.0), st.floats(0.05, 4.0))
@settings(max_examples=60, deadline=None)
def test_two_lessons_alone_are_no_trend(first, second):
    assert one([first, second]).says == "undetermined"


def test_two_lessons_of_many_elements_are_no_trend_either():
    told, _ = trends([rows([1.5, 0.9]) for _ in range(12)], [1.0] * 12)
    assert {trend.says for trend in told} == {"undetermined"}


@given(FIGURES)
@settings(max_examples=60, deadline=None)
def test_a_lesson_that_says_nothing_new_is_worth_no_more_than_a_lesson(y):
    before = one(y)
    on_it = before.now + before.a_lesson
    after = one([*y, on_it])
    # Of n even lessons the sum of squares about the middle is (n³ − n)/12, and one degree of freedom is won.
    n = len(y)
    gain = np.sqrt((n**3 - n) / ((n + 1) ** 3 - n - 1)) * np.sqrt(max(n - 2, 1) / (n - 1))
    assert after.a_lesson_sd > 0.7 * gain * before.a_lesson_sd


def test_a_bad_day_hardly_moves_a_trend():
    y = [1.6, 1.5, 1.35, 1.25, 1.1, 1.05, 0.9, 0.8]
    worse = [*y[:6], 3.2, y[7]]
    plain, moved = one(y), one(worse)
    assert abs(moved.a_lesson - plain.a_lesson) < 0.03
    assert moved.says == plain.says == "smaller"
    assert abs(np.polyfit(range(8), worse, 1)[0] - plain.a_lesson) > 0.1  # what least squares would say


def test_no_change_over_many_lessons_is_called_steady():
    random = np.random.default_rng(3)
    assert one(0.4 + 0.03 * random.standard_normal(12), 0.02).says == "steady"


def test_what_is_measured_poorly_is_told_less_surely():
    y = [1.4, 1.2, 1.1, 0.9, 0.85, 0.6]
    assert one(y, 0.6).a_lesson_sd > 1.5 * one(y, 0.05).a_lesson_sd


def test_the_lines_are_those_of_greatest_likelihood():
    y = [1.5, 1.42, 1.2, 2.9, 1.02, 0.8, 0.78]
    table = padded([rows(y, 0.12)], [1.0], [lambda row: float(row.at)])
    found = fits(table, NO_PRIOR)
    t = np.arange(1, 8)
    for n, scatter in enumerate(found.scatter[0]):
        scale = np.hypot(scatter, 0.12)
        best = minimize(
            lambda beta, s=scale: -stats.t.logpdf((y - beta[0] - beta[1] * t) / s, 4).sum(),
            found.coefficients[0, n],
            method="Nelder-Mead",
            options={"xatol": 1e-8, "fatol": 1e-12},
        )
        sd = np.sqrt(np.diag(found.covariance[0, n]))
        assert np.all(np.abs(found.coefficients[0, n] - best.x) < 0.03 * sd)


@pytest.mark.parametrize("y", [[1.5, 1.3, 1.0], [1.6, 1.2, 1.3, 0.9, 2.5, 0.7], [0.5, 0.9, 0.4, 0.8, 0.6]])
def test_the_posterior_is_that_of_summing_by_brute_force(y):
    """All four unknowns on even grids, the likelihood that of scipy: nothing is taken about a maximum."""
    t, sd = np.arange(len(y)) - (len(y) - 1) / 2, 0.1
    a = np.linspace(-3.0, 5.0, 121)[:, None, None]
    b = np.linspace(-1.5, 1.5, 241)[None, :, None]
    log_scatter = np.linspace(np.log(0.005), np.log(8.0), 36)
    left = np.asarray(y) - a - b * t
    likely = np.stack(
        [stats.t.logpdf(left, 4, scale=np.hypot(np.exp(each), sd)).sum(axis=-1) for each in log_scatter]
    )
    likely = np.exp(likely - likely.max()).sum(axis=1)  # scatter, slope
    usual = np.exp(-0.5 * ((log_scatter[:, None] - np.log(_USUAL)) / SPREAD) ** 2).sum(axis=1)
    slopes = b.ravel()
    prior = (np.exp(-0.5 * (slopes / _SIZES[:, None]) ** 2) / _SIZES[:, None]).sum(axis=0)
    weight = (likely * usual[:, None]).sum(axis=0) * prior
    weight /= weight.sum()
    mean = float(weight @ slopes)
    spread = float(np.sqrt(weight @ (slopes - mean) ** 2))
    told = one(y, sd)
    assert told.a_lesson == pytest.approx(mean, abs=0.25 * spread)
    assert told.a_lesson_sd == pytest.approx(spread, rel=0.2)


def invented(random, lessons, heavy):
    """Return the slope of a line, about −0.05 limits a lesson, and figures about it."""
    scatter, slope = 0.3 * np.exp(0.6 * random.standard_normal()), -0.05 + 0.05 * random.standard_normal()
    days = random.standard_normal(lessons)
    days *= np.where(random.random(lessons) < 0.1, 4.0, 1.0) if heavy else 1.0
    return slope, 2.0 + slope * np.arange(lessons) + scatter * days + 0.1 * random.standard_normal(lessons)


@pytest.mark.parametrize("heavy", [False, True])
@pytest.mark.parametrize(("least", "most"), [(3, 5), (3, 12)])
def test_intervals_hold_the_truth_as_often_as_they_say(heavy, least, most):
    random = np.random.default_rng(20260503)
    held, held_now, errors, of_medians, wrong = [], [], [], [], []
    for _ in range(80):
        pairs = [invented(random, random.integers(least, most + 1), heavy) for _ in range(10)]
        told, _ = trends([rows(y) for _, y in pairs], [1.0] * len(pairs))
        for (slope, y), trend in zip(pairs, told, strict=True):
            held.append(trend.low <= slope <= trend.high)
            held_now.append(abs(trend.now - 2.0 - slope * (len(y) - 1)) <= 1.96 * trend.now_sd)
            errors.append(trend.a_lesson - slope)
            of_medians.append(stats.theilslopes(y).slope - slope)
            wrong.append(trend.says == ("larger" if slope < 0.0 else "smaller"))
    assert 0.925 < np.mean(held) < 0.985
    assert 0.925 < np.mean(held_now) < 0.985
    assert np.mean(wrong) < 0.01
    # The median of slopes between pairs is as robust, but knows nothing of the other elements.
    assert np.std(errors) < 0.6 * np.std(of_medians)


def test_with_many_even_lessons_the_slope_is_that_of_medians():
    random = np.random.default_rng(7)
    for _ in range(20):
        y = 1.5 - 0.06 * np.arange(12) + 0.08 * random.standard_normal(12)
        trend, other = one(y, 0.02), stats.theilslopes(y)
        assert abs(trend.a_lesson - other.slope) < 1.5 * trend.a_lesson_sd
        assert trend.says == "smaller"
