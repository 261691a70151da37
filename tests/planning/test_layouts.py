"""Every kind as laid out: what holds of all of them, whatever wind and speed."""

from __future__ import annotations

from dataclasses import replace
from math import cos, degrees, pi, radians, sin, tan

import numpy as np
import pytest
from hypothesis import given as drawn
from hypothesis import settings
from hypothesis import strategies as st

from groundref.errors import NoSolutionError
from groundref.planning import Plan, make
from groundref.planning.kinds import LAYOUTS, steepest_of
from groundref.planning.schedule import extremes
from groundref.units import degree, foot, knot
from tests.planning.flown import given, integrate, planned

KINDS = list(LAYOUTS)
CLOSED = [kind for kind in KINDS if kind not in ("s-turns", "steep-turns")]
HELD = [kind for kind in KINDS if kind not in ("rectangular-course", "steep-turns")]

speeds = st.floats(70, 120)
winds = st.floats(0, 30)
directions = st.floats(0, 360)
sides = st.sampled_from([-1.0, 1.0])


def made_of(kind: str, speed: float, wind: float, whence: float, side: float) -> Plan | None:
    """Return the plan; None where there is none, such as at more bank than anyone flies."""
    inputs = given(
        kind, true_airspeed=speed * knot, wind_speed=wind * knot, wind_from=radians(whence), side=side
    )
    try:
        return make(replace(inputs, radius=1500 * foot))
    except NoSolutionError:
        return None


@pytest.mark.parametrize("kind", KINDS)
@drawn(speeds, winds, directions, sides)
@settings(max_examples=25, deadline=None)
def test_one_piece_begins_where_the_last_ended(
    kind: str, speed: float, wind: float, whence: float, side: float
) -> None:
    made = made_of(kind, speed, wind, whence, side)
    if made is None:
        return
    air = made.inputs.air
    ends = [piece.at(air, np.array([0.0, 1.0])) for piece in made.layout.pieces]
    following = ends[1:] + ([ends[0]] if kind in CLOSED else [])
    for last, after in zip(ends, following, strict=False):
        assert after.east[0] == pytest.approx(last.east[1], abs=1e-6)
        assert after.north[0] == pytest.approx(last.north[1], abs=1e-6)
        assert after.height[0] == pytest.approx(last.height[1], abs=1e-6)
        assert cos(after.track[0] - last.track[1]) == pytest.approx(1.0, abs=1e-12)
        assert cos(after.heading[0] - last.heading[1]) == pytest.approx(1.0, abs=1e-12)
        assert after.true_airspeed[0] == pytest.approx(last.true_airspeed[1], abs=1e-6)


@pytest.mark.parametrize("side", [-1.0, 1.0])
@pytest.mark.parametrize("kind", KINDS)
def test_the_bank_schedule_alone_flies_the_path(kind: str, side: float) -> None:
    """Integrated piece by piece without looking at the ground; bank is read from a table of 2,000 steps."""
    made = planned(kind, side=side, wind_speed=18 * knot, wind_from=radians(250))
    for piece in made.layout.pieces:
        there, told = integrate(piece, made.inputs.air)
        assert there[:2] == pytest.approx(told[:2], abs=0.01)
        assert there[2] == pytest.approx(told[2], abs=1e-5)


@pytest.mark.parametrize("kind", KINDS)
@drawn(speeds, winds, directions, sides)
@settings(max_examples=15, deadline=None)
def test_no_dense_sampling_beats_the_extremes(
    kind: str, speed: float, wind: float, whence: float, side: float
) -> None:
    made = made_of(kind, speed, wind, whence, side)
    if made is None:
        return
    found, air = made.extremes, made.inputs.air
    dense = [(piece, piece.at(air, np.linspace(0, 1, 1001))) for piece in made.layout.pieces]
    banks = np.concatenate([np.abs(rows.bank) for piece, rows in dense if piece.side])
    grounds = np.concatenate([rows.ground_speed for _, rows in dense])
    crabs = np.concatenate([np.abs(rows.crab) for _, rows in dense])
    assert banks.max() <= found.bank_max + 1e-9
    assert banks.min() >= found.bank_min - 1e-9
    assert grounds.max() <= found.ground_speed_max + 1e-9
    assert grounds.min() >= found.ground_speed_min - 1e-9
    assert crabs.max() <= found.crab_max + 1e-9
    steepest = steepest_of(made.inputs)
    assert steepest(air, made.inputs.radius or 0.0) == pytest.approx(found.bank_max, abs=1e-9)


@pytest.mark.parametrize("kind", KINDS)
@drawn(speeds, winds)
@settings(max_examples=15, deadline=None)
def test_left_and_right_are_mirror_images(kind: str, speed: float, wind: float) -> None:
    """Mirrored in the line of the wind: the same times, speeds and heights, banks and crabs the other way."""
    left, right = (made_of(kind, speed, wind, 180.0, side) for side in (-1.0, 1.0))
    if left is None or right is None:
        assert left is right
        return
    one, other = left.schedule, right.schedule
    for name in ("time", "ground_speed", "height", "north"):
        assert getattr(one, name) == pytest.approx(getattr(other, name), abs=1e-6), name
    for name in ("bank", "crab", "east"):
        assert getattr(one, name) == pytest.approx(-getattr(other, name), abs=1e-6), name
    for name in ("distance", "depression", "ahead", "above_wing"):
        assert getattr(one, name) == pytest.approx(getattr(other, name), abs=1e-6, nan_ok=True), name


@drawn(speeds, winds, directions, sides)
@settings(max_examples=40, deadline=None)
def test_half_circles_of_s_turns_take_the_same_time(
    speed: float, wind: float, whence: float, side: float
) -> None:
    made = made_of("s-turns", speed, wind, whence, side)
    if made is None:
        return
    first, second = (piece.at(made.inputs.air, np.array([1.0])) for piece in made.layout.pieces)
    assert first.time[0] == pytest.approx(second.time[0], rel=1e-9)


@pytest.mark.parametrize("kind", [kind for kind in HELD if kind != "eights-on-pylons"])
@drawn(speeds, winds, st.floats(1.0, 3.0))
@settings(max_examples=15, deadline=None)
def test_the_radius_scales_with_the_tangent_of_the_bank(
    kind: str, speed: float, wind: float, factor: float
) -> None:
    inputs = given(kind, true_airspeed=speed * knot, wind_speed=wind * knot)
    lay_out = LAYOUTS[kind]
    near, far = (
        max(piece.steepest(inputs.air) for piece in lay_out(inputs, radius).pieces)
        for radius in (500.0, 500.0 * factor)
    )
    assert tan(near) == pytest.approx(factor * tan(far), rel=1e-9)


@pytest.mark.parametrize("kind", HELD)
def test_what_is_found_for_a_bank_limit_needs_just_that(kind: str) -> None:
    limit = 38 * degree
    made = planned(kind, bank_limit=limit, bank_limit_given=True)
    assert made.extremes.bank_max == pytest.approx(limit, abs=1e-6)
    assert made.fit is not None
    assert made.fit.works
    radius = made.inputs.radius
    assert radius is not None
    assert made.fit.wind_limit == pytest.approx(14 * knot, rel=2e-3)
    assert made.fit.airspeed_needed == pytest.approx(92 * knot, rel=2e-3)
    windier = replace(made.inputs.air, wind_speed=made.fit.wind_limit * 1.01)
    assert steepest_of(made.inputs)(windier, radius) > limit


@pytest.mark.parametrize("kind", KINDS)
def test_the_schedule_is_what_the_pieces_say(kind: str) -> None:
    made = planned(kind)
    rows = made.schedule
    assert np.all(np.diff(rows.time) >= -1e-9)
    assert rows.marked.any()
    assert rows.load_factor == pytest.approx(1 / np.cos(rows.bank))
    toward = made.inputs.wind_from + pi
    air_east = rows.ground_speed * np.sin(rows.track) - made.inputs.wind_speed * sin(toward)
    air_north = rows.ground_speed * np.cos(rows.track) - made.inputs.wind_speed * cos(toward)
    assert np.hypot(air_east, air_north) == pytest.approx(rows.true_airspeed, rel=1e-9)
    assert np.cos(rows.heading - np.arctan2(air_east, air_north)) == pytest.approx(1.0, abs=1e-12)
    assert np.cos(rows.heading - rows.track - rows.crab) == pytest.approx(1.0, abs=1e-12)


def test_a_circle_has_its_positions_evenly_by_angle() -> None:
    rows = planned().schedule
    assert rows.time.size >= 36
    steps = (np.diff(np.degrees(rows.bearing)) + 180) % 360 - 180
    assert steps == pytest.approx(-10.0, abs=1e-9)
    assert rows.name[0] == "downwind entry"


def test_extremes_of_a_path_without_a_turn() -> None:
    course = planned("rectangular-course")
    legs = [piece for piece in course.layout.pieces if not piece.side]
    found = extremes(legs, course.inputs.air)
    assert (found.bank_max, found.bank_min) == (0.0, 0.0)
    assert degrees(found.crab_max) == pytest.approx(degrees(np.arcsin(14 / 92)), abs=1e-9)
