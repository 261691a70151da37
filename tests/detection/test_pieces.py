"""The parts of detection by themselves: stretches of turning, circles, laps."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import settings as drawing
from hypothesis import strategies as st

from groundref.detection.candidate import NOTHING_GIVEN
from groundref.detection.circling import circling
from groundref.detection.detect import first_cut
from groundref.detection.half_circles import runs
from groundref.detection.laps import lap_of
from groundref.detection.maneuver import point_at
from groundref.detection.segments import across_pauses, turning_stretches
from groundref.detection.turns_around_a_point import propose
from groundref.estimation.states import States
from tests.estimation.air import Flown, lap_rate, states

LEAST = np.radians(315.0)
RATE = lap_rate(25.0)
LAP = 2 * np.pi / RATE


def flown(legs: list[tuple[float, float]], wind: tuple[float, float] = (0.0, 0.0), seed: int = 0) -> States:
    return states(Flown(legs, wind=wind).recording(noise=0.4, seed=seed))


def test_a_turn_between_straight_legs_is_cut_out() -> None:
    found = flown([(60.0, 0.0), (2 * LAP, RATE), (60.0, 0.0)])
    (stretch,) = turning_stretches(found, LEAST)
    assert np.degrees(stretch.turn) == pytest.approx(720.0, abs=15.0)
    assert stretch.direction == 1
    assert found.time[stretch.first] == pytest.approx(60.0, abs=4.0)
    assert found.time[stretch.last] == pytest.approx(60.0 + 2 * LAP, abs=4.0)


def test_left_and_right_are_two_stretches() -> None:
    found = flown([(30.0, 0.0), (1.5 * LAP, -RATE), (1.5 * LAP, RATE), (30.0, 0.0)])
    assert [stretch.direction for stretch in turning_stretches(found, LEAST)] == [-1, 1]


@pytest.mark.parametrize(
    "legs",
    [
        [(300.0, 0.0)],
        [(30.0, 0.0), (0.8 * LAP, RATE), (30.0, 0.0)],
        [(30.0, 0.0), (0.5 * LAP, RATE), (60.0, 0.0), (0.5 * LAP, RATE), (60.0, 0.0)] * 2,
        [(0.25 * LAP, RATE), (25.0, 0.0)] * 8,
        [(0.5 * LAP, RATE), (0.5 * LAP, -RATE)] * 3,
    ],
    ids=["straight", "most of a lap", "racetrack", "rectangle", "half circles"],
)
def test_what_is_no_turning_all_the_way_round(legs: list[tuple[float, float]]) -> None:
    assert turning_stretches(flown([*legs, (30.0, 0.0)]), LEAST) == []


@pytest.mark.parametrize("wind", [(0.0, 0.0), (8.0, 4.0), (-10.0, 8.0)])
def test_a_correction_within_a_turn_does_not_end_it(wind: tuple[float, float]) -> None:
    """The bank is taken off for three seconds once; straight flight of seven ends a turn."""
    found = flown([(30.0, 0.0), (LAP, RATE), (3.0, 0.0), (LAP, RATE), (30.0, 0.0)], wind)
    (stretch,) = turning_stretches(found, LEAST)
    assert np.degrees(stretch.turn) == pytest.approx(720.0, abs=20.0)


@pytest.mark.parametrize(
    ("pause", "parts"), [(20.0, [355.0]), (60.0, [175.0, 180.0])], ids=["a pause", "a leg"]
)
def test_two_parts_of_a_loop_are_joined_over_a_pause(pause: float, parts: list[float]) -> None:
    half = np.radians(180.0) / RATE
    found = flown([(30.0, 0.0), (half, RATE), (pause, 0.0), (half, RATE), (30.0, 0.0)])
    apart = turning_stretches(found, np.radians(45.0))
    assert len(apart) == 2
    joined = across_pauses(found, apart, (np.radians(195.0), np.radians(400.0)))
    assert np.degrees([each.turn for each in joined]) == pytest.approx(parts, abs=12.0)
    assert across_pauses(found, apart, (np.radians(118.0), np.radians(225.0))) == apart


def test_a_quick_circle_of_few_samples_is_still_one() -> None:
    """54 kt at 50°: a lap of 15 s; seen every 1.8 s it has five samples clear of the rolls."""
    rate = lap_rate(50.0, 28.0)
    quick = Flown([(40.0, 0.0), (2 * np.pi / rate, rate), (40.0, 0.0)], airspeed=28.0, wind=(0.0, 0.0))
    found = states(quick.recording(noise=0.4, interval=1.8))
    (stretch,) = turning_stretches(found, np.radians(300.0))
    circle = circling(found, stretch)
    assert circle is not None
    assert circle.still.radius == pytest.approx(28.0 / rate, rel=0.03)
    assert 330.0 <= np.degrees(abs(circle.turn)) <= 370.0  # rolling takes some off


def test_half_circles_of_few_samples_are_still_a_run() -> None:
    """54 kt at 40°: half a circle in 11 s; seen every 1.5 s it has two samples 3 s clear of the rolls."""
    rate = lap_rate(40.0, 28.0)
    legs = [(40.0, 0.0), *[(np.pi / rate, rate), (np.pi / rate, -rate)] * 2, (40.0, 0.0)]
    quick = Flown(legs, airspeed=28.0, wind=(0.0, 0.0))
    found = states(quick.recording(noise=0.4, interval=1.5))
    (run,) = runs(found, turning_stretches(found, np.radians(45.0)))
    assert [half.direction for half in run] == [1, -1, 1, -1]
    assert [half.radius for half in run] == pytest.approx([28.0 / rate] * 4, rel=0.08)


def test_a_half_circle_flown_in_parts_is_one_from_turning_point_to_turning_point() -> None:
    """The second is turned by 140° at once; the rest is so little that the first cut leaves it out."""
    parts = [(np.radians(140.0) / (2 * RATE), -2 * RATE), (12.0, 0.0), (np.radians(40.0) / RATE, -RATE)]
    found = flown([(40.0, 0.0), (0.5 * LAP, RATE), *parts, (0.5 * LAP, RATE), (40.0, 0.0)])
    cut = turning_stretches(found, np.radians(45.0))
    (run,) = runs(found, cut)
    assert min(abs(np.degrees(each.turn)) for each in cut) < 150.0
    assert np.degrees([half.turning.turn for half in run]) == pytest.approx([180.0, -180.0, 180.0], abs=12.0)


@drawing(max_examples=25)
@given(
    laps=st.floats(1.05, 4.0),
    side=st.sampled_from([-1.0, 1.0]),
    bank=st.floats(15.0, 45.0),
    seed=st.integers(0, 99),
)
def test_a_circle_in_calm_air_is_measured_as_it_was_flown(
    laps: float, side: float, bank: float, seed: int
) -> None:
    # A part below 90° is no lap and from 330° on a whole one; near these bounds either is right.
    assume(min(abs(laps % 1 - 0.25), abs(laps % 1 - 330 / 360)) > 0.06)
    rate = side * lap_rate(bank)
    turning = laps * 2 * np.pi / abs(rate)
    found = flown([(40.0, 0.0), (turning, rate), (40.0, 0.0)], seed=seed)
    (stretch,) = turning_stretches(found, LEAST)
    circle = circling(found, stretch)
    assert circle is not None
    assert circle.start == pytest.approx(40.0, abs=1.5)
    assert circle.end == pytest.approx(40.0 + turning, abs=1.5)
    assert circle.laps == pytest.approx(laps, abs=0.05)
    assert np.sign(circle.turn) == side
    assert circle.still.radius == pytest.approx(46.3 / abs(rate), rel=0.01)
    assert circle.lap_time == pytest.approx(2 * np.pi / abs(rate), rel=0.03)
    assert np.degrees(circle.bank) == pytest.approx(bank, abs=1.0)
    assert np.hypot(circle.drift_east, circle.drift_north) < 3 * circle.drift_sd
    assert len(circle.bounds) - 1 == (np.ceil(laps - 0.25) if laps % 1 < 330 / 360 else np.ceil(laps))
    assert np.all(np.diff(circle.bounds) > 0)


def test_drift_at_constant_bank_is_what_the_air_moved() -> None:
    found = flown([(40.0, 0.0), (3 * LAP, RATE), (40.0, 0.0)], wind=(5.0, -4.0))
    (stretch,) = turning_stretches(found, LEAST)
    circle = circling(found, stretch)
    assert circle is not None
    assert circle.drift_east == pytest.approx(5.0 * LAP, abs=3 * circle.drift_sd)
    assert circle.drift_north == pytest.approx(-4.0 * LAP, abs=3 * circle.drift_sd)


def test_a_lap_is_measured_against_the_point_and_the_radius_to_hold() -> None:
    """Half-way points of a circle 30 m off the point: the distance goes from R − 30 to R + 30."""
    found = flown([(40.0, 0.0), (2 * LAP, RATE), (40.0, 0.0)])
    (stretch,) = turning_stretches(found, LEAST)
    circle = circling(found, stretch)
    assert circle is not None
    radius = 46.3 / RATE
    point = point_at(circle.still.x + 30.0, circle.still.y, 0.0, "given")
    lap = lap_of(found, circle.start + 3.0, circle.start + 3.0 + LAP, point, radius)
    assert lap.radial_max == pytest.approx(30.0, abs=3.0)
    assert lap.radial_min == pytest.approx(-30.0, abs=3.0)
    assert lap.radial_rms == pytest.approx(30.0 / np.sqrt(2.0), abs=2.0)
    assert lap.radius == pytest.approx(radius, rel=0.01)
    assert (lap.center_east, lap.center_north) == pytest.approx((circle.still.x, circle.still.y), abs=3.0)
    assert np.degrees(lap.turn) == pytest.approx(360.0, abs=2.0)


def test_a_loop_with_a_wait_in_it_is_about_its_middle() -> None:
    """Half a circle, 16 s straight on and the other half: the middle lies 8 s along that way."""
    halves = [(0.5 * LAP, -RATE), (16.0, 0.0), (0.5 * LAP, -RATE)]
    legs = [(60.0, 0.0), (LAP, -RATE), (LAP, RATE), *halves, (LAP, RATE), (60.0, 0.0)]
    found = states(Flown(legs, wind=(0.0, 0.0), heading=0.0).recording(noise=0.4))
    (row,) = (each for each in first_cut(found).rows if len(each.loops) == 4)
    off = 0.15 * 46.3 / RATE
    for one, other, seconds in ((0, 2, 8.0), (1, 3, 16.0)):
        moved = np.subtract(row.loops[other].center, row.loops[one].center)
        assert moved == pytest.approx([0.0, -seconds * 46.3], abs=off)


def test_loops_carried_along_are_one_row_when_the_pilot_gets_back_between_them() -> None:
    """Loops at constant bank in 30 kt of wind move by 1.9 radii each; the way back is flown against it."""
    wind = 15.0
    way = LAP * wind / (46.3 - wind)  # [s] until the ground that was lost in a loop is won back
    loops = [(LAP, -RATE), (way, 0.0), (LAP, RATE), (way, 0.0)]
    legs = [(60.0, 0.0), *loops, *loops[:-1], (60.0, 0.0)]
    found = states(Flown(legs, wind=(0.0, -wind), heading=0.0).recording(noise=0.4))
    assert [len(row.loops) for row in first_cut(found).carried] == [4]


@pytest.mark.parametrize(("wind", "halves"), [(13.0, [4]), (0.0, [3])])
def test_a_wait_for_the_line_is_as_long_as_the_wind_makes_it(wind: float, halves: list[int]) -> None:
    """At 15° of bank a half circle takes 55 s and is 816 m high: 40 s are 1,330 m upwind, 1,850 m else."""
    wide = lap_rate(15.0)
    half = np.pi / wide
    turned = [(half, -wide), (half, wide), (half, -wide)]
    legs = [(60.0, 0.0), (half, wide), (40.0, 0.0), *turned, (60.0, 0.0)]
    found = states(Flown(legs, wind=(0.0, wind), heading=0.0).recording(noise=0.4))
    assert [len(run) for run in runs(found, first_cut(found).turnings)] == halves


def test_a_lap_entered_downwind_is_likelier_around_a_point() -> None:
    """One lap at constant bank, as others turn too, begun with the wind behind, ahead, or from the side."""

    def odds(heading: float) -> float:
        legs = [(40.0, 0.0), (LAP, RATE), (40.0, 0.0)]
        lap = states(Flown(legs, wind=(0.0, 8.0), heading=heading).recording(noise=0.4))
        (candidate,) = propose(lap, first_cut(lap), NOTHING_GIVEN)
        return candidate.log_odds

    downwind, upwind, across = odds(0.0), odds(np.pi), odds(0.5 * np.pi)
    assert downwind - upwind > 2.0
    assert upwind == pytest.approx(across, abs=0.5)
