"""How near the path comes to a place that wants quiet."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from groundref.planning import Blowing, Wanted, make, plan
from groundref.planning.around import Surrounded
from groundref.planning.quiet import Quiet
from groundref.units import degree, foot, knot

CIRCLE = plan(
    "turns-around-a-point", wind=Blowing(14 * knot, 240 * degree), wanted=Wanted(radius=1200 * foot)
)


def near(place: tuple[float, float]) -> tuple[Quiet, set[str]]:
    one = make(replace(CIRCLE.inputs, around=Surrounded(noise_place=place)))
    assert one.safety.quiet is not None
    return one.safety.quiet, {each.name for each in one.cautions}


@pytest.mark.parametrize("bearing_deg", [0.0, 3.0, 57.0, 148.0, 231.0, 333.0])
@pytest.mark.parametrize("distance_ft", [100.0, 1150.0, 2500.0, 5000.0])
def test_distance_from_a_circle_is_that_from_its_middle_less_the_radius(
    bearing_deg: float, distance_ft: float
) -> None:
    bearing = bearing_deg * degree
    place = distance_ft * foot * np.array([np.sin(bearing), np.cos(bearing)])
    found, names = near((float(place[0]), float(place[1])))
    # Straight lines 10° long lie up to 0.4 % of the radius inside the circle.
    assert found.distance == pytest.approx(abs(distance_ft - 1200) * foot, abs=0.004 * 1200 * foot)
    assert found.height == pytest.approx(CIRCLE.inputs.height)
    assert found.slant == pytest.approx(np.hypot(found.distance, found.height))
    assert ("near-quiet-place" in names) is (abs(distance_ft - 1200) < 2000)


def test_high_above_it_nothing_is_asked() -> None:
    high = replace(CIRCLE.inputs, height=2100 * foot, around=Surrounded(noise_place=(0.0, 0.0)))
    found = make(high).safety.quiet
    assert found is not None
    assert not found.too_near


def test_the_position_named_is_the_nearest() -> None:
    schedule = CIRCLE.schedule
    found, _ = near((2.0 * float(schedule.east[7]), 2.0 * float(schedule.north[7])))
    assert found.position == 7
