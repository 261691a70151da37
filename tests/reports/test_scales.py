from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundref.reports.scales import Scale, bar_length, bar_words, round_step, second_ticks, span, thin, ticks


def test_a_scale_maps_its_ends():
    scale = Scale(10.0, 30.0, 200.0, 0.0)
    np.testing.assert_allclose(scale([10.0, 20.0, 30.0]), [200.0, 100.0, 0.0])


@given(st.floats(-1e5, 1e5), st.floats(0.1, 1e5), st.integers(1, 12))
def test_ticks_are_round_inside_and_about_as_many_as_asked(low, width, about):
    found = ticks(low, low + width, about)
    assert len(found) <= about + 1
    assert all(low - 1e-6 * width <= t <= low + width + 1e-6 * width for t in found)
    step = round_step(width / about)
    np.testing.assert_allclose(np.asarray(found) / step, np.round(np.asarray(found) / step), atol=1e-6)


def test_steps_of_time_are_those_of_a_clock():
    assert second_ticks(3.0, 100.0, 5) == [30.0, 60.0, 90.0]


def test_a_span_holds_everything_and_passes_over_what_is_missing():
    low, high = span(np.array([np.nan, 3.0, 9.0]), None, 12.0, least=1.0)
    assert low < 3.0
    assert high > 12.0
    assert span(np.array([np.nan]), least=5.0) == (0.0, 5.0)


def test_a_span_is_never_so_narrow_that_noise_looks_like_motion():
    low, high = span(np.array([7.0, 7.1]), least=100.0)
    assert high - low >= 100.0


def test_a_thinned_line_stays_within_what_can_be_seen():
    angle = np.linspace(0, 2 * np.pi, 50_000)
    x, y = 250 * np.cos(angle), 250 * np.sin(angle)
    kept = thin(x, y, 1.0)
    assert kept.size < 1700  # the circumference is 1571 steps of one
    assert kept[0] == 0
    assert kept[-1] == x.size - 1
    assert np.hypot(np.diff(x[kept]), np.diff(y[kept])).max() < 1.1


def test_a_thinned_line_keeps_its_breaks():
    x = np.array([0.0, 0.01, np.nan, 5.0, 5.01, 5.02])
    kept = thin(x, np.zeros(6), 1.0)
    assert np.isnan(x[kept]).sum() == 1
    assert {1, 3} <= set(kept.tolist())


@pytest.mark.parametrize(("longest", "bar"), [(170.0, 100.0), (499.0, 200.0), (500.0, 500.0), (0.0, 0.0)])
def test_bars_are_round_and_fit(longest, bar):
    assert bar_length(longest) == bar


@pytest.mark.parametrize(
    ("length", "unit", "said"),
    [(500.0, "m", "500 m"), (1000.0, "m", "1 km"), (5000.0, "m", "5 km"), (5000.0, "ft", "5,000 ft")],
)
def test_a_bar_of_whole_kilometers_says_so(length, unit, said):
    assert bar_words(length, unit) == said
