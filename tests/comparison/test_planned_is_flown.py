"""What is planned is what a pilot flies: simulated by the same inputs, debriefed, and held against the plan.

The simulated pilot corrects for what is seen and rolls at 12° a second; bounds stand beside each check.
"""

from __future__ import annotations

from functools import cache
from math import degrees, radians

import numpy as np
import pytest

from groundref.comparison.compare import Row, compare
from groundref.debriefing import debrief
from groundref.planning import Blowing, Day, Plan, Wanted, Where, plan
from groundref.planning.kinds import LAYOUTS
from groundref.simulation import simulate
from groundref.units import foot, knot

GROUND = 620.0 * foot
SPEED, WIND, WHENCE = 95 * knot, 14 * knot, radians(240)
ROLL_RATE = radians(12)
HELD = [kind for kind in LAYOUTS if kind not in ("rectangular-course", "eights-on-pylons", "steep-turns")]


@cache
def both(kind: str) -> tuple[Plan, dict[str, Row]]:
    made = plan(
        kind,
        wind=Blowing(WIND, WHENCE),
        wanted=Wanted(true_airspeed=SPEED),
        day=Day(elevation=GROUND),
        where=Where(radians(40.1), radians(-90.2)),
    )
    recording, _ = simulate(
        kind,
        true_airspeed=SPEED,
        wind_speed=WIND,
        wind_from=WHENCE,
        radius=made.inputs.radius,
        ground_elevation=GROUND,
        roll_rate=ROLL_RATE,
        recorder="avionics",
    )
    found = compare(debrief(recording, ground=GROUND), made)
    assert found.number == 1
    return made, {row.name: row for row in found.rows}


def values(kind: str, name: str) -> tuple[float, float]:
    """Return what was planned and what was flown."""
    row = both(kind)[1][name]
    assert row.planned is not None
    assert row.flown is not None
    return row.planned, row.flown


@pytest.mark.parametrize("kind", LAYOUTS)
def test_the_wind_of_the_plan_is_measured(kind: str) -> None:
    """Within a knot."""
    planned, flown = values(kind, "wind")
    assert flown == pytest.approx(planned, abs=1 * knot)


@pytest.mark.parametrize("kind", HELD)
def test_the_radius_of_the_plan_is_flown(kind: str) -> None:
    """Within 3 %."""
    planned, flown = values(kind, "radius")
    assert flown == pytest.approx(planned, rel=0.03)


@pytest.mark.parametrize("kind", LAYOUTS)
def test_the_steepest_bank_of_the_plan_is_flown(kind: str) -> None:
    """Within 4°: the pilot corrects on top of what the circle asks for."""
    planned, flown = values(kind, "steepest bank")
    assert degrees(flown) == pytest.approx(degrees(planned), abs=4.0)


@pytest.mark.parametrize("kind", [kind for kind in LAYOUTS if kind != "rectangular-course"])
def test_the_shallowest_bank_of_the_plan_is_flown(kind: str) -> None:
    """Within 5°; of a rectangle the recording's shallowest bank is that of a leg."""
    planned, flown = values(kind, "shallowest bank")
    assert degrees(flown) == pytest.approx(degrees(planned), abs=5.0)


@pytest.mark.parametrize("kind", LAYOUTS)
def test_it_takes_the_time_of_the_plan(kind: str) -> None:
    """Within 5 %, and later by no more than the rolls from one piece's bank to the next take."""
    made, _ = both(kind)
    planned, flown = values(kind, "once through")
    air = made.inputs.air
    ends = [piece.at(air, np.array([0.0, 1.0])).bank for piece in made.layout.pieces]
    following = [*ends[1:], ends[0]]
    rolls = sum(abs(after[0] - last[1]) for last, after in zip(ends, following, strict=True)) / ROLL_RATE
    assert -0.05 * planned <= flown - planned <= 0.05 * planned + rolls


@pytest.mark.parametrize("kind", LAYOUTS)
def test_the_ground_speeds_of_the_plan_are_flown(kind: str) -> None:
    """Within 6 %: airspeed wanders by a knot or two, and more in steep turns."""
    for name in ("fastest ground speed", "slowest ground speed"):
        planned, flown = values(kind, name)
        assert flown == pytest.approx(planned, rel=0.06), name
