"""Simulated steep turns: what the true motion shows, and that each error is really flown."""

from __future__ import annotations

from math import radians
from typing import Any

import numpy as np
import pytest

from groundref.errors import UsageError
from groundref.mechanics import trochoid
from groundref.simulation import Truth, simulate
from groundref.simulation.steep_turns import DIRECTLY, PAUSE, USUAL_HEIGHT
from groundref.units import degree, foot, knot, standard_gravity

STEADY = {"unsteadiness": 0.0}


def fly(faults: dict[str, float | None] | None = None, **options: Any) -> Truth:
    options = {"laps": 2, "height": USUAL_HEIGHT, "flight": "maneuver-only", **options}
    return simulate("steep-turns", faults=faults or {}, **options)[1]


def heading(truth: Truth, time: float) -> float:
    return float(np.degrees(np.interp(time, truth.time, np.unwrap(truth.heading))))


def inside(truth: Truth, number: int) -> np.ndarray:
    """Return which samples lie in a turn, between rolling in and rolling out."""
    bounds = truth.maneuver.boundaries
    begin, end = bounds[number - 1] + 4.0, bounds[number] - 4.0
    if number < len(bounds) - 1:
        end -= PAUSE + 4.0
    return truth.during(begin, end)


@pytest.mark.parametrize("direction", ["left", "right"])
@pytest.mark.parametrize("speed", [55.0, 95.0, 160.0])
def test_the_bank_is_held_one_way_and_then_the_other(speed: float, direction: str) -> None:
    truth = fly(direction=direction, true_airspeed=speed * knot, **STEADY)
    first = 1.0 if direction == "right" else -1.0
    assert truth.maneuver.direction == "both"
    for number, side in ((1, first), (2, -first)):
        bank = side * np.degrees(truth.bank[inside(truth, number)])
        assert bank.size > 20
        np.testing.assert_allclose(bank, 45.0, atol=0.5)


def test_radius_and_time_are_those_of_the_formulas() -> None:
    """Radius V²/(g tan φ) and 2πV/(g tan φ) for 360°, with the airspeed really flown."""
    truth = fly(laps=1, wind_speed=0.0, **STEADY)
    part = inside(truth, 1)
    speed = float(truth.true_airspeed[part].mean())
    rate = np.gradient(np.unwrap(truth.heading[part]), truth.time[part])
    assert abs(rate.mean()) == pytest.approx(standard_gravity / speed, rel=0.01)  # tan 45° is 1
    chord = np.hypot(truth.east[part] - truth.east[part].mean(), truth.north[part] - truth.north[part].mean())
    assert chord.max() < 1.4 * speed**2 / standard_gravity


@pytest.mark.parametrize("wind", [0.0, 12.0, 25.0])
@pytest.mark.parametrize("bank", [45.0, 50.0])
def test_each_turn_ends_on_the_heading_it_began_on(bank: float, wind: float) -> None:
    truth = fly(bank_limit=radians(bank), wind_speed=wind * knot, course=radians(100), **STEADY)
    flown = truth.maneuver
    start = heading(truth, flown.start - 4.0)
    assert abs(heading(truth, flown.end + 5.0) - start) == pytest.approx(0.0, abs=2.5)
    level = truth.during(flown.start, flown.end) & (np.abs(truth.bank) < radians(10))
    pause = float(level.sum()) * 0.1
    assert (pause > PAUSE - 1.0) == (radians(bank) < DIRECTLY)


def test_the_wind_carries_the_turn_by_the_trochoid_formula() -> None:
    truth = fly(laps=1, wind_speed=20 * knot, **STEADY)
    part = truth.during(truth.maneuver.start, truth.maneuver.end)
    time = truth.maneuver.end - truth.maneuver.start
    moved = np.hypot(*(np.ptp(getattr(truth, name)[part][[0, -1]]) for name in ("east", "north")))
    speed = float(truth.true_airspeed[part].mean())
    turned = abs(heading(truth, truth.maneuver.end) - heading(truth, truth.maneuver.start))
    drift = float(trochoid.drift_per_lap(speed, 20 * knot, 45 * degree))
    # The way through the air closes but for the degrees that lack at both ends.
    left = 2.0 * speed**2 / standard_gravity * np.sin(np.radians(360.0 - turned) / 2.0)
    assert abs(moved - drift * time * standard_gravity / (2.0 * np.pi * speed)) < left + 15.0


@pytest.mark.parametrize("size", [8.0, 12.0])
def test_bank_not_held(size: float) -> None:
    truth = fly({"bank-not-held": size}, **STEADY)
    bank = np.degrees(np.abs(truth.bank[inside(truth, 1)]))
    assert bank.max() == pytest.approx(45.0 + size, abs=1.0)
    assert bank.min() == pytest.approx(45.0 - size, abs=2.5)


@pytest.mark.parametrize("missed", [-25.0, 20.0])
def test_rollout_heading_missed(missed: float) -> None:
    truth = fly({"rollout-heading-missed": missed}, laps=1, direction="right", **STEADY)
    start, end = (heading(truth, t) for t in (truth.maneuver.start - 4.0, truth.maneuver.end + 4.0))
    assert end - start - 360.0 == pytest.approx(missed, abs=2.5)


def test_altitude_not_held() -> None:
    truth = fly({"altitude-not-held": 200.0}, laps=1, **STEADY)
    height = truth.height[truth.during(truth.maneuver.start, truth.maneuver.end)] / foot
    assert 2500.0 - height.min() == pytest.approx(200.0, abs=30.0)


def test_airspeed_not_held() -> None:
    steady, slow = fly(**STEADY), fly({"airspeed-not-held": 12.0}, **STEADY)
    least = [
        each.true_airspeed[each.during(each.maneuver.start, each.maneuver.end)].min() / knot
        for each in (steady, slow)
    ]
    assert least[0] - least[1] == pytest.approx(12.0, abs=3.0)


def test_uncoordinated() -> None:
    truth = fly({"uncoordinated": 0.1}, direction="right", laps=1, **STEADY)
    force = truth.lateral_acceleration[inside(truth, 1)] / standard_gravity
    assert force.mean() == pytest.approx(0.1, abs=0.01)


def test_a_fault_of_one_turn_alone() -> None:
    truth = fly({"bank-not-held": 10.0}, faulty_laps=[2], **STEADY)
    np.testing.assert_allclose(np.abs(np.degrees(truth.bank[inside(truth, 1)])), 45.0, atol=0.5)
    assert np.ptp(np.abs(np.degrees(truth.bank[inside(truth, 2)]))) > 8.0


def test_a_fault_of_another_maneuver_is_refused() -> None:
    with pytest.raises(UsageError, match="wrong-crab"):
        fly({"wrong-crab": None})
