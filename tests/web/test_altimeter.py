"""The altimeter setting of a form, in either unit: an inch of mercury is 3386.389 Pa (NIST SP 811)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundref.errors import UsageError
from groundref.web import altimeter

INCH = 33.86389  # hPa


@pytest.mark.parametrize(
    ("text", "hpa"),
    [
        ("", None),
        ("1013.25", 1013.25),
        ("1013,25", 1013.25),
        ("Q0998", 998.0),
        ("q1013", 1013.0),
        ("850", 850.0),
        ("1083", 1083.0),
        ("29.92", 29.92 * INCH),
        (" 29,92 ", 29.92 * INCH),
        ("A3002", 30.02 * INCH),
        ("25", 25 * INCH),
        ("32", 32 * INCH),
    ],
)
def test_a_setting_is_read_in_either_unit(text: str, hpa: float | None) -> None:
    assert altimeter.read(text, "") == (None if hpa is None else pytest.approx(hpa, rel=1e-12))


@pytest.mark.parametrize("text", ["24.9", "32.1", "849", "1084", "0", "-29.92", "A2400", "Q0700"])
def test_what_is_neither_names_both_ranges(text: str) -> None:
    with pytest.raises(UsageError) as refused:
        altimeter.read(text, "")
    assert refused.value.what == f"{text} is out of range"
    assert refused.value.remedy == "give 850 to 1083 hPa or 25 to 32 inHg"


@pytest.mark.parametrize("text", ["high", "A29", "Q10133", "nan", "29.92 in"])
def test_what_is_no_number_is_said(text: str) -> None:
    with pytest.raises(UsageError, match="is not a number"):
        altimeter.read(text, "")


@given(st.integers(2500, 3200))
def test_inches_are_shown_as_they_were_typed_and_sent_again_exactly(hundredths: int) -> None:
    text = f"{hundredths / 100:.2f}"
    kept = altimeter.read(text, "")
    assert altimeter.shown(kept) == text
    assert altimeter.read(altimeter.shown(kept), "") == kept


@given(st.floats(850, 1083))
def test_what_is_kept_is_never_changed_by_showing_it(hpa: float) -> None:
    assert altimeter.read(altimeter.shown(hpa), "") == hpa


@given(st.integers(8500, 10830))
def test_hectopascals_stay_hectopascals(tenths: int) -> None:
    assert float(altimeter.shown(tenths / 10)) == tenths / 10
