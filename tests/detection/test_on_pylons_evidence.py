"""What tells eights on pylons from elementary ones: each piece of it on simulated flights."""

from __future__ import annotations

from math import radians
from typing import Any

import numpy as np
import pytest

from groundref.debriefing import debrief
from groundref.detection.candidate import NOTHING_GIVEN
from groundref.detection.detect import detect, first_cut
from groundref.detection.eight_evidence import ELEMENTARY
from groundref.detection.loops import Row
from groundref.detection.on_pylons_evidence import (
    KIND,
    apart_from_elementary,
    path_densities,
    straight_times,
)
from groundref.detection.pylon_eight import seen_on_pylons
from groundref.estimation.estimate import Given, estimate
from groundref.estimation.mean_wind import wind_over
from groundref.estimation.states import States
from groundref.simulation import Truth, simulate
from groundref.track.clean import clean
from groundref.units import foot, knot


def flown(kind: str, **asked: Any) -> tuple[States, Row, Truth]:
    usual = {"true_airspeed": 95 * knot, "wind_speed": 18 * knot, "wind_from": radians(200), "seed": 2}
    recorder = str(asked.pop("recorder", "avionics"))
    options = {**usual, "laps": 2, "flight": "maneuver-only", **asked}
    recording, truth = simulate(kind, recorder=recorder, **options)
    states = estimate(clean(recording), Given(ground=truth.ground_elevation))
    (row,) = first_cut(states).rows
    return states, row, truth


def evidence(states: States, row: Row) -> float:
    eight = seen_on_pylons(states, row)
    assert eight is not None
    wind = wind_over(states, eight.first, eight.last)
    return apart_from_elementary(states, eight, None, wind, NOTHING_GIVEN)


@pytest.mark.parametrize("recorder", ["avionics", "phone"])
@pytest.mark.parametrize("kind", ["eights-on-pylons", "eights-around-pylons", "eights-along-a-road"])
def test_straight_times_are_those_of_the_true_bank(kind: str, recorder: str) -> None:
    states, row, truth = flown(kind, recorder=recorder)
    true = []
    for one, other in zip(row.loops, row.loops[1:], strict=False):
        during = (truth.time > 0.5 * (one.start + one.end)) & (truth.time < 0.5 * (other.start + other.end))
        time, bank = truth.time[during], one.direction * truth.bank[during]
        rolled_in = int(np.flatnonzero(bank < -0.5 * other.bank)[0])
        true.append(time[rolled_in] - time[np.flatnonzero(bank[:rolled_in] > 0.5 * one.bank)[-1]])
    assert straight_times(states, row) == pytest.approx(np.array(true), abs=1.2)


def test_the_path_of_each_kind_is_likeliest_in_it() -> None:
    asked = {"radius": 1400 * foot}
    for kind in ("eights-along-a-road", "eights-around-pylons"):
        states, row, _ = flown(kind, **asked)
        path = path_densities(states, row)
        assert path[kind] == max(path.values())
    states, row, _ = flown("eights-on-pylons")
    path = path_densities(states, row)
    assert path[KIND] == max(path.values())


@pytest.mark.parametrize("fault", [None, "pivotal-altitude-not-followed", "bank-over-limit", "uncoordinated"])
@pytest.mark.parametrize("recorder", ["avionics", "phone"])
def test_in_wind_the_altitude_tells_whatever_the_error(fault: str | None, recorder: str) -> None:
    states, row, _ = flown(
        "eights-on-pylons", recorder=recorder, faults={} if fault is None else {fault: None}
    )
    assert evidence(states, row) > 1.0


@pytest.mark.parametrize("kind", ["eights-along-a-road", "eights-across-a-road", "eights-around-pylons"])
@pytest.mark.parametrize("fault", [None, "radius-changed", "bank-over-limit"])
def test_held_altitude_tells_elementary_eights(kind: str, fault: str | None) -> None:
    states, row, _ = flown(kind, radius=1400 * foot, faults={} if fault is None else {fault: None})
    assert evidence(states, row) < -1.0


def test_altitude_is_set_against_the_height_that_is_pivotal_with_the_speed_settled() -> None:
    """In a calm the pivotal height of the moment mirrors the altitude; nothing is to be followed there."""
    states, row, _ = flown("eights-on-pylons", wind_speed=0.0, true_airspeed=90 * knot)
    assert states.altitude is not None
    bobbing = states.altitude + 15.0 * np.sin(0.15 * states.time)
    assert evidence(states, row) == pytest.approx(evidence(_with_altitude(states, bobbing), row), abs=0.4)


def _with_altitude(states: States, altitude: np.ndarray) -> States:
    fields = {name: getattr(states, name) for name in states.__dataclass_fields__}
    return States(**{**fields, "altitude": altitude})


def test_loops_of_a_slow_airplane_are_seen() -> None:
    """58 kt at 40° is a radius of 108 m."""
    recording, truth = simulate(
        "eights-on-pylons",
        true_airspeed=58 * knot,
        wind_speed=3 * knot,
        laps=1,
        seed=5,
        flight="maneuver-only",
    )
    found = debrief(recording, ground=truth.ground_elevation).maneuvers
    assert [one.maneuver.kind for one in found] == [KIND]


def test_each_elementary_kind_competes_with_eights_on_pylons_by_itself() -> None:
    """The likeliest of four kinds is said, though the three elementary ones may together be likelier."""
    states, _, _ = flown("eights-around-pylons", wind_speed=0.0, radius=1400 * foot)
    (found,) = detect(states)
    named = dict(found.alternatives)
    assert found.kind in ELEMENTARY
    assert set(named) & set(ELEMENTARY)
    assert found.confidence >= max(named.values())
    assert found.confidence + sum(named.values()) <= 1.0 + 1e-9
