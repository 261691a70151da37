"""Rectangular courses found in simulated flights, and circuits of an airport left out."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import radians
from typing import Any

import numpy as np
import pytest

from groundref.debriefing import debrief
from groundref.detection.candidate import Place
from groundref.detection.circuit import straight_share
from groundref.detection.maneuver import Maneuver
from groundref.detection.rectangle import Rectangle, as_flown, rectangle_from_corners
from groundref.detection.straights import Straight as OnTrack
from groundref.errors import UsageError
from groundref.simulation import Truth, Weather, compose, simulate
from groundref.simulation.circuits import Circuits, Runway
from groundref.simulation.legs import Leg, Straight, Turn
from groundref.simulation.patterns import holding_pattern, traffic_circuit
from groundref.simulation.route import airborne
from groundref.track.recording import Recording
from groundref.units import degree, foot, knot


@lru_cache(maxsize=32)
def flight(
    speed_kt: float = 90.0,
    wind_kt: float = 12.0,
    course_deg: float | None = None,
    direction: str = "left",
    laps: float = 2,
    recorder: str = "phone",
    interval: float | None = None,
    fault: str | None = None,
    size: float | None = None,
    seed: int = 1,
) -> tuple[Recording, Truth]:
    return simulate(
        "rectangular-course",
        true_airspeed=speed_kt * knot,
        wind_speed=wind_kt * knot,
        wind_from=radians(240),
        course=None if course_deg is None else radians(course_deg),
        radius=(1200 if speed_kt < 120 else 4000) * foot,
        direction=direction,
        laps=laps,
        recorder=recorder,
        interval=interval,
        faults={fault: size} if fault else {},
        seed=seed,
        flight="maneuver-only",
    )


def found(recording: Recording, truth: Truth) -> list[Maneuver]:
    whole = debrief(recording, ground=truth.ground_elevation)
    return [assessed.maneuver for assessed in whole.maneuvers]


def geographic(truth: Truth, places: Sequence[Place]) -> tuple[Place, Place, Place, Place]:
    first, second, third, fourth = (truth.frame.to_geographic(*place) for place in places)
    return (
        (float(first[0]), float(first[1])),
        (float(second[0]), float(second[1])),
        (float(third[0]), float(third[1])),
        (float(fourth[0]), float(fourth[1])),
    )


CASES: list[dict[str, Any]] = [
    {},
    {"direction": "right", "wind_kt": 25.0, "course_deg": 95.0},
    {"speed_kt": 62.0, "wind_kt": 20.0, "recorder": "avionics"},
    {"speed_kt": 140.0, "wind_kt": 30.0, "recorder": "adsb"},
    {"wind_kt": 0.0, "laps": 3},
    {"interval": 5.0, "recorder": "adsb"},
    {"laps": 1, "seed": 3},
]


@pytest.mark.parametrize("case", CASES, ids=str)
def test_a_course_is_found_from_its_first_leg_to_its_last_corner(case: dict[str, Any]) -> None:
    recording, truth = flight(**case)
    (maneuver,) = found(recording, truth)
    flown = truth.maneuver
    assert maneuver.kind == "rectangular-course"
    assert maneuver.confidence > 0.95
    assert maneuver.direction == flown.direction
    within = 6.0 if case.get("interval") or case.get("recorder") == "adsb" else 4.0
    assert maneuver.start == pytest.approx(flown.start, abs=within)
    assert maneuver.end == pytest.approx(flown.end, abs=within)
    assert len(maneuver.laps) == len(flown.boundaries) - 1
    for lap, begin in zip(maneuver.laps, flown.boundaries, strict=False):
        assert lap.start == pytest.approx(begin, abs=within)
        assert [leg.name for leg in lap.legs] == ["downwind", "base", "upwind", "crosswind"]


@pytest.mark.parametrize("weave_deg", [12.0, 20.0, 25.0])
def test_a_course_is_found_however_its_legs_weave(weave_deg: float) -> None:
    recording, truth = flight(fault="straight-legs-not-straight", size=weave_deg)
    (maneuver,) = found(recording, truth)
    assert maneuver.kind == "rectangular-course"
    assert maneuver.start == pytest.approx(truth.maneuver.start, abs=6.0)
    assert maneuver.end == pytest.approx(truth.maneuver.end, abs=4.0)
    assert len(maneuver.laps) == 2


@pytest.mark.parametrize("overshot_deg", [25.0, 50.0])
def test_a_course_is_found_though_every_corner_is_overshot(overshot_deg: float) -> None:
    speed, height, bank = 90 * knot, 800 * foot, radians(25)
    side: list[Leg] = [
        Turn(radians(90 + overshot_deg), bank, speed, height=height),
        Turn(-radians(overshot_deg), bank, speed, height=height),
        Straight(height, speed, seconds=25.0),
    ]
    legs: list[Leg] = [Straight(height, speed, seconds=40.0), *side * 5]
    calm = Weather.blowing(0.0, 0.0, height=1000 * foot)
    recording, truth = compose(legs, airborne(0.0, 0.0, height, 0.0, speed, calm), weather=calm)
    (maneuver,) = found(recording, truth)
    assert maneuver.kind == "rectangular-course"
    assert maneuver.direction == "right"


def test_the_fitted_rectangle_is_the_one_that_was_flown() -> None:
    recording, truth = flight()
    whole = debrief(recording, ground=truth.ground_elevation)
    (maneuver,) = (assessed.maneuver for assessed in whole.maneuvers)
    flown = truth.maneuver
    corners = np.array(maneuver.reference.places)
    field = np.array([whole.track.frame.to_local(*truth.frame.to_geographic(*at)) for at in flown.places])
    # The one flown has its corners outside of the field's by the distance, along both sides.
    middle = field.mean(axis=0)
    ahead = (field[0] - field[3]) / np.hypot(*(field[0] - field[3]))
    beside = (field[1] - field[0]) / np.hypot(*(field[1] - field[0]))
    for own, one in zip(corners, field, strict=True):
        at = one + flown.radius * (
            np.sign((one - middle) @ ahead) * ahead + np.sign((one - middle) @ beside) * beside
        )
        assert np.hypot(*(own - at)) < 4.0 * maneuver.reference.sd
    assert np.isnan(maneuver.radius)
    assert "corners" in maneuver.notes[0]


@pytest.mark.parametrize("turned", [0, 1, 2])
def test_given_corners_are_the_reference_in_the_order_flown(turned: int) -> None:
    recording, truth = flight()
    places = list(truth.maneuver.places)
    corners = places[turned:] + places[:turned]
    if turned == 2:  # the other way round
        corners = corners[::-1]
    whole = debrief(recording, ground=truth.ground_elevation, corners=geographic(truth, corners))
    (assessed,) = whole.maneuvers
    reference = assessed.maneuver.reference
    assert (reference.source, reference.sd) == ("given", 0.0)
    here = np.array(
        [whole.track.frame.to_local(*truth.frame.to_geographic(*place)) for place in truth.maneuver.places]
    )
    assert np.array(reference.places) == pytest.approx(here, abs=1.0)


def test_corners_far_from_the_flight_are_not_used() -> None:
    recording, truth = flight()
    far = [(east + 5000.0, north) for east, north in truth.maneuver.places]
    whole = debrief(recording, corners=geographic(truth, far))
    (assessed,) = whole.maneuvers
    assert assessed.maneuver.reference.source == "fitted"
    assert "NM from that of the legs that were flown" in assessed.maneuver.notes[0]


SQUARE = ((0.0, 0.0), (0.0, 800.0), (1600.0, 800.0), (1600.0, 0.0))


def test_a_rectangle_from_its_corners() -> None:
    rectangle = rectangle_from_corners(SQUARE)
    assert (rectangle.east, rectangle.north, rectangle.side) == (800.0, 400.0, 1)
    assert (rectangle.length, rectangle.width, rectangle.bearing) == (800.0, 1600.0, 0.0)


@pytest.mark.parametrize(
    ("corners", "what"),
    [
        ((SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3]), "cross each other"),
        ((SQUARE[0], SQUARE[1], SQUARE[3], SQUARE[2]), "cross each other"),
        (SQUARE[:3], "four corners, not 3"),
        (((0.0, 0.0), (0.0, 800.0), (1600.0, 1500.0), (1600.0, 0.0)), "not those of a rectangle"),
        (((0.0, 0.0), (0.0, 10.0), (1600.0, 10.0), (1600.0, 0.0)), "shorter than"),
    ],
)
def test_corners_of_no_rectangle_are_refused(corners: tuple[tuple[float, float], ...], what: str) -> None:
    with pytest.raises(UsageError, match=what):
        rectangle_from_corners(corners)


def test_a_given_rectangle_takes_the_order_flown() -> None:
    given = rectangle_from_corners(SQUARE)
    flown = Rectangle(800.0, 400.0, radians(265.0), 2000.0, 1200.0, -1)
    ordered = as_flown(given, flown)
    assert (ordered.length, ordered.width, ordered.side) == (1600.0, 800.0, -1)
    assert ordered.bearing == pytest.approx(radians(270.0))
    # Flown to the left the airplane has the field on its left, so the side flown west is the northern one.
    assert ordered.corners[0] == pytest.approx((0.0, 800.0), abs=1e-6)


def test_three_legs_are_no_circuit() -> None:
    recording, truth = flight(laps=0.5)
    assert found(recording, truth) == []


def test_what_is_beyond_whole_circuits_belongs_to_the_last_one() -> None:
    recording, truth = flight(laps=1.5, seed=5)
    (maneuver,) = found(recording, truth)
    (lap,) = maneuver.laps
    assert [leg.name for leg in lap.legs] == ["downwind", "base", "upwind", "crosswind", "downwind", "base"]


RUNWAY = Runway(0.0, 0.0, radians(240))


@pytest.mark.parametrize("ending", ["touch-and-go", "low-approach", "full-stop"])
@pytest.mark.parametrize("known", [True, False])
def test_circuits_of_an_airport_are_no_rectangular_course(ending: str, known: bool) -> None:
    weather = Weather.blowing(14 * knot, radians(215), height=1000 * foot)
    circuits = Circuits(RUNWAY, weather, 85 * knot, times=3, ending=ending)
    recording, truth = compose(circuits.legs(), RUNWAY.lined_up(), weather=weather)
    whole = debrief(recording, ground=truth.ground_elevation if known else None)
    assert whole.maneuvers == ()
    assert whole.traffic_patterns is None


def test_a_circuit_of_which_only_the_way_in_is_low_is_one_of_an_airport() -> None:
    speed = 62 * knot
    down = Straight(100 * foot, speed, course=radians(70), until_height=150 * foot)
    legs: list[Leg] = [down, *traffic_circuit(radians(70), speed=speed) * 2]
    weather = Weather.blowing(10 * knot, radians(250), height=1000 * foot)
    start = airborne(0.0, 0.0, 1500 * foot, radians(70), speed, weather)
    recording, truth = compose(legs, start, weather=weather)
    assert found(recording, truth) == []


@pytest.mark.parametrize("wind_kt", [0.0, 15.0])
def test_a_racetrack_is_no_rectangular_course(wind_kt: float) -> None:
    weather = Weather.blowing(wind_kt * knot, radians(240), height=1000 * foot)
    speed, height = 90 * knot, 800 * foot
    legs = holding_pattern(radians(30), height, times=4, speed=speed)
    recording, truth = compose(legs, airborne(0.0, 0.0, height, 0.0, speed, weather), weather=weather)
    assert all(each.kind != "rectangular-course" for each in found(recording, truth))


def test_a_steady_turn_is_straight_on_no_side() -> None:
    """Within 4° either side of each of its quarters: 8/90 of the time, derived."""
    ends = [90.0 * k + 4.0 for k in range(6)]
    legs = [OnTrack(0, 0, end - 8.0, end, radians(end - 4.0)) for end in ends]
    assert straight_share(legs) == pytest.approx(8.0 / 90.0)


def test_a_square_that_grows_is_no_rectangular_course() -> None:
    weather = Weather.blowing(8 * knot, radians(240), height=1000 * foot)
    speed, height = 90 * knot, 800 * foot
    legs: list[Leg] = [Straight(height, speed, seconds=20.0)]
    for k in range(9):
        legs += [
            Turn(radians(90), radians(25), speed, height=height),
            Straight(height, speed, seconds=25.0 * (1 + k // 2)),
        ]
    recording, truth = compose(legs, airborne(0.0, 0.0, height, 0.0, speed, weather), weather=weather)
    assert found(recording, truth) == []


@pytest.mark.parametrize("bank_deg", [8.0, 20.0])
def test_a_circle_is_no_rectangular_course(bank_deg: float) -> None:
    weather = Weather.blowing(20 * knot, radians(240), height=1000 * foot)
    speed, height = 90 * knot, 800 * foot
    legs: list[Leg] = [
        Straight(height, speed, seconds=30.0),
        Turn(radians(760), bank_deg * degree, speed, height=height),
        Straight(height, speed, seconds=30.0),
    ]
    recording, truth = compose(legs, airborne(0.0, 0.0, height, 0.0, speed, weather), weather=weather)
    assert all(each.kind != "rectangular-course" for each in found(recording, truth))
