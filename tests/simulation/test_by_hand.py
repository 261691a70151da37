"""The airplane flown by hand, against closed forms and against an integration that is not ours."""

from __future__ import annotations

from math import cos, degrees, hypot, pi, radians, sin, tan

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from scipy.integrate import solve_ivp

from groundref.mechanics import circle, trochoid
from groundref.simulation.by_hand import START, Flying, Try, seen, start, step
from groundref.units import knot, standard_gravity

STEP = 1 / 30


def a_try(speed=90.0, wind=15.0, downwind=1.05, radius=500.0, side=-1.0):
    return Try(
        true_airspeed=speed * knot,
        wind_east=wind * knot * sin(downwind),
        wind_north=wind * knot * cos(downwind),
        roll_rate=radians(15),
        radius=radius,
        side=side,
        downwind=downwind,
    )


# derivations.md C: 90/15 kt at 30° 396.488 m, 100/20 kt at 20° 931.752 m, 100/30 kt at 45° 508.695 m.
@pytest.mark.parametrize(
    ("speed", "wind", "bank", "drift"),
    [(90, 15, 30, 396.488), (100, 20, 20, 931.752), (100, 30, 45, 508.695)],
)
@pytest.mark.parametrize("side", [-1.0, 1.0])
def test_a_bank_held_drifts_downwind_by_that_of_the_trochoid(speed, wind, bank, drift, side):
    flown = a_try(speed, wind, side=side)
    held = side * radians(bank)
    lap = float(trochoid.lap_time(speed * knot, held))
    first = now = Flying(0.0, 100.0, -50.0, 1.0, held)
    while now.time < lap - STEP:
        now = step(now, held, STEP, flown)
    now = step(now, held, lap - now.time, flown)
    east, north = now.east - first.east, now.north - first.north
    along = east * sin(flown.downwind) + north * cos(flown.downwind)
    across = east * cos(flown.downwind) - north * sin(flown.downwind)
    assert along == pytest.approx(drift, abs=0.002)
    assert along == pytest.approx(float(trochoid.drift_per_lap(speed * knot, wind * knot, held)), abs=1e-6)
    assert abs(across) < 1e-6
    assert now.heading == pytest.approx(first.heading + side * 2 * pi, abs=1e-9)


@pytest.mark.parametrize(("speed", "wind", "radius"), [(90, 15, 500), (100, 30, 800), (65, 25, 400)])
@pytest.mark.parametrize("side", [-1.0, 1.0])
def test_the_bank_needed_closes_the_circle(speed, wind, radius, side):
    flown = a_try(speed, wind, radius=float(radius), side=side)
    entry = start(flown)
    back = (speed + wind) * knot * START
    abeam = Flying(
        0.0,
        entry.east + back * sin(flown.downwind),
        entry.north + back * cos(flown.downwind),
        entry.heading,
        0.0,
    )
    now = Flying(0.0, abeam.east, abeam.north, abeam.heading, seen(abeam, flown).bank_needed)
    lap = float(circle.lap_time(speed * knot, wind * knot, radius))
    short = 0.002  # the bank needed is held over each step, so the step is short here
    worst = 0.0
    for _ in range(round(lap / short)):
        now = step(now, seen(now, flown).bank_needed, short, flown)
        worst = max(worst, abs(hypot(now.east, now.north) - radius))
    assert worst < 1.0
    assert hypot(now.east - abeam.east, now.north - abeam.north) < 2.0
    assert now.heading - abeam.heading == pytest.approx(side * 2 * pi, abs=radians(0.2))


def test_what_is_needed_is_that_of_the_circle():
    flown = a_try(side=1.0)
    now = start(flown)
    at = seen(now, flown)
    assert degrees(at.bank_needed) == pytest.approx(30.755, abs=0.001)  # check-values 6, 90/15 kt at 500 m
    assert at.crab == pytest.approx(0.0, abs=1e-12)
    assert at.ground_speed == pytest.approx(105 * knot)


@settings(max_examples=40, deadline=None)
@given(
    bank=some.floats(-60, 60),
    asked=some.floats(-60, 60),
    heading=some.floats(0, 360),
    time=some.floats(0.01, 0.1),
)
def test_a_step_solves_the_equations_of_motion(bank, asked, heading, time):
    flown = a_try()
    now = Flying(5.0, 10.0, 20.0, radians(heading), radians(bank))
    after = step(now, radians(asked), time, flown)
    rolling = min(abs(radians(asked - bank)) / flown.roll_rate, time)
    state = [now.east, now.north, now.heading, now.bank]
    for duration, rate in ((rolling, np.sign(asked - bank) * flown.roll_rate), (time - rolling, 0.0)):
        if duration > 0.0:
            state = _integrated(state, duration, rate, flown)
    assert [after.east, after.north, after.heading, after.bank] == pytest.approx(state, abs=2e-6)
    assert after.time == pytest.approx(5.0 + time)


def _integrated(state, duration, rate, flown):
    speed = flown.true_airspeed

    def slope(_, y):
        return [
            speed * sin(y[2]) + flown.wind_east,
            speed * cos(y[2]) + flown.wind_north,
            standard_gravity * tan(y[3]) / speed,
            rate,
        ]

    return solve_ivp(slope, (0, duration), state, method="DOP853", rtol=1e-11, atol=1e-11).y[:, -1]


def test_the_bank_never_changes_faster_than_the_airplane_rolls():
    flown = a_try()
    now = start(flown)
    for _ in range(45):
        before, now = now, step(now, radians(-40), STEP, flown)
        assert abs(now.bank - before.bank) <= flown.roll_rate * STEP * (1 + 1e-9)
    assert degrees(now.bank) == pytest.approx(-22.5)
    for _ in range(200):
        now = step(now, radians(-40), STEP, flown)
    assert now.bank == radians(-40)


def test_it_begins_downwind_with_the_point_to_be_abeam():
    for side in (-1.0, 1.0):
        flown = a_try(side=side)
        now = start(flown)
        abeam = step(now, 0.0, START, flown)
        assert hypot(abeam.east, abeam.north) == pytest.approx(500.0)
        at = seen(abeam, flown)
        assert at.position == pytest.approx(0.0, abs=1e-9)
        # The point is square to the heading, on the side that is turned to.
        toward = -abeam.east * cos(now.heading) + abeam.north * sin(now.heading)
        assert side * toward == pytest.approx(500.0)
