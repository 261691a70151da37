"""Which circle was meant: the deviation of a bank's error, whether the point was given or not."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groundref.assessment.assessed import Assessed, Finding
from groundref.assessment.faults.arc import meant_sd
from groundref.assessment.flown import gather
from groundref.debriefing import debrief
from groundref.detection.circling import POSITION_WANDER
from groundref.detection.maneuver import Maneuver, point_at
from groundref.estimation.states import States
from groundref.mechanics.circle_fit import fit_circle
from groundref.simulation.lesson import simulate
from groundref.standards.loading import load_standard
from groundref.units import degree

from .synthetic import Case, fading, flight, judged

FAULT = "overbanked-upwind"
UPWIND = np.pi


def about(states: States, maneuver: Maneuver, east: float, north: float, sd: float, source: str) -> Maneuver:
    """The maneuver about another place, its mean distance from there over what was turned, as found."""
    part = slice(maneuver.first, maneuver.last + 1)
    distance = np.hypot(states.east[part] - east, states.north[part] - north)
    turned = np.abs(np.gradient(states.track[part]))
    wander = fit_circle(states.east[part], states.north[part]).rms
    return replace(
        maneuver,
        reference=point_at(east, north, sd, source),
        radius=float(np.average(distance, weights=turned)),
        radius_sd=float(np.hypot(0.25 * POSITION_WANDER, 0.13 * np.hypot(wander, sd))),
        laps=tuple(replace(lap, about_east=east, about_north=north) for lap in maneuver.laps),
    )


def meant(states: States, maneuver: Maneuver) -> float:
    return meant_sd(gather(states, maneuver, load_standard("private-pilot"), None))


def error(assessed: Assessed) -> Finding | None:
    return next((each for each in assessed.findings if each.fault == FAULT), None)


@settings(max_examples=60, deadline=None)
@given(
    size=st.floats(6.0, 10.0),
    off=st.floats(0.0, 0.2),
    direction=st.floats(0.0, 6.28),
    sd=st.floats(1.0, 40.0),
    side=st.sampled_from([1.0, -1.0]),
    seed=st.integers(0, 1000),
)
def test_a_given_point_never_makes_a_size_less_sure(
    size: float, off: float, direction: float, sd: float, side: float, seed: int
) -> None:
    """Given anywhere within a fifth of the radius from the fitted one, on the same flight.

    The mean distance from a place off by a share s of the radius differs by s²/4 of it, and so does the bank
    that is needed: nothing more may come of it.
    """
    wrong = size * degree
    case = Case(side=side, laps=3.0, seed=seed, bank=lambda turned, n: n + wrong * fading(turned - UPWIND))
    states, maneuver = flight(case)
    part = slice(maneuver.first, maneuver.last + 1)
    circle = fit_circle(states.east[part], states.north[part])
    away = off * circle.radius
    place = circle.x + away * np.sin(direction), circle.y + away * np.cos(direction)
    fitted = error(judged(states, about(states, maneuver, circle.x, circle.y, sd, "fitted")))
    exact = error(judged(states, about(states, maneuver, *place, 0.0, "given")))
    if fitted is not None and exact is not None and fitted.laps == exact.laps:
        if off == 0.0:
            assert exact.size_sd < fitted.size_sd
        assert exact.size_sd <= fitted.size_sd * (1.0 + off**2 / 4.0)


def test_both_are_found_and_the_deviation_is_the_same() -> None:
    """The property above is about something: with the point some way off the error is found both times."""
    states, maneuver = flight(Case(laps=3.0, bank=lambda turned, n: n + 8 * degree * fading(turned - UPWIND)))
    fitted = error(judged(states, about(states, maneuver, 0.0, 0.0, 0.0, "fitted")))
    exact = error(judged(states, about(states, maneuver, 60.0, -30.0, 0.0, "given")))
    assert fitted is not None
    assert exact is not None
    assert exact.size_sd == pytest.approx(fitted.size_sd, rel=0.02)


def test_laps_of_unequal_size_leave_the_radius_open() -> None:
    """A second lap half as wide again: distances of 1 and 1.5 about 1.25, whose rms is a fifth of it."""
    states, maneuver = flight(Case(wind=0.0, laps=2.0, noise=0.0))
    grown = np.where(np.arange(len(states)) >= maneuver.laps[1].first, 1.5, 1.0)
    wider = replace(states, east=states.east * grown, north=states.north * grown)
    for east in (0.0, 50.0):
        moved = about(wider, maneuver, east, 0.0, 0.0, "given")
        assert meant(wider, moved) == pytest.approx(0.5 * 0.2, rel=0.02)
    assert meant(states, maneuver) < 0.005


def test_each_pylon_may_lie_elsewhere_and_the_middles_of_half_circles_only_together() -> None:
    """Two laps about places 60 m off, each the other way: nothing about pylons, a deviation about a line."""
    states, maneuver = flight(Case(wind=0.0, laps=2.0, noise=0.0))
    off = (60.0, 0.0), (-60.0, 0.0)
    laps = tuple(
        replace(lap, about_east=e, about_north=n) for lap, (e, n) in zip(maneuver.laps, off, strict=True)
    )
    for kind, share in (("pylons", 0.0), ("line", 0.5 * 60.0 / np.sqrt(2.0) / 500.0)):
        reference = replace(maneuver.reference, type=kind, places=off, bearing=0.0, bearing_sd=0.0)
        assert meant(states, replace(maneuver, laps=laps, reference=reference)) == pytest.approx(
            share, abs=0.002
        )


@pytest.mark.parametrize("seed", [4, 7, 11])
def test_a_simulated_lesson_with_its_own_point_given_is_no_less_sure(seed: int) -> None:
    recording, truth = simulate(faults={FAULT: 8.0}, seed=seed)
    (estimated,) = debrief(recording).maneuvers
    (exact,) = debrief(recording, point=truth.frame.to_geographic(*truth.maneuvers[0].places[0])).maneuvers
    before, after = error(estimated), error(exact)
    assert before is not None
    assert after is not None
    assert after.laps == before.laps
    assert after.size_sd <= before.size_sd
