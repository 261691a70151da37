"""The flights of known truth are what they should be before anything is measured against them."""

from __future__ import annotations

from dataclasses import replace
from math import pi, radians

import numpy as np
import pytest
from scipy.special import ellipe

from .flights import (
    FOOT,
    GROUND_FT,
    KNOT,
    LIGHT_TURBULENCE_KT,
    Order,
    TruthFlight,
    departures,
    fly_circle,
)
from .grid import DEVELOPMENT, RESERVED, condition, mix, orders
from .measure import wind_bound
from .recorders import MEMORY, PHONE_SD, avionics, gauss_markov, phone

CLEAN = orders(RESERVED)


def name(order: Order) -> str:
    return f"{order.airplane}-{order.wind_kt:.0f}kt-{order.direction}-{order.radius_ft:.0f}ft"


@pytest.fixture(params=CLEAN, ids=name)
def flight(request: pytest.FixtureRequest) -> TruthFlight:
    return fly_circle(request.param)


def test_a_clean_flight_keeps_radius_and_height(flight: TruthFlight) -> None:
    inside = flight.established
    radial = flight.distance[inside] / FOOT - flight.order.radius_ft
    height = flight.altitude[inside] / FOOT - GROUND_FT - flight.order.height_ft
    assert np.abs(radial).max() < 85.0
    assert np.abs(height).max() < 40.0
    assert np.ptp(flight.true_airspeed[inside]) < 10.0 * KNOT


def test_turns_are_coordinated(flight: TruthFlight) -> None:
    inside = flight.established
    assert np.abs(flight.lateral_acceleration[inside]).max() < 0.6
    assert np.sqrt(np.mean(flight.lateral_acceleration[inside] ** 2)) < 0.25
    assert np.abs(flight.sideslip[inside]).max() < radians(2.5)


def test_bank_and_turn_rate_belong_together(flight: TruthFlight) -> None:
    """In a level coordinated turn g·tan(bank) = V·(rate of heading): derivations, section A."""
    inside = flight.established
    rate = np.gradient(np.unwrap(flight.heading), flight.time)
    bank = np.arctan(flight.true_airspeed * rate / 9.80665)
    difference = (bank - flight.bank)[inside]
    assert np.sqrt(np.mean(difference**2)) < radians(1.5)
    assert abs(difference.mean()) < radians(1.0)


def test_the_wind_is_the_ordered_one(flight: TruthFlight) -> None:
    """Ground velocity less the ordered wind is as fast as the model's own true airspeed, and goes its way.

    In the body frame the air velocity lies along (cos α cos β, sin β, sin α cos β); turned by pitch, bank
    and heading (in that order of multiplication) it is the velocity through the air in north, east, down.
    """
    air_east = flight.velocity_east - flight.wind_east
    air_north = flight.velocity_north - flight.wind_north
    assert np.allclose(np.hypot(air_east, air_north), flight.true_airspeed, atol=0.3)
    a, b, pitch, bank = flight.angle_of_attack, flight.sideslip, flight.pitch, flight.bank
    down_turned = np.sin(bank) * np.sin(b) + np.cos(bank) * np.sin(a) * np.cos(b)
    ahead = np.cos(pitch) * np.cos(a) * np.cos(b) + np.sin(pitch) * down_turned
    right = np.cos(bank) * np.sin(b) - np.sin(bank) * np.sin(a) * np.cos(b)
    direction = flight.heading + np.arctan2(right, ahead)
    difference = np.angle(np.exp(1j * (np.arctan2(air_east, air_north) - direction)))
    assert np.abs(difference).max() < radians(0.5)


def test_it_turns_as_often_and_the_way_it_should(flight: TruthFlight) -> None:
    turned = np.interp([flight.start, flight.end], flight.time, flight.track)
    assert flight.turn * (turned[1] - turned[0]) == pytest.approx(2 * pi * flight.order.laps, abs=radians(50))
    assert np.all(flight.turn * flight.bank[flight.established] > 0)


def test_bank_is_what_the_circle_needs(flight: TruthFlight) -> None:
    """tan(bank) = G²/(g·R·cos(crab)): derivations, section B; on the downwind and on the upwind half."""
    downwind = radians(flight.order.wind_from_deg + 180.0)
    speed_2 = flight.velocity_east**2 + flight.velocity_north**2
    air = np.arctan2(flight.velocity_east - flight.wind_east, flight.velocity_north - flight.wind_north)
    needed = np.arctan(speed_2 / (9.80665 * flight.radius * np.cos(air - flight.track)))
    excess = np.abs(flight.bank) - needed
    tailwind = np.cos(flight.track - downwind)
    for half in (tailwind > 0, tailwind < 0):
        assert abs(excess[flight.established & half].mean()) < radians(3.0)


def test_a_lap_takes_the_time_of_the_closed_form(flight: TruthFlight) -> None:
    """T = 4·R·V·E(m)/(V² - W²) with m = (W/V)²: derivations, section B."""
    inside = flight.established
    azimuth = flight.turn * np.unwrap(np.arctan2(flight.east, flight.north))[inside]
    time = flight.time[inside]
    if azimuth[-1] - azimuth[0] < 2 * pi:
        begin = azimuth[0] - (2 * pi - (azimuth[-1] - azimuth[0])) / 2
        azimuth = flight.turn * np.unwrap(np.arctan2(flight.east, flight.north))
        time = flight.time
    else:
        begin = azimuth[0]
    measured = np.diff(np.interp([begin, begin + 2 * pi], azimuth, time))[0]
    speed = flight.true_airspeed[flight.established].mean()
    wind = flight.order.wind_kt * KNOT
    computed = 4 * flight.radius * speed * ellipe((wind / speed) ** 2) / (speed**2 - wind**2)
    assert measured == pytest.approx(computed, rel=0.06)


def test_straight_legs_lead_in_and_out(flight: TruthFlight) -> None:
    """A minute of downwind leg before the turn, a turn of 90° before that, and a minute after."""
    downwind = radians(flight.order.wind_from_deg + 180.0)
    before = (flight.time > flight.start - 45.0) & (flight.time < flight.start - 5.0)
    assert np.all(np.cos(flight.track[before] - downwind) > np.cos(radians(20.0)))
    assert abs(np.cos(flight.track[0] - downwind)) < 0.1
    assert flight.time[-1] - flight.end > 55.0


def test_a_sloppy_flight_is_sloppier() -> None:
    order = orders(DEVELOPMENT)[8]
    clean = fly_circle(order)
    sloppy = fly_circle(orders(DEVELOPMENT, sloppiness=1.0)[8])
    spread = [np.std(each.distance[each.established]) for each in (clean, sloppy)]
    assert spread[1] > 2 * spread[0]


def test_a_flight_that_was_not_flown_as_ordered_is_refused() -> None:
    flown = fly_circle(CLEAN[0])
    assert not departures(flown)
    rolling = flown.bank + radians(10.0) * np.sin(3.0 * flown.time)
    spoiled = {
        "ft off the radius": replace(
            flown, order=replace(flown.order, radius_ft=flown.order.radius_ft + 150)
        ),
        "ft off the height": replace(flown, altitude=flown.altitude + 30.0),
        "deg/s of roll": replace(flown, bank=rolling),
        "kt off the mean airspeed": replace(
            flown, true_airspeed=flown.true_airspeed + 12.0 * KNOT * np.sin(0.2 * flown.time)
        ),
    }
    for what, flight in spoiled.items():
        assert [each for each in departures(flight) if each.endswith(what)]


def test_light_turbulence_has_its_strength() -> None:
    """Gusts of a tenth of the wind at 20 ft, 15 kt for light turbulence: MIL-F-8785C, from memory.

    The air velocity is told by the model itself; the pilot tends the power and the flight is still a circle.
    """
    for order in orders(DEVELOPMENT, turbulence_kt=LIGHT_TURBULENCE_KT)[4:36:10]:
        flight = fly_circle(order)
        gusts = np.hypot(flight.gust_east, flight.gust_north) / KNOT
        assert order.tends_power
        assert 0.8 < np.sqrt(np.mean(gusts**2) / 2) < 2.0


def test_a_drifting_wind_drifts_slowly(drifting: list[TruthFlight]) -> None:
    """1 kt in ten minutes, growing with the square root of time as a random walk does; no gusts."""
    changes = []
    for flight in drifting:
        for gust in (flight.gust_east, flight.gust_north):
            assert np.abs(np.diff(gust)).max() < 0.03 * KNOT
            span = flight.time[-1]
            changes.append((gust[-1] - gust[0]) / KNOT / np.sqrt(span / 600.0))
    assert np.std(changes) == pytest.approx(1.0, abs=0.25)


def test_blocks_of_draws_are_apart() -> None:
    numbers = [
        {order.number for flights in mix(block, 50).values() for order in flights}
        for block in (DEVELOPMENT, RESERVED)
    ]
    assert not numbers[0] & numbers[1]


def test_conditions_are_drawn_apart() -> None:
    numbers = [{order.number for order in flights} for flights in mix(RESERVED, 3).values()]
    assert len(set().union(*numbers)) == sum(len(each) for each in numbers)
    assert all(condition(order) == name for name, flights in mix(RESERVED).items() for order in flights)


def test_slow_errors_have_their_size_and_memory() -> None:
    time = np.arange(100_000.0)
    error = gauss_markov(np.random.default_rng(1), time, 2.5, 120.0)
    assert error.std() == pytest.approx(2.5, rel=0.1)
    assert np.corrcoef(error[:-120], error[120:])[0, 1] == pytest.approx(np.exp(-1), abs=0.1)


def test_the_least_wind_error_is_that_of_a_fit_to_positions_in_error() -> None:
    """Fit wind and airspeed to the differences of positions in error alone, on an evenly turned circle."""
    flight = fly_circle(CLEAN[0])
    rng, time = np.random.default_rng(5), np.arange(0.0, flight.end - flight.start)
    heading = 2 * pi * (time[:-1] + 0.5) / (time.size - 1)
    ahead = np.stack([np.sin(heading), np.cos(heading)])
    columns = np.stack([*ahead, np.ones_like(heading)], axis=1)
    errors = []
    for _ in range(600):
        slow = [np.diff(gauss_markov(rng, time, PHONE_SD, MEMORY)) for _ in range(2)]
        errors.append(np.hypot(*np.linalg.lstsq(columns, (ahead * slow).sum(axis=0))[0][:2]))
    assert np.median(errors) == pytest.approx(wind_bound(flight), rel=0.12)


def test_recorders_keep_to_their_errors() -> None:
    flight = fly_circle(CLEAN[0])
    recording = phone(flight, 3)
    north = (recording.latitude - np.interp(recording.time, flight.time, flight.latitude)) * 6.371e6
    assert 0.5 < north.std() < 6.0
    assert 0 < flight.time[-1] - len(recording) < 12
    assert np.array_equal(recording.latitude, phone(flight, 3).latitude)
    assert not np.array_equal(recording.latitude[:50], phone(flight, 4).latitude[:50])
    panel = avionics(flight, 3)
    assert panel.bank is not None
    error = panel.bank - np.interp(panel.time, flight.time, flight.bank)
    assert np.abs(error).max() < radians(3.0)
