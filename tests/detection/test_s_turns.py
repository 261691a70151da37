"""S-turns found in flights of known truth, and what is not taken for them."""

from __future__ import annotations

import re
from functools import cache
from itertools import pairwise, product
from math import pi, radians, tan
from typing import Any

import numpy as np
import pytest

from groundref.detection import line
from groundref.detection.maneuver import Maneuver
from groundref.simulation import Truth, Weather, airborne, compose, simulate
from groundref.simulation.legs import Leg, Straight, Turn
from groundref.simulation.s_turns import FAULTS_THAT_APPLY
from groundref.track.recording import Recording
from groundref.units import degree, foot, knot, standard_gravity

from .flights import OTHER, RECORDERS, found_in, other_flying

KIND = "s-turns"
EDGE = 1.5  # [s]


@cache
def drawn(number: int, fault: str | None = None, **fixed: Any) -> tuple[Recording, Truth]:
    """Return one of many lessons: 60-140 kt, 0-30 kt of wind, 500-3,000 ft, 2-6 half circles, any line."""
    chance = np.random.default_rng(number)
    speed = chance.uniform(60, 140) * knot
    wind = min(chance.uniform(0, 30) * knot, 0.35 * speed)
    tightest = (speed + wind) ** 2 / (standard_gravity * tan(radians(40)))
    wind_from = chance.uniform(0, 2 * pi)
    oblique = chance.random() < 0.3
    flight = {
        "true_airspeed": speed,
        "wind_speed": wind,
        "wind_from": wind_from,
        "radius": max(np.exp(chance.uniform(np.log(500), np.log(3000))) * foot, tightest),
        "course": wind_from + pi / 2 + chance.uniform(-0.9, 0.9) if oblique else None,
        "direction": ("left", "right")[(number // 2) % 2],
        "laps": int(chance.integers(2, 7)),
        "recorder": RECORDERS[number % 3],
        "seed": number,
        "faults": {fault: None} if fault else {},
        "gust_sd": float(chance.choice([0.0, 0.0, 1.0])),
        "flight": "maneuver-only",
    }
    return simulate(KIND, **{**flight, **fixed})


def agrees(found: list[Maneuver], truth: Truth) -> Maneuver:
    """Check kind, number and times."""
    (maneuver,) = found
    flown = truth.maneuvers[0]
    assert (maneuver.kind, maneuver.direction) == (KIND, "both")
    assert len(maneuver.laps) == flown.laps
    assert abs(maneuver.start - flown.start) < EDGE
    assert abs(maneuver.end - flown.end) < EDGE
    return maneuver


def bearing(truth: Truth) -> float:
    """Return the true bearing of the line [rad]."""
    (east, north), (to_east, to_north) = truth.maneuvers[0].places
    return float(np.arctan2(to_east - east, to_north - north))


@pytest.mark.parametrize("number", range(18))
def test_a_series_is_found_with_its_half_circles_and_its_line(number: int) -> None:
    recording, truth = drawn(number)
    maneuver = agrees(found_in(recording, truth), truth)
    off = (maneuver.reference.bearing - bearing(truth) + pi / 2) % pi - pi / 2
    assert abs(off) < max(3.0 * maneuver.reference.bearing_sd, 1.0 * degree)
    assert maneuver.radius == pytest.approx(truth.maneuvers[0].radius, rel=0.04)
    for lap, crossed in zip(maneuver.laps[:-1], truth.maneuvers[0].boundaries[1:-1], strict=True):
        assert abs(lap.end - crossed) < 1.0
    first = 1.0 if maneuver.laps[0].turn > 0.0 else -1.0
    assert [np.sign(lap.turn) for lap in maneuver.laps] == [
        first * (-1) ** k for k in range(len(maneuver.laps))
    ]


@pytest.mark.parametrize(("number", "fault"), list(enumerate(sorted(FAULTS_THAT_APPLY), start=40)))
def test_every_error_of_the_pilot_leaves_it_found(number: int, fault: str) -> None:
    recording, truth = drawn(number, fault, laps=4)
    agrees(found_in(recording, truth), truth)


@pytest.mark.parametrize("number", [40, 43, 46])
def test_half_circles_twice_as_wide_on_one_side_as_on_the_other_are_one_series(number: int) -> None:
    uneven = {"unequal-half-circles": 800.0}  # [ft] 1,600 and 800 ft
    flight = {"laps": 5, "radius": 1200 * foot, "true_airspeed": 80 * knot, "wind_speed": 8 * knot}
    recording, truth = drawn.__wrapped__(number, **flight, faults=uneven)
    maneuver = agrees(found_in(recording, truth), truth)
    radii = [lap.radius for lap in maneuver.laps]
    assert min(max(a, b) / min(a, b) for a, b in pairwise(radii)) > 1.5


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_a_wide_turn_after_some_seconds_is_none_of_the_half_circles(side: float) -> None:
    height, speed = 800 * foot, 90 * knot
    level = Straight(height, speed, seconds=20.0)
    halves = [Turn(sign * pi, radians(30), speed, height=height) for sign in (side, -side) * 2]
    wide = Turn(side * radians(215), radians(13), speed, height=height)
    weather = Weather.blowing(4 * knot, radians(240), height=250.0)
    for after in ([], [level, wide]):
        begin = airborne(0.0, 0.0, height, 1.0, speed, weather)
        recording, truth = compose([level, *halves, *after, level], begin, weather=weather, seed=5)
        (maneuver,) = found_in(recording, truth)
        assert (maneuver.kind, len(maneuver.laps)) == (KIND, 4)


@pytest.mark.parametrize("interval", [0.2, 2.0, 5.0])
def test_it_is_found_however_often_positions_were_recorded(interval: float) -> None:
    recording, truth = drawn(7, recorder="phone", interval=interval, laps=4, radius=1800 * foot, course=None)
    (maneuver,) = found_in(recording, truth)
    assert (maneuver.kind, len(maneuver.laps)) == (KIND, 4)


def test_one_half_circle_alone_is_none() -> None:
    recording, truth = drawn(3, laps=1)
    assert KIND not in [one.kind for one in found_in(recording, truth)]


@pytest.mark.parametrize(
    ("name", "wind"), list(product([each for each in OTHER if each != "s-turns"], [0.0, 12.0, 22.0]))
)
def test_other_flying_is_not_taken_for_it(name: str, wind: float) -> None:
    recording, truth = other_flying(name, wind, RECORDERS[(OTHER.index(name) + int(wind)) % 3])
    for found in (found_in(recording, truth), found_in(recording, truth, ground=None)):
        assert KIND not in [one.kind for one in found]


def turns(kind: str, side: float, bank: float, speed: float, height: float) -> list[Leg]:
    """Return ordinary flying with turns one way and the other."""
    level, pause = Straight(height, speed, seconds=45.0), Straight(height, speed, seconds=10.0)
    half, quarter = (Turn(side * angle, bank, speed, height=height) for angle in (pi, pi / 2))
    back, back_quarter = (Turn(-side * angle, bank, speed, height=height) for angle in (pi, pi / 2))
    ways: dict[str, list[Leg]] = {
        "search": [half, level, back, level, half, level, back],
        "clearing turns": [quarter, back_quarter, level, half, Straight(height, speed, seconds=4.0), back],
        "survey": [
            Turn(-side * pi / 4, bank, speed, height=height),
            Turn(side * 1.25 * pi, bank, speed, height=height),
            level,
            Turn(side * pi / 4, bank, speed, height=height),
            Turn(-side * 1.25 * pi, bank, speed, height=height),
        ],
        "lines": [
            *(quarter, pause, quarter, level, back_quarter, pause, back_quarter, level),
            *(quarter, pause, quarter, level, back_quarter, pause, back_quarter),
        ],
    }
    return ways[kind]


@pytest.mark.parametrize(
    ("kind", "number"), list(product(["search", "clearing turns", "survey", "lines"], range(3)))
)
def test_turns_to_look_around_and_turns_between_legs_are_none(kind: str, number: int) -> None:
    chance = np.random.default_rng(number)
    height, speed = (2500 if kind == "clearing turns" else 800) * foot, chance.uniform(75, 110) * knot
    weather = Weather.blowing(chance.uniform(0, 20) * knot, 1.0, height=height)
    straight = Straight(height, speed, seconds=40.0)
    legs = turns(kind, (-1.0, 1.0, -1.0)[number], radians(chance.uniform(18, 32)), speed, height)
    recording, truth = compose(
        [straight, *legs, straight],
        airborne(0.0, 0.0, height, 1.0, speed, weather),
        weather=weather,
        seed=number,
        recorder=RECORDERS[number],
    )
    assert KIND not in [one.kind for one in found_in(recording, truth)]


@pytest.mark.parametrize(("pause", "number"), [(8.0, 1), (14.0, 1), (40.0, 0)])
def test_half_circles_flown_straight_on_in_their_middle_are_still_some(pause: float, number: int) -> None:
    speed, height = 90 * knot, 800 * foot
    half = [Turn(0.5 * pi, radians(18), speed, height=height) for _ in range(2)]
    back = [Turn(-0.5 * pi, radians(18), speed, height=height) for _ in range(2)]
    middle, straight = Straight(height, speed, seconds=pause), Straight(height, speed, seconds=40.0)
    legs: list[Leg] = [straight, *[half[0], middle, half[1], back[0], middle, back[1]] * 2, straight]
    calm = Weather.blowing(0.0, 0.0, height=height)
    recording, truth = compose(legs, airborne(0.0, 0.0, height, 0.0, speed, calm), weather=calm)
    found = [one for one in found_in(recording, truth) if one.kind == KIND]
    assert len(found) == number
    assert all(len(one.laps) == 4 for one in found)


@pytest.mark.parametrize("number", range(41, 47))
def test_half_circles_as_tight_as_a_slow_airplane_flies_them_are_found(number: int) -> None:
    """58 kt at 50°: 76 m, half of it in 8 s, and twice as wide on the other side of the line."""
    uneven = {"unequal-half-circles": 270.0}  # [ft]
    flight = {"radius": 385 * foot, "true_airspeed": 58 * knot, "wind_speed": 0.0}
    recording, truth = drawn.__wrapped__(number, **flight, laps=5, bank_limit=radians(55), faults=uneven)
    agrees(found_in(recording, truth), truth)


@pytest.mark.parametrize("rest", [10, 12])
def test_half_circles_turned_too_early_and_finished_slowly_are_half_circles(rest: int) -> None:
    """Two thirds at 42° of bank, a wait, and what is left at so little bank that it looks like no turn."""
    speed, height = 85 * knot, 800 * foot
    straight = Straight(height, speed, seconds=40.0)
    whole = Turn(pi, radians(22), speed, height=height)
    early = Turn(-radians(125), radians(42), speed, height=height)
    late = Turn(-radians(55), radians(rest), speed, height=height)
    legs: list[Leg] = [whole, early, Straight(height, speed, seconds=8.0), late]
    calm = Weather.blowing(0.0, 0.0, height=height)
    begin = airborne(0.0, 0.0, height, 0.0, speed, calm)
    recording, truth = compose([straight, *legs * 2, whole, straight], begin, weather=calm)
    (maneuver,) = found_in(recording, truth)
    assert (maneuver.kind, len(maneuver.laps)) == (KIND, 5)


def places(truth: Truth, right: float, turned: float = 0.0) -> tuple[tuple[float, float], ...]:
    """Return two geographic places on a line beside the true one, turned away from it [rad]."""
    (east, north), _ = truth.maneuvers[0].places
    way = bearing(truth)
    east, north = east + right * np.cos(way), north - right * np.sin(way)
    ahead = (east + 900.0 * np.sin(way + turned), north + 900.0 * np.cos(way + turned))
    given = [truth.frame.to_geographic(*at) for at in ((east, north), ahead)]
    return tuple((float(latitude), float(longitude)) for latitude, longitude in given)


def test_a_given_line_is_used() -> None:
    recording, truth = drawn(5)
    (maneuver,) = found_in(recording, truth, line=places(truth, 0.0))
    assert maneuver.reference.source == "given"
    assert (maneuver.reference.sd, maneuver.reference.bearing_sd) == (0.0, 0.0)
    off = (maneuver.reference.bearing - bearing(truth) + pi / 2) % pi - pi / 2
    assert abs(off) < 0.2 * degree


@pytest.mark.parametrize(
    ("right", "turned", "said"),
    [
        (6000.0, 0.0, r"The given line lies 3\.\d NM from the middle of these half circles; it was not used"),
        (0.0, 1.0, r"The given line runs \d\d° off the one that these half circles were flown along"),
    ],
)
def test_a_line_given_elsewhere_is_not_used_and_that_is_said(right: float, turned: float, said: str) -> None:
    recording, truth = drawn(5)
    (maneuver,) = found_in(recording, truth, line=places(truth, right, turned))
    assert maneuver.reference.source == "fitted"
    (note,) = maneuver.notes
    assert re.match(said, note)


def test_the_line_through_half_circles_without_error_is_exact() -> None:
    """Semicircles of radius R about centers s beyond a line, laid out by hand."""
    radius, beyond, way = 400.0, 70.0, radians(35)
    truth = line.Line(1000.0, -500.0, way)
    directions = np.array([-1.0, 1.0, -1.0, 1.0])
    centers = [truth.place((2 * k + 1) * radius, -d * beyond) for k, d in enumerate(directions)]
    levels = [truth.place(2.0 * k * radius) for k in range(5)]
    found = line.fitted(
        bearing=line.square_to(way - directions[1:] * pi / 2, directions[1:]),
        centers=centers,
        directions=directions,
        radii=np.full(4, radius),
        levels=levels[1:-1],
        ends=[levels[0], levels[-1]],
        ground_speed=beyond / line.ROLL[0],
    )
    assert found.bearing == pytest.approx(way, abs=1e-9)
    assert float(found.right(truth.east, truth.north)) == pytest.approx(0.0, abs=1e-6)
    assert found.beyond == pytest.approx(beyond, abs=1e-6)


def test_a_side_that_lies_out_of_place_moves_the_line_within_its_sd() -> None:
    """Half circles of one side too wide and too far out: only the level places still show the line."""
    truth, speed = line.Line(0.0, 0.0, 0.0), 50.0
    directions, radii = np.array([-1.0, 1.0, -1.0, 1.0]), np.array([400.0, 460.0, 400.0, 460.0])
    beyond = line.ROLL[0] * speed + np.array([0.0, 60.0, 0.0, 60.0])
    centers = [
        truth.place(800.0 * k, -d * out) for k, (d, out) in enumerate(zip(directions, beyond, strict=True))
    ]
    levels = [truth.place(800.0 * k - 400.0) for k in range(5)]
    found = line.fitted(
        bearing=0.0,
        centers=centers,
        directions=directions,
        radii=radii,
        levels=levels[1:-1],
        ends=[levels[0], levels[-1]],
        ground_speed=speed,
    )
    even = line.fitted(
        bearing=0.0,
        centers=centers,
        directions=directions,
        radii=np.full(4, 430.0),
        levels=levels[1:-1],
        ends=[levels[0], levels[-1]],
        ground_speed=speed,
    )
    off = abs(float(found.right(0.0, 0.0)))
    assert off < 0.5 * 60.0 / 2
    assert off < abs(float(even.right(0.0, 0.0)))
    assert off < 1.96 * found.sd
    assert even.sd < found.sd < 40.0
