"""The simulated airplane obeys the mechanics of flight, checked against closed forms and scipy."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from groundref.mechanics import circle as circles
from groundref.mechanics import trochoid
from groundref.simulation import Weather, airborne, compose
from groundref.simulation.airplane import GLIDER, Airplane
from groundref.simulation.around_point import Circle
from groundref.simulation.fly import Command, Motion, fly
from groundref.simulation.legs import Straight, Turn
from groundref.simulation.patterns import thermal_climb
from groundref.simulation.wind_field import Wander
from groundref.units import degree, foot, knot, standard_gravity

CALM = Weather.blowing(0.0, 0.0)


def level(speed: float, bank: float = 0.0, wind: tuple[float, float] = (0.0, 0.0)) -> Motion:
    now = Motion(0.0, 0.0, 0.0, 300.0, wind[0], wind[1] + speed, 0.0, bank=bank)
    now.wind_east, now.wind_north = wind
    now.derive()
    return now


def hold(now: Motion, seconds: float, order: Command, airplane: Airplane, step: float = 0.05) -> list[Motion]:
    for _ in range(round(seconds / step)):
        fly(now, order, airplane, (now.wind_east, now.wind_north), step)
    return [now]


def test_heading_turns_at_the_rate_of_a_steady_level_turn() -> None:
    airplane = Airplane()
    speed, bank = 90 * knot, 30 * degree
    now = level(speed, bank)
    thrust = now.thrust = airplane.drag(speed, 1 / np.cos(bank))
    hold(now, 20.0, Command(bank, 0.0, thrust), airplane)
    # Rate of turn g tan(bank)/V: any textbook on the mechanics of flight.
    assert now.airspeed == pytest.approx(speed, rel=1e-6)
    assert now.heading % (2 * np.pi) == pytest.approx(20 * standard_gravity * np.tan(bank) / speed, abs=1e-5)


def test_constant_bank_in_wind_drifts_like_a_trochoid() -> None:
    airplane = Airplane()
    speed, bank, wind = 90 * knot, 30 * degree, 15 * knot
    now = level(speed, bank, (wind, 0.0))
    thrust = now.thrust = airplane.drag(speed, 1 / np.cos(bank))
    lap = 2 * np.pi * speed / (standard_gravity * np.tan(bank))
    step = lap / 1000
    for _ in range(1000):
        fly(now, Command(bank, 0.0, thrust), airplane, (wind, 0.0), step)
    assert now.east == pytest.approx(float(trochoid.drift_per_lap(speed, wind, bank)), abs=0.01)
    assert now.east == pytest.approx(396.488, abs=0.01)  # 90 kt, 15 kt, 30°: 51.381 s of 7.7167 m/s
    assert now.north == pytest.approx(0.0, abs=0.01)


def test_airspeed_decay_agrees_with_scipy() -> None:
    airplane = Airplane()
    speed, bank, climb = 95 * knot, 45 * degree, 2.0
    now = level(speed, bank)
    now.climb, now.thrust = climb, 1.0
    hold(now, 15.0, Command(bank, climb, 1.0), airplane)

    def slowing(_: float, v: np.ndarray) -> np.ndarray:
        ratio = (v / airplane.trim_speed) ** 2
        drag = standard_gravity * (airplane.parasitic * ratio + airplane.induced * 2.0 / ratio)
        return 1.0 - drag - standard_gravity * climb / v

    exact = solve_ivp(slowing, (0.0, 15.0), [speed], rtol=1e-10, atol=1e-10).y[0, -1]
    assert now.airspeed == pytest.approx(exact, abs=1e-4)


def test_height_is_traded_for_speed_at_constant_energy() -> None:
    free = Airplane(parasitic=0.0, induced=0.0)
    now = level(45.0)
    hold(now, 10.0, Command(0.0, -3.0, 0.0), free)
    fallen = 300.0 - now.height
    assert fallen == pytest.approx(3.0 * (10.0 - 1.6), abs=3.0)
    assert 0.5 * now.airspeed**2 == pytest.approx(0.5 * 45.0**2 + standard_gravity * fallen, rel=1e-6)


def test_a_gust_changes_the_airspeed_and_not_the_ground_speed() -> None:
    airplane = Airplane()
    now = level(45.0)
    now.thrust = airplane.drag(45.0, 1.0)
    fly(now, Command(0.0, 0.0, now.thrust), airplane, (0.0, -5.0), 0.01)
    assert now.ground_speed == pytest.approx(45.0, abs=0.02)
    assert now.airspeed == pytest.approx(50.0, abs=0.02)


def test_side_force_widens_the_turn_as_the_balance_of_forces_says() -> None:
    airplane = Airplane()
    speed, bank, side_force = 45.0, 25 * degree, -0.1 * standard_gravity
    now = level(speed, bank)
    thrust = now.thrust = airplane.drag(speed, 1 / np.cos(bank))
    hold(now, 5.0, Command(bank, 0.0, thrust, side_force=side_force), airplane)
    # Lift and side force resolved upward and sideways: two equations solved, not our closed form.
    lift = np.linalg.solve(
        [[np.cos(bank), 0.0], [np.sin(bank), -1.0]],
        [standard_gravity + side_force * np.sin(bank), -side_force * np.cos(bank)],
    )
    assert now.heading == pytest.approx(5.0 * lift[1] / speed, rel=1e-4)


def test_roll_keeps_its_limits() -> None:
    airplane = Airplane(roll_rate=8 * degree)
    now = level(45.0)
    now.thrust = airplane.drag(45.0, 1.0)
    rates = []
    for _ in range(160):
        fly(now, Command(40 * degree, 0.0, now.thrust), airplane, (0.0, 0.0), 0.05)
        rates.append(now.roll_rate)
    assert max(rates) == pytest.approx(8 * degree, rel=0.02)
    assert max(np.diff(rates)) / 0.05 <= airplane.roll_acceleration * 1.001
    assert now.bank == pytest.approx(40 * degree, abs=0.5 * degree)


def test_needed_bank_is_that_of_the_mechanics() -> None:
    circle = Circle(0.0, 0.0, 365.0, 1.0, 0.0, 3.0, 240.0, 46.0, 0.8)
    ours = circle.needed_bank(52.0, 0.11, 365.0)
    assert ours == pytest.approx(float(circles.bank_from_ground_speed(52.0, 0.11, 365.0)), rel=1e-14)


def test_wander_has_the_stated_deviation_and_correlation() -> None:
    wander = Wander(2.0, 5.0, 0.5, np.random.default_rng(3))
    values = np.array([wander.advance() for _ in range(200_000)])
    # The sd of the estimate is about sd √(τ/T) = 0.7 %.
    assert values.std() == pytest.approx(2.0, rel=0.03)
    assert np.corrcoef(values[:-10], values[10:])[0, 1] == pytest.approx(np.exp(-1.0), abs=0.02)


def test_wind_shift_and_growth_with_height() -> None:
    weather = Weather.blowing(10.0, 1.5 * np.pi, shift=(0.0, 6.0), height=200.0)
    legs = [Straight(240.0, 45.0, seconds=750.0)]
    _, truth = compose(legs, airborne(0, 0, 240.0, 0.0, 45.0, weather), weather=weather, unsteadiness=0.0)
    assert truth.wind_east == pytest.approx(10.0)  # from the west, above the height where it grows
    assert truth.wind_north[-1] == pytest.approx(3.0, abs=0.01)  # half of the shift after half of 1,500 s
    low = [Straight(30.0, 45.0, seconds=5.0)]
    _, near = compose(low, airborne(0, 0, 30.0, 0.0, 45.0, weather), weather=weather, unsteadiness=0.0)
    assert near.wind_east[-1] == pytest.approx(10.0 * (30.0 / 120.0) ** (1 / 7), rel=0.01)


@pytest.mark.parametrize("angle", [-360.0, 90.0, 720.0])
def test_a_turn_ends_on_its_heading(angle: float) -> None:
    turn = [Straight(300.0, 46.0, seconds=5.0), Turn(angle * degree, 30 * degree, 46.0)]
    start = airborne(0, 0, 300.0, 0.0, 46.0, CALM)
    # No rate of turn is asked for after it: what is left is the airplane rolling level by itself.
    level_again = Turn(0.0, 0.0, 46.0)
    _, truth = compose([*turn, level_again], start, weather=CALM, unsteadiness=0.0)
    rolling = np.degrees(truth.bank[-1])
    assert abs(rolling) == pytest.approx(30.0, abs=1.0)  # the turn leg ends where rolling out begins
    left_to_turn = (
        standard_gravity * np.tan(abs(truth.bank[-1])) / 46.0 * Airplane().half_roll_time(30 * degree)
    )
    turned = np.degrees(np.unwrap(truth.heading)[-1] - truth.heading[0] + np.sign(angle) * left_to_turn)
    assert turned == pytest.approx(angle, abs=2.0)


def test_a_sailplane_circles_upward_at_its_speed() -> None:
    start = airborne(0, 0, 400.0, 0.0, 45 * knot, CALM)
    _, truth = compose(thermal_climb(), start, airplane=GLIDER, weather=CALM)
    assert truth.height[-1] - truth.height[0] > 1000 * foot
    assert abs(truth.true_airspeed - 45 * knot).max() < 4 * knot
    assert np.degrees(np.median(truth.bank)) == pytest.approx(40.0, abs=1.0)
