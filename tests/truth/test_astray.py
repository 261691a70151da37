"""What counts as no such maneuver: told from the truth, apart from what a debrief finds."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from groundref.simulation import Truth, simulate
from groundref.units import degree, knot

from .astray import ELSEWHERE, STEEP, about_place, astray
from .tally import Case, Result
from .totals import cases, gone_astray

KINDS = (
    "turns-around-a-point",
    "s-turns",
    "rectangular-course",
    "eights-along-a-road",
    "eights-across-a-road",
    "eights-around-pylons",
    "eights-on-pylons",
)


def flown(kind: str, **options: Any) -> Truth:
    usual = {"wind_speed": 12 * knot, "laps": 2, "seed": 5, "flight": "maneuver-only"}
    return simulate(kind, **{**usual, **options})[1]


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_flown_well_is_of_its_kind(kind: str) -> None:
    truth = flown(kind)
    assert astray(truth, truth.maneuver) == ""
    assert min(about_place(truth, truth.maneuver)) > 0.75


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_path_about_another_place_is_not(kind: str) -> None:
    truth = flown(kind)
    away = tuple((east + 3000.0, north + 3000.0) for east, north in truth.maneuver.places)
    elsewhere = replace(truth.maneuver, places=away)
    if truth.maneuver.reference == "line":  # moved across itself, not along
        (e1, n1), (e2, n2) = truth.maneuver.places
        across = np.array([n2 - n1, e1 - e2]) / np.hypot(n2 - n1, e1 - e2) * 3000.0
        moved = tuple((east + across[0], north + across[1]) for east, north in truth.maneuver.places)
        elsewhere = replace(truth.maneuver, places=moved)
    assert astray(truth, elsewhere) == ELSEWHERE


def test_aerobatics_are_no_work_about_a_place_and_steep_turns_may_be_steep() -> None:
    truth = flown("eights-on-pylons")
    middle = int(np.argmax(truth.time > 0.5 * (truth.maneuver.start + truth.maneuver.end)))
    bank = truth.bank.copy()
    bank[middle] = 61 * degree
    assert astray(replace(truth, bank=bank), truth.maneuver) == STEEP
    steep = flown("steep-turns")
    assert astray(replace(steep, bank=1.5 * steep.bank), steep.maneuver) == ""


def test_who_holds_the_bank_as_ordered_is_not_astray() -> None:
    truth = flown("turns-around-a-point", wind_speed=20 * knot, faults={"bank-held-constant": None}, laps=3)
    assert min(about_place(truth, truth.maneuver)) < 2 / 3
    assert astray(truth, truth.maneuver) == ""


def test_found_or_not_they_are_left_out_alike() -> None:
    found = Case(1, "phone 1 s", 10.0, "eights-on-pylons", "eights-on-pylons", True, astray=STEEP)
    missed = replace(found, found="", same=False)
    kept = replace(found, astray="")
    results = [Result(1, "phone 1 s", "maneuvers", (found, missed, kept), 20.0)]
    assert cases(results, ["phone 1 s"]) == [kept]
    assert gone_astray(results, ["phone 1 s"]) == [found, missed]
