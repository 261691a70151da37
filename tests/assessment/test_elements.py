"""Verdicts: the limit, the worst value, and what the measurement can tell."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundref.assessment.assessed import ElementResult
from groundref.assessment.decisive import margin
from groundref.assessment.elements import judge
from groundref.assessment.flown import gather
from groundref.standards.loading import load_standard
from groundref.standards.standard import Element, Standard, Task
from groundref.units import foot, knot, standard_gravity

from .synthetic import Case, changed, flight


def standard_with(quantity: str, limit: float | None, unit: str, **more: object) -> Standard:
    settings: dict[str, object] = {"minimum": None, "published": True} | more
    element = Element(
        "X1", "something", quantity, limit, unit=unit, source="a page", confirmed=True, **settings
    )
    return Standard("own", "Own", "own", "1", "", (Task("turns-around-a-point", "Turns", (element,)),))


def verdict(standard: Standard, **channels: object) -> ElementResult:
    states, maneuver = flight(Case(noise=0.0))
    return judge(gather(changed(states, **channels), maneuver, standard, None))[0]


@given(st.floats(0.0, 250.0), st.floats(0.5, 60.0))
def test_altitude_verdict_follows_the_interval(size: float, sd: float) -> None:
    """Undetermined exactly while 100 ft lies within 1.2816 standard deviations of the worst value."""
    states, maneuver = flight(CASE)
    time = states.time - maneuver.start
    altitude = 400.0 - size * foot * (time > 30)
    each = np.full(len(states), sd * foot / np.sqrt(2.0))
    result = judge(
        gather(
            changed(states, altitude=altitude, altitude_sd=each),
            maneuver,
            standard_with("altitude", 100, "ft"),
            None,
        )
    )[0]
    expected = (
        "met" if size + margin * sd <= 100 else "not-met" if size - margin * sd > 100 else "undetermined"
    )
    assert result.worst == pytest.approx(size, abs=1e-6)
    assert result.worst_sd == pytest.approx(sd)
    if abs(abs(size - 100) - margin * sd) > 1e-6:
        assert result.verdict == expected


CASE = Case(noise=0.0, laps=1.0)


@pytest.mark.parametrize(
    ("height_ft", "expected"),
    [(800, "met"), (500, "not-met"), (1100, "not-met"), (610, "undetermined"), (1010, "undetermined")],
)
def test_height_band_has_two_edges(height_ft: float, expected: str) -> None:
    band = standard_with("height-band", 1000, "ft", minimum=600)
    samples = len(flight(Case(noise=0.0))[0])
    result = verdict(band, height=np.full(samples, height_ft * foot), height_sd=np.full(samples, 5.0))
    assert result.verdict == expected
    assert result.worst == pytest.approx(height_ft)


@pytest.mark.parametrize(
    ("quantity", "unit", "channels", "maneuver"),
    [
        ("altitude", "ft", {"altitude": None, "altitude_sd": None}, {}),
        ("height-band", "ft", {"height": None, "height_sd": None}, {}),
        ("coordination", "g", {"lateral_acceleration": None}, {}),
        ("entry", "deg", {}, {"wind": None}),
    ],
)
def test_not_measured_is_undetermined(
    quantity: str, unit: str, channels: dict[str, object], maneuver: dict[str, object]
) -> None:
    states, flown = flight(CASE)
    result = judge(
        gather(
            changed(states, **channels),
            replace(flown, **maneuver),
            standard_with(quantity, 1000, unit),
            None,
        )
    )[0]
    assert (result.verdict, result.worst, result.worst_sd) == ("undetermined", None, None)
    assert result.why.endswith(".")


def test_a_default_of_practice_gives_a_figure_but_no_verdict() -> None:
    result = verdict(standard_with("radius", 200, "ft", published=False))
    assert result.verdict == "undetermined"
    assert not result.published
    assert result.worst is not None
    assert "No number is printed" in result.why
    assert "within the usual 200 ft" in result.why


def test_a_handbooks_advice_is_judged_and_named_so() -> None:
    result = verdict(standard_with("bank", 45, "deg", basis="handbook"))
    assert result.verdict == "met"
    assert (result.basis, result.published) == ("handbook", False)
    assert "the handbook's advice of 45°" in result.why
    assert "the limit of" not in result.why


def test_the_basis_of_a_default_is_practice() -> None:
    result = verdict(standard_with("radius", 200, "ft", published=False))
    assert (result.basis, result.published) == ("practice", False)


def test_no_limit_at_all_still_shows_the_figure() -> None:
    result = verdict(standard_with("radius", None, "ft"))
    assert result.verdict == "undetermined"
    assert result.worst is not None


def test_only_an_instructor_can_see_some() -> None:
    assert "instructor" in verdict(standard_with("observed", None, "")).why


def test_lateral_acceleration_of_a_steady_skid() -> None:
    states, _ = flight(Case(noise=0.0))
    skid = np.where(states.time > 100.0, 0.2 * standard_gravity, 0.0)
    result = verdict(standard_with("coordination", 0.1, "g"), lateral_acceleration=skid)
    assert result.verdict == "not-met"
    assert result.worst == pytest.approx(0.2)


def test_airspeed_in_knots() -> None:
    states, _ = flight(Case(noise=0.0))
    slow = np.where(states.time > 120.0, states.true_airspeed - 14 * knot, states.true_airspeed)
    result = verdict(standard_with("airspeed", 10, "kt"), true_airspeed=slow, airspeed_source="measured")
    assert result.verdict == "not-met"
    assert result.worst == pytest.approx(14.0)


def test_every_element_of_the_private_pilot_task_is_judged_in_order() -> None:
    standard = load_standard("private-pilot")
    task = standard.task("turns-around-a-point")
    assert task is not None
    results = judge(gather(*flight(CASE), standard, None))
    assert [each.code for each in results] == [each.code for each in task.elements]
    assert {each.verdict for each in results} <= {"met", "not-met", "undetermined"}


def test_a_standard_without_the_task_judges_nothing() -> None:
    assert judge(gather(*flight(CASE), Standard("own", "Own", "own", "1", "", ()), None)) == ()


def test_a_less_bad_but_less_certain_moment_can_keep_a_verdict_open() -> None:
    """40 ft off for certain is within 100 ft; 30 ft off by a poor measure may be the worst of all."""
    states, maneuver = flight(Case(noise=0.0))
    time = states.time - maneuver.start
    altitude = 400.0 - 40 * foot * (time > 30) + 10 * foot * (time > 40)
    for poor, expected, worst in ((5 * foot, "met", 40.0), (60 * foot, "undetermined", 30.0)):
        sd = np.where(time > 40, poor, 5 * foot)
        result = verdict(standard_with("altitude", 100, "ft"), altitude=altitude, altitude_sd=sd)
        assert result.verdict == expected
        assert result.worst == pytest.approx(worst, abs=0.5)


def test_what_a_maneuver_does_not_have_is_left_open() -> None:
    """A turn around a point has no line to cross: a school's file may still ask for it."""
    result = verdict(standard_with("crossing", 10, "deg"))
    assert (result.verdict, result.worst) == ("undetermined", None)
    assert result.why == "This is not measured for this maneuver."


@pytest.mark.parametrize(
    ("off_kt", "wind_sd_kt", "says"),
    [(1.0, 0.2, "within"), (4.4, 0.5, "called held"), (4.4, 0.8, "called held"), (4.4, 2.0, "cannot tell")],
)
def test_an_airspeed_open_for_what_may_be_hidden_says_so_with_figures_that_decide(
    off_kt: float, wind_sd_kt: float, says: str
) -> None:
    """The ± printed decides: 1.28 of them within is not enough where 1.96 reach beyond the limit."""
    states, maneuver = flight(Case(noise=0.0))
    slow = states.true_airspeed - off_kt * knot * (np.abs(states.time - maneuver.start - 25.0) < 4.0)
    sd = np.full(len(states), wind_sd_kt * knot)
    zero = np.zeros(len(states))
    channels = {"wind_east_sd": sd, "wind_north_sd": sd, "wind_covariance": zero, "velocity_sd": zero + 0.01}
    result = verdict(
        standard_with("airspeed", 10, "kt"), true_airspeed=slow, airspeed_source="derived", **channels
    )
    assert result.worst is not None
    assert result.worst_sd is not None
    reach = result.worst + 1.96 * result.worst_sd
    assert says in result.why
    by_itself = result.worst + margin * result.worst_sd
    assert ("called held only where" in result.why) == (by_itself <= 10.0 < reach)
    assert (result.verdict == "met") == (reach <= 10.0)
    if "called held only where" in result.why:
        told = float(result.why.rpartition(" reaches to ")[2].removesuffix(" kt."))
        assert told == pytest.approx(reach, abs=0.1)
        assert told > 10.0
        assert result.verdict == "undetermined"


def test_a_measured_airspeed_hides_nothing() -> None:
    """Within by 1.28 standard deviations is met, and nothing is said of what a derived one may hide."""
    states, _ = flight(Case(noise=0.0))
    speed = states.true_airspeed - 4.4 * knot * (np.arange(len(states)) > len(states) // 2)
    measured = verdict(
        standard_with("airspeed", 10, "kt"),
        true_airspeed=speed,
        true_airspeed_sd=np.full(len(states), 3.2 * knot / np.sqrt(2.0)),
        airspeed_source="measured",
    )
    assert measured.worst_sd == pytest.approx(3.2)
    assert measured.verdict == "met"
    assert "called held" not in measured.why
