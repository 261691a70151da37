"""The value that decides, and that it never contradicts its verdict."""

from __future__ import annotations

from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy.stats import norm

from groundref.assessment.assessed import ElementResult
from groundref.assessment.decisive import LIKELY, decide, margin
from groundref.units import foot, knot

from .synthetic import Case, changed, flight, judged

size = 12


@given(
    arrays(np.float64, size, elements=st.floats(-50.0, 200.0)),
    arrays(np.float64, size, elements=st.floats(0.1, 80.0)),
    st.sampled_from([-np.inf, 0.0]),
)
def test_the_value_stated_agrees_with_the_verdict(
    value: np.ndarray[tuple[int], np.dtype[np.float64]],
    sd: np.ndarray[tuple[int], np.dtype[np.float64]],
    low: float,
) -> None:
    """By its own interval alone the value stated is outside, inside, or neither."""
    high = 100.0
    verdict, at = decide(value, sd, low, high)
    least, most = value[at] - margin * sd[at], value[at] + margin * sd[at]
    outside, inside = least > high or most < low, low <= least and most <= high
    assert verdict == ("not-met" if outside else "met" if inside else "undetermined")
    every_inside = np.all((value - margin * sd >= low) & (value + margin * sd <= high))
    some_outside = np.any((value - margin * sd > high) | (value + margin * sd < low))
    assert verdict == ("not-met" if some_outside else "met" if every_inside else "undetermined")


def test_a_verdict_is_given_from_nine_in_ten_on() -> None:
    """The margin is the normal quantile of 0.9, by two libraries; 1.2816 stands in tables of it."""
    assert LIKELY == 0.9
    assert margin == pytest.approx(NormalDist().inv_cdf(LIKELY), abs=1e-12)
    assert margin == pytest.approx(float(norm.ppf(LIKELY)), abs=1e-12)
    assert margin == pytest.approx(1.2816, abs=5e-5)
    one = np.array([1.0])
    assert decide(np.array([10.0 + 1.0001 * margin]), one, -np.inf, 10.0)[0] == "not-met"
    assert decide(np.array([10.0 - 1.0001 * margin]), one, -np.inf, 10.0)[0] == "met"
    assert decide(np.array([10.0 + 0.9999 * margin]), one, -np.inf, 10.0)[0] == "undetermined"
    assert decide(np.array([10.0 - 0.9999 * margin]), one, -np.inf, 10.0)[0] == "undetermined"


def test_such_verdicts_on_one_value_are_right_nine_in_ten_times_at_least() -> None:
    """Truth anywhere about a limit, measured with the stated error: of what is said, 90 % and more is right.

    20,000 values: the share has a standard deviation of 0.2 %.
    """
    chance = np.random.default_rng(5)
    truth = chance.uniform(-6.0, 6.0, 20_000)
    seen = truth + chance.standard_normal(truth.size)
    verdicts = [decide(np.array([value]), np.array([1.0]), -np.inf, 0.0)[0] for value in seen]
    said = np.array([verdict != "undetermined" for verdict in verdicts])
    right = np.array([verdict == "met" for verdict in verdicts]) == (truth <= 0.0)
    assert right[said].mean() > 0.9
    near = said & (
        np.abs(np.abs(seen) - margin) < 0.05
    )  # those that are hardly sure enough: just nine in ten
    assert right[near].mean() == pytest.approx(0.9, abs=0.04)


def test_a_larger_but_less_certain_value_is_not_the_one_stated() -> None:
    """16.2 ± 9.8 says nothing about 10; it is 13 ± 1 that is outside."""
    assert decide(np.array([16.2, 13.0, np.nan]), np.array([9.8, 1.0, 1.0]), -np.inf, 10.0) == ("not-met", 1)


def test_the_largest_value_that_supports_the_verdict_is_the_one_stated() -> None:
    """14 ± 1.5 is as surely over 10 as 12 ± 0.5 is; of what is within 45, 39 ± 1 is more than 38 ± 2."""
    assert decide(np.array([12.0, 14.0]), np.array([0.5, 1.5]), -np.inf, 10.0) == ("not-met", 1)
    assert decide(np.array([38.0, 39.0, np.nan]), np.array([2.0, 1.0, 1.0]), -np.inf, 45.0) == ("met", 1)
    assert decide(np.array([590.0, 1050.0, 550.0]), np.array([1.0, 9.0, 5.0]), 600.0, 1000.0) == (
        "not-met",
        1,
    )


def test_the_slowest_is_said_when_it_is_sure_too() -> None:
    element, sizes, why = airspeed_case(13.0, largest_sd=2.5)
    assert element.worst == pytest.approx(16.2)
    assert "16.2 kt" in why
    assert sizes == ["16.2"]


def airspeed_case(sure_kt: float, largest_sd: float = 9.8) -> tuple[ElementResult, list[str], str]:
    states, maneuver = flight(Case(noise=0.0))
    clock = states.time - maneuver.start
    deviation = 16.2 * ((clock > 20) & (clock < 30)) + sure_kt * ((clock > 45) & (clock < 55))
    sd = np.where((clock > 20) & (clock < 30), largest_sd, 0.5)
    slow = changed(
        states,
        true_airspeed=states.true_airspeed - deviation * knot,
        true_airspeed_sd=sd * knot,
        airspeed_source="measured",
    )
    result = judged(slow, maneuver)
    element = next(each for each in result.elements if each.what.startswith("airspeed"))
    findings = [each for each in result.findings if each.fault == "airspeed-not-held"]
    return element, [f"{each.size:.1f}" for each in findings], element.why


def test_verdict_finding_and_sentence_are_of_one_sample() -> None:
    element, sizes, why = airspeed_case(13.0)
    assert element.verdict == "not-met"
    assert element.worst == pytest.approx(13.0)
    assert "13.0 kt" in why
    assert sizes == ["13.0"]


def test_no_finding_without_support() -> None:
    element, sizes, _ = airspeed_case(3.0, 14.0)
    assert element.verdict == "undetermined"
    assert element.worst == pytest.approx(16.2)
    assert sizes == []


@given(st.floats(80.0, 300.0), st.floats(1.0, 60.0))
def test_altitude_not_met_always_has_its_finding(height_ft: float, sd_ft: float) -> None:
    states, maneuver = flight(Case(noise=0.0, laps=1.0))
    low = states.altitude - height_ft * foot * (states.time > maneuver.start + 20.0)
    result = judged(
        changed(states, altitude=low, altitude_sd=np.full(len(states), sd_ft * foot)),
        maneuver,
    )
    element = next(each for each in result.elements if each.what.startswith("altitude"))
    found = [each for each in result.findings if each.fault == "altitude-not-held"]
    if element.verdict == "not-met":
        assert len(found) == 1
        assert found[0].size == pytest.approx(element.worst)
        assert found[0].size_sd == pytest.approx(element.worst_sd)
