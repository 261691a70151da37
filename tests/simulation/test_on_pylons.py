"""Eights on pylons as flown: the pylon on the wing line, the height pivotal, each fault where it belongs."""

from __future__ import annotations

from math import radians
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from groundref.angles import full_turn
from groundref.errors import NoSolutionError, UsageError
from groundref.mechanics.pylon_sight import pylon_from_wing
from groundref.simulation import Truth, simulate
from groundref.simulation.on_pylons import FAULTS_THAT_APPLY
from groundref.units import degree, foot, knot, standard_gravity

Floats = NDArray[np.float64]
ROLLS = 4.0  # [s] of a loop at either end in which the bank is not there yet


def flown(wind: float = 15 * knot, **asked: Any) -> Truth:
    usual = {"true_airspeed": 100 * knot, "laps": 2, "flight": "maneuver-only", "seed": 4}
    _, truth = simulate("eights-on-pylons", wind_speed=wind, **{**usual, **asked})
    return truth


def loops(truth: Truth) -> list[tuple[NDArray[np.int64], float, tuple[float, float]]]:
    """Samples, side of the turn and pylon of each loop, without the rolls."""
    m, found = truth.maneuver, []
    for n, (start, end) in enumerate(zip(m.boundaries, m.boundaries[1:], strict=False)):
        inside = (truth.time > start + ROLLS) & (truth.time < end)
        side = float(np.sign(np.median(truth.bank[inside])))
        banked = inside & (side * truth.bank > radians(12))
        last = truth.time[banked].max() - ROLLS
        found.append((np.flatnonzero(banked & (truth.time < last)), side, m.places[n % 2]))
    return found


def ahead(truth: Truth, index: NDArray[np.int64], side: float, pylon: tuple[float, float]) -> Floats:
    east, north = pylon[0] - truth.east[index], pylon[1] - truth.north[index]
    attitude = (truth.height[index], truth.heading[index], truth.bank[index])
    return pylon_from_wing(east, north, *attitude, side)[0]


def excess(truth: Truth, index: NDArray[np.int64]) -> Floats:
    """Height less V·G·cos(crab)/g (own derivation; the product of velocities: J. Denker, 2008)."""
    product = truth.true_airspeed[index] * truth.ground_speed[index] * np.cos(truth.crab[index])
    return truth.height[index] - product / standard_gravity


@pytest.mark.parametrize(("airspeed", "wind"), [(100, 0), (80, 12), (100, 20), (130, 25)])
def test_the_pylon_stays_on_the_wing_line_at_the_pivotal_height(airspeed: float, wind: float) -> None:
    truth = flown(wind * knot, true_airspeed=airspeed * knot)
    for index, side, pylon in loops(truth):
        assert np.sqrt(np.mean(ahead(truth, index, side, pylon) ** 2)) < 4 * degree
        assert abs(excess(truth, index).mean()) < 40 * foot
        steepest = np.abs(truth.bank[index]).max()
        assert 28 * degree < steepest < 40 * degree  # FAA-S-ACS-7, CA.V.E: not above 40°


def test_in_calm_air_it_is_the_height_of_the_handbook() -> None:
    """Airplane Flying Handbook FAA-H-8083-3C, p. 7-15: ground speed squared over 11.3, 885 ft at 100 kt."""
    truth = flown(0.0, unsteadiness=0.0)
    for index, _, _ in loops(truth):
        assert truth.height[index].mean() / foot == pytest.approx(885, abs=30)


def test_the_first_turn_is_into_the_wind_and_loops_alternate() -> None:
    truth = flown(20 * knot, direction="right", wind_from=radians(240))
    m = truth.maneuver
    assert [side for _, side, _ in loops(truth)] == [1.0, -1.0, 1.0, -1.0]
    toward = m.entry_track + radians(90)
    assert np.cos(toward - radians(240)) > 0.0
    across = np.arctan2(m.places[1][0] - m.places[0][0], m.places[1][1] - m.places[0][1])
    assert abs(np.sin(across - radians(240))) == pytest.approx(1.0, abs=1e-6)


@pytest.mark.parametrize(("airspeed", "wind"), [(90, 0), (100, 15), (120, 20)])
def test_there_are_some_seconds_straight_between_the_loops(airspeed: float, wind: float) -> None:
    """3 to 5 s (Airplane Flying Handbook and older practical test standards), with what a pilot wanders."""
    truth = flown(wind * knot, true_airspeed=airspeed * knot)
    level = np.abs(truth.bank) < 5 * degree
    m = truth.maneuver
    for start in m.boundaries[1:-1]:
        spent = 0.1 * np.count_nonzero(level & (truth.time > start - 10.0) & (truth.time < start))
        assert 2.0 < spent < 7.5


def test_laps_are_eights_of_two_loops_and_half_an_eight_is_one() -> None:
    assert len(flown(laps=1).maneuver.boundaries) == 1 + 2
    assert len(flown(laps=1.5).maneuver.boundaries) == 1 + 3
    assert len(flown(laps=0.5).maneuver.boundaries) == 1 + 1


@pytest.mark.parametrize("size", [150.0, -150.0])
def test_a_height_off_the_pivotal_height_stays_off(size: float) -> None:
    truth = flown(faults={"pivotal-altitude-not-followed": size})
    for index, _, _ in loops(truth):
        assert excess(truth, index).mean() / foot == pytest.approx(size, abs=40)


def test_an_error_of_some_loops_is_made_in_those_alone() -> None:
    truth = flown(faults={"pivotal-altitude-not-followed": 200.0}, faulty_laps=(3,))
    off = [excess(truth, index).mean() / foot for index, _, _ in loops(truth)]
    assert off[2] > 110
    assert max(abs(off[0]), abs(off[1])) < 60


def test_the_bank_goes_over_the_limit_of_40_degrees() -> None:
    truth = flown(faults={"bank-over-limit": 6.0})
    for index, _, _ in loops(truth):
        assert np.abs(truth.bank[index]).max() / degree == pytest.approx(46, abs=2)


@pytest.mark.parametrize("size", [0.1, -0.1])
def test_a_skid_leaves_less_for_the_bank_to_do(size: float) -> None:
    truth, good = flown(faults={"uncoordinated": size}), flown()
    for (index, side, _), (well, _, _) in zip(loops(truth), loops(good), strict=True):
        force = side * truth.lateral_acceleration[index] / standard_gravity
        assert force.mean() == pytest.approx(size, abs=0.01)
        bank = np.abs(truth.bank[index]).mean() - np.abs(good.bank[well]).mean()
        assert np.sign(bank) == -np.sign(size)


def test_what_does_not_apply_is_refused() -> None:
    assert "altitude-not-held" not in FAULTS_THAT_APPLY
    with pytest.raises(UsageError):
        flown(faults={"altitude-not-held": 100.0})


def test_pylons_that_stand_too_close_are_refused() -> None:
    with pytest.raises(NoSolutionError, match="no straight way"):
        flown(spacing=10.0)


def test_the_line_of_the_pylons_can_be_chosen() -> None:
    truth = flown(course=radians(20), spacing=1000.0)
    (east, north), (to_east, to_north) = truth.maneuver.places
    assert np.hypot(to_east - east, to_north - north) == pytest.approx(1000.0, abs=0.1)
    assert np.arctan2(to_east - east, to_north - north) % full_turn == pytest.approx(radians(20), abs=1e-6)
