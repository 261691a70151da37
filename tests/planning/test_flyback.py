"""Every kind planned is flown back open loop, and ends where the plan ends within a stated share of its way.

Bank, height and airspeed are brought by the clock, in the project's own point mass and in an airplane of six
degrees of freedom (`jsbsim`, the library's own aerodynamics, engine and earth); nothing corrects heading or
position. So what is measured is whether the schedule is right and how well hands can hold it. A heading that
is off by 1.4° all the way ends 2.5 % of the way off: that is the bound for the airplane. The project's point
mass keeps its bank better. What the rolls alone cost is told by integrating the ordered bank exactly.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import radians

import pytest

from groundref.aircraft.loading import load_aircraft
from groundref.planning import Blowing, Plan, Wanted, plan
from groundref.planning.kinds import LAYOUTS
from groundref.units import knot

from .flyback import in_library, in_own_simulator, kinematic, lead, way

FLOWN = (
    ("c172p", 98.0, "left", 0.0),
    ("c172p", 98.0, "left", 22.0),
    ("c172p", 98.0, "right", 14.0),
    ("J3Cub", 63.0, "left", 14.0),
)
"""Airplane, its true airspeed, first turn, wind [kt]."""
ROLL_RATE = radians(12)
"""What the autopilot of the library's airplanes makes without lagging behind."""
BY_ROLLS, BY_OWN, BY_LIBRARY = 0.012, 0.020, 0.025
"""How far the end may be from that of the plan, of the way through the air."""


@cache
def planned(kind: str, speed: float, direction: str, wind: float) -> Plan:
    return plan(
        kind,
        aircraft=replace(load_aircraft("high-wing-trainer"), roll_rate=ROLL_RATE),
        wind=Blowing(wind * knot, radians(240)),
        wanted=Wanted(true_airspeed=speed * knot, direction=direction),
    )


@pytest.mark.parametrize(("airplane", "speed", "direction", "wind"), FLOWN)
@pytest.mark.parametrize("kind", LAYOUTS)
def test_flown_back_by_the_clock_it_ends_where_it_was_planned_to(
    kind: str, airplane: str, speed: float, direction: str, wind: float
) -> None:
    made = planned(kind, speed, direction, wind)
    assert kinematic(made).ends <= BY_ROLLS * way(made)
    assert in_own_simulator(made).ends <= BY_OWN * way(made)
    off = in_library(made, airplane)
    assert off.ends <= BY_LIBRARY * way(made)
    assert off.most <= 1.5 * BY_LIBRARY * way(made)


@pytest.mark.parametrize("wind", [0.0, 14.0, 22.0])
def test_a_circle_begun_in_the_bank_closes(wind: float) -> None:
    made = planned("turns-around-a-point", 98.0, "left", wind)
    radius = made.layout.radius
    assert radius is not None
    assert kinematic(made).ends <= 1.0
    assert in_own_simulator(made).ends <= 5.0
    assert in_library(made, "c172p").ends <= 0.1 * radius


def test_the_wind_of_the_plan_is_what_closes_the_circle() -> None:
    """Flown by the plan for still air the circle is carried along by wind times time."""
    still, windy = (planned("turns-around-a-point", 98.0, "left", wind) for wind in (0.0, 14.0))
    carried = 14.0 * knot * still.extremes.time
    assert in_own_simulator(still, windy.inputs.air).ends == pytest.approx(carried, rel=0.02)


@pytest.mark.parametrize("kind", ["turns-around-a-point", "eights-around-pylons", "eights-on-pylons"])
def test_the_lead_of_the_plan_is_that_of_an_even_roll(kind: str) -> None:
    made = planned(kind, 98.0, "left", 14.0)
    assert made.roll_in.lead_time == pytest.approx(lead(0.0, made.layout.entry.bank, ROLL_RATE), rel=1e-6)


def test_an_even_roll_from_bank_to_bank_leads_by_half_of_it() -> None:
    assert lead(radians(30), radians(-30), ROLL_RATE) == pytest.approx(0.5 * radians(60) / ROLL_RATE)
