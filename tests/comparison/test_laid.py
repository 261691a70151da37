"""The plan beside the flight: where it was planned for, else on what was flown about, whichever way round."""

from __future__ import annotations

from dataclasses import replace
from math import radians

import numpy as np
import pytest

from groundref.comparison.compare import compare, with_plan
from groundref.planning import Blowing, Plan, Wanted, Where, plan
from groundref.planning.kinds import LAYOUTS
from groundref.units import foot, knot

from .test_plan_and_flight import LATITUDE, LONGITUDE, SPEED, flown, planned

OVER_THE_GROUND = [kind for kind in LAYOUTS if kind != "steep-turns"]


def nowhere(kind: str, direction: str = "left") -> Plan:
    return plan(
        kind,
        wind=Blowing(14 * knot, radians(200)),  # its own layout lies 40° off the one flown
        wanted=Wanted(true_airspeed=SPEED, direction=direction),
    )


def farthest(kind: str, made: Plan) -> float:
    """Return how far the planned path is at most from the path flown [m]."""
    result = flown(kind, radius_ft=None)
    beside = with_plan(result, compare(result, made)).maneuvers[0]
    planned_path = beside.as_planned
    assert planned_path is not None
    m, states = beside.maneuver, result.states
    inside = slice(m.first - 10, m.last + 11)
    path = states.east[inside] + 1j * states.north[inside]
    own = planned_path.east + 1j * planned_path.north
    return max(float(np.abs(path - place).min()) for place in own)


@pytest.mark.parametrize("direction", ["left", "right"])
@pytest.mark.parametrize("kind", OVER_THE_GROUND)
def test_a_plan_without_a_place_lies_on_what_was_flown(kind: str, direction: str) -> None:
    """By the usual radius both: they differ by how the pilot flew and how the place was fitted."""
    assert farthest(kind, nowhere(kind, direction)) <= 60.0


def test_a_plan_lies_at_its_own_place() -> None:
    result = flown()
    north_of_it = LATITUDE + radians(300.0 / 111_111.0)
    beside = with_plan(result, compare(result, planned(latitude=north_of_it))).maneuvers[0]
    assert beside.as_planned is not None
    assert beside.as_planned.placed
    middle = 0.5 * (beside.as_planned.north.max() + beside.as_planned.north.min())
    assert middle - beside.maneuver.reference.north == pytest.approx(300.0, abs=20.0)


def test_planned_for_elsewhere_it_lies_on_what_was_flown_about() -> None:
    result = flown()
    far = planned(latitude=LATITUDE + radians(3000.0 / 111_111.0))
    beside = with_plan(result, compare(result, far)).maneuvers[0]
    assert beside.as_planned is not None
    assert not beside.as_planned.placed
    distance = np.hypot(
        beside.as_planned.east - beside.maneuver.reference.east,
        beside.as_planned.north - beside.maneuver.reference.north,
    )
    assert distance == pytest.approx(1500 * foot, rel=1e-6)


def test_steep_turns_have_no_path_over_the_ground_to_lie_on() -> None:
    result = flown("steep-turns", radius_ft=None)
    beside = with_plan(result, compare(result, nowhere("steep-turns"))).maneuvers[0]
    assert beside.as_planned is not None
    assert beside.as_planned.east.size == 0
    assert beside.as_planned.bank.size == 0
    assert beside.as_planned.height is not None


def test_in_a_planned_calm_there_is_no_direction_to_compare() -> None:
    made = plan("turns-around-a-point", wanted=Wanted(true_airspeed=SPEED), where=Where(LATITUDE, LONGITUDE))
    rows = {row.name: row for row in compare(flown(), made).rows}
    assert rows["wind from"].planned is None
    assert rows["wind from"].sd is not None


def test_what_is_concluded_stays_as_it_was() -> None:
    result = flown()
    beside = with_plan(result, compare(result, planned())).maneuvers[0]
    assert replace(beside, as_planned=None) == result.maneuvers[0]
