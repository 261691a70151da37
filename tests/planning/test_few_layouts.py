"""How often a plan works out its shape anew: most of its time, counted and not timed."""

from __future__ import annotations

from cmath import rect
from math import pi, radians, sqrt

import pytest
from hypothesis import given as drawn
from hypothesis import settings
from hypothesis import strategies as st

from groundref.errors import NoSolutionError
from groundref.mechanics import pylon_traded
from groundref.planning import Blowing, eights_on_pylons, kinds, plan
from groundref.planning.air import Air
from groundref.planning.fit import largest
from groundref.planning.inputs import Inputs
from groundref.planning.kinds import LAYOUTS
from groundref.planning.layout import Layout
from groundref.planning.pylon_ways import Way, ways
from groundref.units import knot

ARCS = (
    "turns-around-a-point",
    "s-turns",
    "eights-along-a-road",
    "eights-across-a-road",
    "eights-around-pylons",
)
WIND = Blowing(14 * knot, radians(240))


@pytest.mark.parametrize("kind", ARCS)
def test_a_kind_of_arcs_is_laid_out_once_to_be_shown_and_once_for_its_steepest_place(
    kind: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    count, lay_out = [0], LAYOUTS[kind]

    def counted(inputs: Inputs, radius: float) -> Layout:
        count[0] += 1
        return lay_out(inputs, radius)

    monkeypatch.setattr(kinds, "LAYOUTS", {**LAYOUTS, kind: counted})
    plan(kind, wind=WIND)
    assert count == [2]


def test_the_ways_between_pylons_are_found_twenty_times(monkeypatch: pytest.MonkeyPatch) -> None:
    """For the plan itself and for the seven limits of its fit, each by about three."""
    count = [0]

    def counted(air: Air, side: float, axis: float, radius: float, spacing: float | None) -> tuple[Way, Way]:
        count[0] += 1
        return ways(air, side, axis, radius, spacing)

    monkeypatch.setattr(eights_on_pylons, "ways", counted)
    plan("eights-on-pylons", wind=WIND)
    assert count[0] <= 22


@drawn(st.floats(0.0, 0.6), st.floats(0.0, 2 * pi), st.floats(150.0, 900.0), st.floats(0.0, 5.0))
@settings(max_examples=200, deadline=None)
def test_ways_lead_from_pylon_to_pylon(share: float, course: float, radius: float, apart: float) -> None:
    """Their equation put down again as complex numbers, east and north, the nose at 90° less its heading."""
    spacing = None if apart < 2.2 else apart * radius
    air = Air(48.0, 48.0 * share, 0.7)
    try:
        found = ways(air, -1.0, course, radius, spacing)
    except NoSolutionError:
        return
    assert found[0].spacing == pytest.approx(found[1].spacing, abs=1e-4)
    wind = complex(air.east, air.north)
    speeds, _, ratios = pylon_traded.on_heading(
        air.true_airspeed, air.wind_speed, [way.heading - air.downwind for way in found]
    )
    for number, way in enumerate(found):
        nose = rect(1.0, pi / 2 - way.heading)
        side = 1.0 if number == 0 else -1.0
        both = radius + radius * float(ratios[number] / ratios[1 - number])
        passed = (float(speeds[number]) * nose + wind) * way.seconds + side * both * nose * -1j
        assert passed / rect(1.0, pi / 2 - course - number * pi) == pytest.approx(way.spacing, abs=1e-4)


@pytest.mark.parametrize(("falls", "truth"), [(1.0, 7.3), (0.2, 7.3), (30.0, 7.3), (1.0, 20.0), (1.0, 0.0)])
def test_the_largest_value_is_found_whatever_the_slope(falls: float, truth: float) -> None:
    found = largest(lambda x: sqrt(truth + 1.0) - sqrt(x + 1.0), 0.0, 12.0, falls)
    assert found == pytest.approx(min(truth, 12.0), abs=2e-3)


def test_where_nothing_is_left_at_the_lowest_there_is_none() -> None:
    assert largest(lambda x: -0.1 - x, 0.0, 12.0, 1.0) is None
