"""Measures left open in a sentence: each is rounded once, in the units of who reads it.

1 ft = 0.3048 m and 1 kt = 1.852 km/h exactly: NIST Special Publication 811 (2008), appendix B.8, from memory.
"""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants

from groundref import measures

FOOT, KNOT, KMH = constants.foot, constants.knot, constants.kmh


@pytest.mark.parametrize(
    ("written", "us", "si"),
    [
        (measures.length(150.0), "492 ft", "150 m"),
        (measures.length(4363.4 * FOOT), "4,363 ft", "1,330 m"),
        (measures.length(-3763.0 * FOOT), "−3,763 ft", "−1,147 m"),
        (measures.length(-0.2 * FOOT), "0 ft", "0 m"),
        (measures.about(121.3), "400 ft", "120 m"),
        (measures.at_least(121.3), "400 ft", "125 m"),
        (measures.at_least(400 * FOOT), "400 ft", "125 m"),
        (measures.lengths(600 * FOOT, 1000 * FOOT), "600 to 1,000 ft", "183 to 305 m"),
        (measures.length_sd(0.05), "1 ft", "1 m"),
        (measures.length_sd(19.0), "62 ft", "19 m"),
        (measures.speed(90 * KNOT), "90 kt", "167 km/h"),
        (measures.speed(12.34 * KNOT, 1), "12.3 kt", "22.9 km/h"),
        (measures.speed_in_both(98 * KNOT), "98 kt (181 km/h)", "181 km/h (98 kt)"),
        (measures.speed_sd(0.001, 1), "0.1 kt", "0.1 km/h"),
        (measures.stated_length(100 * FOOT), "100 ft", "30 m (100 ft)"),
        (measures.stated_lengths(6 * FOOT, 1000 * FOOT), "6 to 1,000 ft", "2 to 305 m (6 to 1,000 ft)"),
        (measures.stated_speed(10 * KNOT), "10 kt", "19 km/h (10 kt)"),
    ],
)  # fmt: skip
def test_a_measure_in_the_units_of_who_reads_it(written: str, us: str, si: str) -> None:
    assert measures.in_us(f"It is {written}, no more.") == f"It is {us}, no more."
    assert measures.in_metric(f"It is {written}, no more.") == f"It is {si}, no more."


@given(st.floats(-20_000.0, 20_000.0))
def test_a_length_is_rounded_once_in_either_unit(value: float) -> None:
    """Against the foot of scipy.constants, which the product does not use."""
    for read, size in ((measures.in_us, FOOT), (measures.in_metric, 1.0)):
        number = read(measures.length(value)).split(" ")[0].replace(",", "").replace("−", "-")
        assert abs(float(number) - value / size) <= 0.5 + 1e-9


@given(st.floats(1.0, 5000.0))
def test_what_to_keep_to_at_least_is_never_rounded_down(value: float) -> None:
    for read, size in ((measures.in_us, FOOT), (measures.in_metric, 1.0)):
        number = float(read(measures.at_least(value)).split(" ")[0].replace(",", ""))
        assert number * size >= value * (1.0 - 1e-6)


@given(st.floats(0.0, 3000.0), st.floats(0.0, 3000.0))
def test_a_difference_is_that_of_the_two_printed_beside_it(one: float, other: float) -> None:
    sentence = f"{measures.length(one)}, {measures.length(other)}: {measures.apart(one, other)}"
    for read in (measures.in_us, measures.in_metric):
        numbers = [int(each.replace(",", "")) for each in re.findall(r"[\d,]*\d", read(sentence))]
        assert abs(numbers[0] - numbers[1]) == numbers[2]


def test_text_without_measures_stays() -> None:
    for read in (measures.in_us, measures.in_metric):
        assert read("Lap 2, 24° at 14:05, 500 ft as typed") == "Lap 2, 24° at 14:05, 500 ft as typed"
