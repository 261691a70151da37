"""A finding beside a verdict: what is not met is found, and what is found is as sure as the verdict on it."""

from __future__ import annotations

from dataclasses import replace
from math import radians

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundref.assessment.assess import assess
from groundref.assessment.assessed import Assessed, ElementResult, Finding
from groundref.assessment.faults import bank_over_limit
from groundref.assessment.flown import gather
from groundref.debriefing import debrief
from groundref.detection.maneuver import Maneuver
from groundref.estimation.states import States
from groundref.simulation import simulate
from groundref.standards.loading import load_standard
from groundref.units import degree, foot, knot

from .synthetic import Case, changed, flight, judged


def named(result: Assessed, fault: str) -> list[Finding]:
    return [each for each in result.findings if each.fault == fault]


def element(result: Assessed, begins: str) -> ElementResult:
    return next(each for each in result.elements if each.what.startswith(begins))


def off_altitude(feet: float, seconds: float, sd_ft: float) -> tuple[States, Maneuver]:
    """Higher by so much for so long, a while after the start."""
    states, maneuver = flight(Case(noise=0.0, laps=1.0))
    clock = states.time - maneuver.start
    high = (clock >= 20.0) & (clock < 20.0 + seconds)
    sd = np.full(len(states), sd_ft * foot / np.sqrt(2.0))  # of the deviation from the start: sd_ft
    return changed(states, altitude=states.altitude + feet * foot * high, altitude_sd=sd), maneuver


@given(st.floats(46.0, 60.0), st.floats(0.2, 4.0))
def test_bank_over_the_limit_is_found_when_and_only_when_not_met(bank_deg: float, sd_deg: float) -> None:
    states, maneuver = flight(Case(noise=0.0, laps=1.0))
    steep = np.abs(states.time - maneuver.start - 25.0) < 3.0
    result = judged(
        changed(
            states,
            bank=np.where(steep, bank_deg * degree, states.bank),
            bank_sd=np.full(len(states), sd_deg * degree),
        ),
        maneuver,
    )
    verdict, found = element(result, "bank not above"), named(result, "bank-over-limit")
    assert bool(found) == (verdict.verdict == "not-met")
    if found:
        assert verdict.worst == pytest.approx(45.0 + found[0].size)
        assert verdict.worst_sd == pytest.approx(found[0].size_sd)


@given(st.floats(900.0, 1200.0), st.floats(1.0, 60.0))
def test_height_outside_the_band_is_found_when_and_only_when_not_met(height_ft: float, sd_ft: float) -> None:
    states, maneuver = flight(Case(noise=0.0, laps=1.0))
    high = changed(
        states,
        height=np.full(len(states), height_ft * foot),
        height_sd=np.full(len(states), sd_ft * foot),
    )
    result = judged(high, maneuver)
    verdict, found = element(result, "height between"), named(result, "outside-height-band")
    assert bool(found) == (verdict.verdict == "not-met")


def test_what_is_soon_over_and_not_surely_outside_is_not_talked_about() -> None:
    assert named(judged(*off_altitude(76.0, 2.0, 16.0)), "altitude-not-held") == []
    assert named(judged(*off_altitude(100.0, 3.0, 16.0)), "altitude-not-held") == []
    assert len(named(judged(*off_altitude(150.0, 2.0, 16.0)), "altitude-not-held")) == 1


def test_what_is_soon_over_is_talked_about_where_it_is_surely_worth_a_word() -> None:
    """75 ft are worth a word: of 110 ft ± 16 ft the lower end of the one-sided 95 % interval is 84 ft."""
    result = judged(*off_altitude(110.0, 3.0, 16.0))
    assert element(result, "altitude").verdict == "undetermined"
    assert len(named(result, "altitude-not-held")) == 1


def test_what_cannot_be_told_and_is_not_probably_worth_a_word_is_not_talked_about() -> None:
    """75 ft are worth a word: more than that are 68 % of what 85 ft ± 21 ft stands for, and 82 % of 94 ft."""
    result = judged(*off_altitude(85.0, 15.0, 21.0))
    assert element(result, "altitude").verdict == "undetermined"
    assert named(result, "altitude-not-held") == []
    assert len(named(judged(*off_altitude(94.0, 15.0, 21.0)), "altitude-not-held")) == 1


@pytest.mark.parametrize(
    ("feet", "sd_ft", "verdict", "words"),
    [
        (150.0, 16.0, "not-met", "; 100 ft is the tolerance."),
        (110.0, 16.0, "undetermined", "; probably beyond the tolerance of 100 ft."),
        (
            90.0,
            16.0,
            "undetermined",
            "; near the tolerance of 100 ft, on which side cannot be told.",
        ),
        (85.0, 5.0, "met", "; near the tolerance of 100 ft, but inside it."),
    ],
)
def test_a_finding_is_as_sure_as_the_verdict(feet: float, sd_ft: float, verdict: str, words: str) -> None:
    result = judged(*off_altitude(feet, 15.0, sd_ft))
    assert element(result, "altitude").verdict == verdict
    (found,) = named(result, "altitude-not-held")
    assert found.says.endswith(words)


def test_a_tolerance_that_is_not_printed_is_not_called_the_tolerance() -> None:
    """The commercial standard prints none for turns around a point."""
    standard = load_standard("commercial-pilot")
    said = {
        feet: named(assess(*off_altitude(feet, 15.0, 10.0), standard, None), "altitude-not-held")[0].says
        for feet in (110.0, 200.0)
    }
    assert said[200.0].endswith("; 100 ft is usual, no limit is printed.")
    assert said[110.0].endswith("; probably beyond the usual 100 ft.")


@pytest.mark.parametrize(
    ("basis", "published", "words"),
    [
        ("standard", True, "the 45° allowed"),
        ("handbook", True, "the 45° advised"),
        ("practice", False, "the usual 45°"),
    ],
)
def test_a_limit_of_bank_is_said_as_binding_as_it_is(basis: str, published: bool, words: str) -> None:
    states, maneuver = flight(Case(noise=0.0, laps=1.0))
    steep = np.where(np.abs(states.time - maneuver.start - 25.0) < 3.0, 55.0 * degree, states.bank)
    standard = load_standard("private-pilot")
    task = standard.task(maneuver.kind)
    assert task is not None
    elements = tuple(
        replace(each, basis=basis, published=published) if each.quantity == "bank" else each
        for each in task.elements
    )
    own = replace(standard, tasks=(replace(task, elements=elements),))
    (found,) = named(assess(changed(states, bank=steep), maneuver, own, None), "bank-over-limit")
    assert f"more than {words}" in found.says


@pytest.mark.parametrize("seed", [1, 2])
def test_errors_that_explain_one_another_all_round_are_not_all_left_out(seed: int) -> None:
    """Too steep upwind, half circles unequal by it, and over the limit: the strongest is said."""
    recording, truth = simulate(
        "s-turns",
        wind_speed=25 * knot,
        wind_from=radians(90),
        faults={"overbanked-upwind": 10.0},
        seed=seed,
    )
    (one,) = debrief(recording, ground=truth.ground_elevation).maneuvers
    assert "overbanked-upwind" in [each.fault for each in one.findings]


@pytest.mark.parametrize(
    ("kind", "size", "wind_from", "wind_kt", "seed"),
    [("s-turns", 0.8, 200.0, 18.0, 17), ("s-turns", 1.0, 200.0, 18.0, 1)],
)
def test_no_number_is_said_where_there_is_none(
    kind: str, size: float, wind_from: float, wind_kt: float, seed: int
) -> None:
    recording, truth = simulate(
        kind,
        wind_speed=wind_kt * knot,
        wind_from=radians(wind_from),
        faults={"bank-held-constant": size},
        seed=seed,
    )
    (one,) = debrief(recording, ground=truth.ground_elevation).maneuvers
    assert [each.fault for each in one.findings] == ["bank-held-constant"]
    for finding in one.findings:
        assert "nan" not in finding.says + finding.cure


def test_a_wider_circle_is_the_cure_only_where_the_circle_needed_the_bank() -> None:
    """More than the limit is needed somewhere; where the limit was left, 43° were, or the most."""
    states, maneuver = flight(Case(noise=0.0, laps=1.0, wind=12.0, radius=330.0))
    flown = gather(states, maneuver, load_standard("private-pilot"), None)
    smallest = flown.smallest_radius()
    assert smallest is not None
    assert smallest > maneuver.radius  # the circle needs more than the limit somewhere
    for needed, cure in ((43.0, "Stop the roll earlier"), (60.0, "Fly a wider circle")):
        off = np.where(flown.steady, np.abs(flown.bank_needed - needed * degree), np.inf)
        at = int(np.argmin(off))
        bank = np.minimum(states.bank, 44.0 * degree)
        bank[maneuver.first + at] = 52.0 * degree
        steep = gather(changed(states, bank=bank), maneuver, load_standard("private-pilot"), None)
        found = bank_over_limit.find(steep)
        assert found is not None
        assert found.cure.startswith(cure)
        if needed < 45.0:  # one bank is said, the one needed there
            assert "the 43° that this circle needs there" in found.cure
            assert "45°" not in found.cure


def test_what_is_not_surely_outside_is_weighed_by_what_is_sure_of_it() -> None:
    """130 ft and 25 is can't tell and weighs less than 110 ft that is surely outside."""
    unsure, sure = (
        named(judged(*off_altitude(feet, 15.0, sd_ft)), "altitude-not-held")[0]
        for feet, sd_ft in ((130.0, 25.0), (110.0, 2.0))
    )
    assert "probably" in unsure.says
    assert unsure.strength < sure.strength
