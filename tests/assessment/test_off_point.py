"""A circle off the point given is found, with how far and which way; nothing else is called so."""

from __future__ import annotations

import numpy as np
import pytest

from groundref.assessment.assessed import Assessed, Finding
from groundref.assessment.faults.circle_off_point import NAME
from groundref.debriefing import debrief
from groundref.simulation import simulate
from groundref.simulation.shapes import APPLYING
from groundref.units import foot, knot

KIND = "turns-around-a-point"


def flown(
    east_ft: float = 0.0,
    north_ft: float = 0.0,
    *,
    given: bool = True,
    laps: float = 3,
    seed: int = 3,
    **faults: float,
) -> Assessed:
    """Circles whose center lies so far from the point that is given."""
    recording, truth = simulate(
        faults={name.replace("_", "-"): size for name, size in faults.items()},
        seed=3,
        laps=laps,
        radius=1200 * foot,
        wind_speed=15 * knot,
        flight="maneuver-only",
    )
    east, north = truth.maneuvers[0].places[0]
    latitude, longitude = truth.frame.to_geographic(east - east_ft * foot, north - north_ft * foot)
    point = float(latitude), float(longitude)
    (one,) = debrief(recording, point=point if given else None).maneuvers
    return one


def off(one: Assessed) -> list[Finding]:
    return [each for each in one.findings if each.fault == NAME]


@pytest.mark.parametrize(
    ("east", "north", "towards"), [(-270.0, 0.0, 270.0), (0.0, 300.0, 0.0), (200.0, -200.0, 135.0)]
)
def test_a_circle_off_the_point_is_told_with_how_far_and_which_way(
    east: float, north: float, towards: float
) -> None:
    one = flown(east, north)
    (finding,) = off(one)
    assert finding.laps == (1, 2, 3)
    assert finding.size == pytest.approx(np.hypot(east, north), abs=30.0)
    assert abs(finding.size - np.hypot(east, north)) < 3.0 * finding.size_sd
    told = float(finding.says.partition(" from it towards ")[2][:3])
    assert abs((told - towards + 180.0) % 360.0 - 180.0) < 6.0
    assert [each.fault for each in one.findings] == [NAME]


def test_only_a_given_point_can_show_it() -> None:
    assert off(flown(-270.0)) != []
    assert off(flown(-270.0, given=False)) == []


@pytest.mark.parametrize("fault", [None, *sorted(APPLYING[KIND])])
@pytest.mark.parametrize("seed", [1, 2])
def test_circles_about_the_point_are_not_called_so_whatever_else_was_wrong(
    fault: str | None, seed: int
) -> None:
    recording, truth = simulate(
        faults={} if fault is None else {fault: None}, seed=seed, wind_speed=18 * knot, flight="maneuver-only"
    )
    latitude, longitude = truth.frame.to_geographic(*truth.maneuvers[0].places[0])
    point = float(latitude), float(longitude)
    (one,) = debrief(recording, point=point).maneuvers
    assert one.maneuver.reference.source == "given"
    assert off(one) == []


def test_a_little_off_is_let_pass_and_one_lap_cannot_tell() -> None:
    assert off(flown(-100.0)) == []
    assert off(flown(-270.0, laps=1)) == []


def test_bank_and_size_of_the_laps_are_told_beside_it() -> None:
    """The place explains near and far, not a bank too steep nor laps of two sizes."""
    assert {each.fault for each in flown(-270.0, overbanked_upwind=8.0).findings} == {
        NAME,
        "overbanked-upwind",
    }
    assert {each.fault for each in flown(-270.0, radius_changed=200.0).findings} == {NAME, "radius-changed"}
