"""Stall, load factor and gusts of a plan."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from groundref.aircraft.loading import load_aircraft
from groundref.errors import NoSolutionError
from groundref.planning import Blowing, Wanted, plan
from groundref.units import degree, foot, knot, standard_gravity

PLANE = load_aircraft("low-wing-trainer")
WIND = Blowing(14 * knot, 240 * degree)


def test_the_stall_in_a_turn_of_45_degrees() -> None:
    # Load factor 1.41 at 45° and stall speed 18.9 % up: 1/cos and its root, computed apart from this code.
    steep = plan(
        "steep-turns", aircraft=PLANE, wanted=Wanted(calibrated_airspeed=95 * knot, bank_limit=45 * degree)
    )
    found = steep.safety.margins
    assert found.load_factor == pytest.approx(1.41, abs=0.005)
    assert found.stall_speed / PLANE.stall_speed == pytest.approx(1.189, abs=0.0005)
    assert PLANE.stall_speed_flaps is not None
    assert found.stall_speed_flaps == pytest.approx(PLANE.stall_speed_flaps * 2**0.25)
    assert found.above_stall == pytest.approx(95 * knot - found.stall_speed)


def test_a_lighter_airplane_stalls_slower_and_has_a_lower_maneuvering_speed() -> None:
    light = plan("turns-around-a-point", aircraft=PLANE.at_mass(900.0), wind=WIND).safety.margins
    heavy = plan("turns-around-a-point", aircraft=PLANE, wind=WIND).safety.margins
    share = np.sqrt(900.0 / PLANE.mass)
    assert light.stall_speed / heavy.stall_speed == pytest.approx(share)
    assert light.maneuvering_speed / heavy.maneuvering_speed == pytest.approx(share)
    assert light.mass == 900.0


def test_the_gust_adds_to_the_wind_where_the_bank_is_steepest() -> None:
    # tan φ = (V + W)²/(g R) straight downwind, with the gust in W.
    gusty = plan(
        "turns-around-a-point",
        aircraft=PLANE,
        wind=replace(WIND, gust=8 * knot),
        wanted=Wanted(true_airspeed=98 * knot, radius=1500 * foot),
    )
    over = (98 + 14 + 8) * knot
    found = gusty.safety.margins
    assert found.bank_in_gust == pytest.approx(np.arctan(over**2 / (standard_gravity * 1500 * foot)))
    assert found.above_stall_in_gust is not None
    slowed = gusty.inputs.calibrated_airspeed * (1 - 8 / 98)
    stall = PLANE.stall_speed / np.sqrt(np.cos(found.bank_in_gust))
    assert found.above_stall_in_gust == pytest.approx(slowed - stall)


def test_the_corners_of_a_rectangle_do_not_widen_in_a_gust() -> None:
    # Laid out for 35° out of the downwind leg, (V + W)²/(g tan 35°); the gust then adds to W.
    gusty = plan(
        "rectangular-course", wind=replace(WIND, gust=8 * knot), wanted=Wanted(true_airspeed=90 * knot)
    )
    steeper = np.arctan(np.tan(35 * degree) * ((90 + 14 + 8) / (90 + 14)) ** 2)
    assert gusty.safety.margins.bank_in_gust == pytest.approx(steeper)


def test_without_gusts_the_bank_is_the_plans() -> None:
    calm = plan("s-turns", wind=WIND)
    assert calm.safety.margins.bank_in_gust == calm.extremes.bank_max
    assert calm.safety.margins.above_stall_in_gust == pytest.approx(calm.safety.margins.above_stall)


def test_a_gust_that_leaves_no_way_upwind_is_said() -> None:
    storm = Blowing(40 * knot, 0.0, gust=60 * knot)
    found = plan("turns-around-a-point", wind=storm, wanted=Wanted(radius=4000 * foot)).safety.margins
    assert found.bank_in_gust is None
    assert found.above_stall_in_gust is None


def test_height_traded_for_speed_counts_where_the_margin_is_least() -> None:
    pylons = plan("eights-on-pylons", aircraft=PLANE, wind=WIND)
    found = pylons.safety.margins
    flown = pylons.schedule
    ratio = pylons.inputs.calibrated_airspeed / pylons.inputs.true_airspeed
    left = flown.true_airspeed * ratio - PLANE.stall_speed * np.sqrt(flown.load_factor)
    # The schedule's positions lie up to 10° from the worst place, and density changes by some 0.3 %.
    assert found.above_stall == pytest.approx(left.min(), abs=0.5 * knot)


def test_slower_than_the_stall_is_refused() -> None:
    with pytest.raises(NoSolutionError, match="below the stall speed"):
        plan("turns-around-a-point", aircraft=PLANE, wanted=Wanted(calibrated_airspeed=48 * knot))
