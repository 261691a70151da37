"""Moments against the standard library's own reader of ISO 8601."""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groundref.readers._times import clock_seconds, iso_moments, numeric_moments, over_midnight

moments = st.datetimes(datetime(1971, 1, 1), datetime(2100, 1, 1))


@settings(max_examples=60)
@given(
    st.lists(moments, min_size=1, max_size=8),
    st.sampled_from(["seconds", "milliseconds", "microseconds"]),
    st.sampled_from(["Z", "", "+00:00", "+05:30", "-06:00"]),
    st.sampled_from(["T", " "]),
)
def test_stamps_of_one_shape(drawn, digits, zone, between):
    texts = [moment.isoformat(between, digits) + zone for moment in drawn]
    expected = [
        (read if (read := datetime.fromisoformat(text)).tzinfo else read.replace(tzinfo=UTC)).timestamp()
        for text in texts
    ]
    found = iso_moments(texts)
    assert found.seconds == pytest.approx(expected, abs=2e-6, rel=0)
    assert found.without_zone == (0 if zone else len(texts))


@pytest.mark.parametrize(
    "odd",
    ["2026-02-30T12:00:00Z", "2026-05-01T24:61:00Z", "20x6-05-01T12:00:00Z", "", "é", "2026-05-01T12:00:00X"],
)
def test_one_odd_stamp_spoils_no_other(odd):
    found = iso_moments(["2026-05-01T12:00:00Z", odd, "2026-05-01T12:00:01Z"]).seconds
    assert np.isnan(found).tolist() == [False, True, False]
    assert found[2] - found[0] == 1.0


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("00:00:00", 0.0),
        ("23:59:59.5", 86399.5),
        ("9:05", 32700.0),
        ("12:00:00 AM", 0.0),
        ("12:00 pm", 43200.0),
        ("1:30:15 p.m.", 48615.0),
        ("235959.25", 86399.25),
        ("12:00:00Z", 43200.0),
        ("24:00:00", np.nan),
        ("12:60:00", np.nan),
        ("13:00 pm", np.nan),
        ("noon", np.nan),
    ],
)
def test_times_of_day(text, seconds):
    assert clock_seconds([text, "00:00:00"]) == pytest.approx([seconds, 0.0], nan_ok=True)


@pytest.mark.parametrize("factor", [1.0, 1e3, 1e6, 1e9])
def test_the_size_of_a_number_tells_its_unit(factor):
    counted = np.array([1777636800.0, np.nan, 1777636801.0]) * factor
    assert numeric_moments(counted, None) == pytest.approx([1777636800.0, np.nan, 1777636801.0], nan_ok=True)


def test_midnight_is_passed_forward_once_and_disorder_across_it_is_kept():
    clock = np.array([86398.0, np.nan, 86399.0, 1.0, 86399.5, 2.0])
    assert over_midnight(clock) == pytest.approx(
        [86398.0, np.nan, 86399.0, 86401.0, 86399.5, 86402.0], nan_ok=True
    )
