"""What a finding says agrees with itself, with its numbers and with the tables beside it."""

from __future__ import annotations

import re
from functools import cache

import numpy as np
import pytest

from groundref.assessment.assessed import Assessed
from groundref.debriefing import Debrief, debrief
from groundref.reports.places import visited
from groundref.simulation import simulate
from groundref.simulation.around_point import FAULTS_THAT_APPLY
from groundref.units import degree, foot, knot


@cache
def flown(fault: str, size: float | None, seed: int, recorder: str, wind_kt: float) -> Debrief:
    recording, _ = simulate(
        faults={fault: size},
        seed=seed,
        recorder=recorder,
        wind_speed=wind_kt * knot,
        flight="maneuver-only",
    )
    return debrief(recording)


def the_one(made: Debrief) -> Assessed:
    (one,) = made.maneuvers
    return one


@pytest.mark.parametrize("fault", sorted(FAULTS_THAT_APPLY))
def test_every_finding_starts_before_it_ends(fault: str) -> None:
    for recorder, seed in (("phone", 2), ("adsb", 13), ("avionics", 5)):
        for one in flown(fault, None, seed, recorder, 12.0).maneuvers:
            for finding in one.findings:
                assert finding.start <= finding.end, finding
                if finding.size_unit == "fraction":
                    assert finding.size <= 1.0
                    none = finding.size >= 0.995
                    said = "none of the change" if none else f"{100 * finding.size:.0f}% (±"
                    assert f"; {said}" in finding.says


def test_the_entry_may_turn_before_it_is_abeam() -> None:
    one = the_one(flown("entry-too-far", 400.0, 13, "adsb", 12.0))
    finding = next(each for each in one.findings if each.fault == "entry-too-far")
    entry = one.maneuver.entry
    assert entry.abeam_time is not None
    assert (finding.start, finding.end) == tuple(sorted((entry.abeam_time, entry.turn_time)))


@pytest.mark.parametrize("fault", ["entry-too-far", "entry-too-close"])
def test_both_radii_are_told_apart(fault: str) -> None:
    one = the_one(flown(fault, 400.0, 13, "adsb", 12.0))
    finding = next(each for each in one.findings if each.fault == fault)
    said = re.search(
        r"than the ([\d,]+) ft flown after half a lap(?: \(([\d,]+) ft over all laps\))?", finding.says
    )
    assert said
    assert (said[2] or said[1]) == f"{one.maneuver.radius / foot:,.0f}"
    assert f"about {said[1]} ft" in finding.cure


@pytest.mark.parametrize(
    ("fault", "place"), [("underbanked-downwind", "downwind"), ("overbanked-upwind", "upwind")]
)
def test_the_bank_to_fly_is_that_of_the_table(fault: str, place: str) -> None:
    made = flown(fault, 8.0, 18, "avionics", 20.0)
    one = the_one(made)
    finding = next(each for each in one.findings if each.fault == fault)
    required = [
        each.bank_required
        for each in visited(made.states, one)
        if each.name == place and each.lap in finding.laps and each.bank_required is not None
    ]
    needed = f"{np.mean(required) / degree:.0f}°"
    assert f"the {needed} needed there" in finding.says
    assert f"about {needed}" in finding.cure


def test_the_banks_to_fly_instead_of_one_are_those_of_the_table() -> None:
    made = flown("bank-held-constant", None, 5, "avionics", 12.0)
    one = the_one(made)
    finding = next(each for each in one.findings if each.fault == "bank-held-constant")
    means = {
        place: np.mean(
            [
                each.bank_required
                for each in visited(made.states, one)
                if each.name == place and each.lap in finding.laps and each.bank_required is not None
            ]
        )
        / degree
        for place in ("downwind", "upwind")
    }
    assert f"about {means['downwind']:.0f}° flying downwind" in finding.cure
    assert f"about {means['upwind']:.0f}° flying upwind" in finding.cure


def test_a_share_of_more_than_all_is_all() -> None:
    """Bank that goes the wrong way with the wind leaves out 140 % of the change; 100 % is the most."""
    from groundref.assessment.faults import bank_held_constant

    from .synthetic import Case, flight, judged

    middle = 23.6 * degree
    states, maneuver = flight(Case(bank=lambda turned, needed: middle - 0.4 * (needed - middle), noise=0.2))
    finding = next(
        each for each in judged(states, maneuver).findings if each.fault == bank_held_constant.NAME
    )
    assert finding.size == 1.0
    assert "; none of the change the wind asked for was made (± 1%), worth" in finding.says
