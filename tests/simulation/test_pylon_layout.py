"""Two pylons and the straight way between them: what the wind triangle gives is flown step by step."""

from __future__ import annotations

from math import cos, hypot, radians, sin, tan

import pytest

from groundref.errors import NoSolutionError
from groundref.mechanics.pylon import pivotal_height_with_wind
from groundref.simulation.pylon_layout import Crossing, crossing, crossing_between
from groundref.units import knot

AIRSPEED, BANK = 100 * knot, radians(33)


def ends(way: Crossing, wind: tuple[float, float], side: float) -> tuple[float, float]:
    """From the pylon left to the one ahead, by flying the way from abeam the one to abeam the other."""
    east = (way.airspeed * sin(way.heading) + wind[0]) * way.seconds
    north = (way.airspeed * cos(way.heading) + wind[1]) * way.seconds
    aside = 2.0 * side * way.distance
    return east + aside * cos(way.heading), north - aside * sin(way.heading)


@pytest.mark.parametrize("side", [1.0, -1.0])
@pytest.mark.parametrize("wind", [(0.0, 0.0), (0.0, -10.0), (9.0, 3.0), (-4.0, 8.0)])
def test_the_way_leads_from_abeam_one_pylon_to_abeam_the_other(
    side: float, wind: tuple[float, float]
) -> None:
    bearing = radians(70)
    way = crossing(AIRSPEED, wind, bearing, side, BANK, 6.0)
    east, north = ends(way, wind, side)
    assert hypot(east, north) == pytest.approx(way.spacing, abs=0.01)
    assert east / hypot(east, north) == pytest.approx(sin(bearing), abs=1e-6)
    assert north / hypot(east, north) == pytest.approx(cos(bearing), abs=1e-6)


def test_the_height_is_pivotal_and_the_bank_holds_the_pylon() -> None:
    wind = (0.0, -10.0)
    way = crossing(AIRSPEED, wind, radians(270), -1.0, BANK, 6.0)
    along = wind[0] * sin(way.heading) + wind[1] * cos(way.heading)
    assert way.height == pytest.approx(float(pivotal_height_with_wind(way.airspeed, along)), rel=1e-6)
    assert way.height / way.distance == pytest.approx(tan(BANK), rel=1e-9)


def test_in_still_air_it_is_the_common_tangent_of_two_circles() -> None:
    """Outside the code: the inner tangent of two equal circles is 2√((s/2)² − r²) long (Euclid)."""
    way = crossing(AIRSPEED, (0.0, 0.0), 0.0, 1.0, BANK, 6.0)
    assert 2.0 * ((0.5 * way.spacing) ** 2 - way.distance**2) ** 0.5 == pytest.approx(AIRSPEED * 6.0)


def test_a_given_spacing_is_kept() -> None:
    way = crossing_between(AIRSPEED, (0.0, -8.0), radians(90), 1.0, BANK, 1100.0)
    assert way.spacing == pytest.approx(1100.0, abs=1e-3)


@pytest.mark.parametrize("spacing", [10.0, 60_000.0])
def test_pylons_too_close_or_too_far_are_refused(spacing: float) -> None:
    with pytest.raises(NoSolutionError, match="no straight way"):
        crossing_between(AIRSPEED, (0.0, -8.0), radians(90), 1.0, BANK, spacing)
