from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundref.errors import NoSolutionError
from groundref.mechanics import arc, circle, eights
from groundref.mechanics.wind_triangle import crab_on_track
from groundref.units import degree, knot
from tests.mechanics.flying import fly_by_position
from tests.mechanics.given import ROUNDING, airspeeds, angles, directions, radii, wind_fractions

spreads = st.floats(1.0, 5.0)  # half spacing over radius
FLOWN = 1e-5  # [m]  what the integrator leaves


@pytest.mark.parametrize("spread", [1.0, 1.4, 3.0])
@pytest.mark.parametrize("wind_deg", [10, 130, 300])
@pytest.mark.parametrize("direction", [-1.0, 1.0])
def test_flying_loops_open_loop_arrives_where_the_legs_begin(
    spread: float, wind_deg: float, direction: float
) -> None:
    airspeed, wind, radius, axis, to = 90 * knot, 18 * knot, 450.0, 0.6, wind_deg * degree
    half = spread * radius
    places = eights.roll_places(axis, direction, radius, half)
    there, back = eights.leg_tracks(axis, direction, radius, half)
    times = eights.loop_times(airspeed, wind, axis, direction, to, radius, half)
    loops = (
        (back, places[3], places[0], direction, times[0], there),
        (there, places[1], places[2], -direction, times[1], back),
    )
    for begins, start, end, side, duration, ends in loops:

        def bank(track: float, side: float = side) -> float:
            place = arc.position(track, to, side)
            return side * float(circle.required_bank(airspeed, wind, radius, place))

        heading = float(begins + crab_on_track(airspeed, wind, to - begins))
        east, north, nose = fly_by_position(
            airspeed, (wind * np.sin(to), wind * np.cos(to)), heading, bank, np.array([0.0, float(duration)])
        )
        assert start[0] + east[-1] == pytest.approx(end[0], abs=FLOWN)
        assert start[1] + north[-1] == pytest.approx(end[1], abs=FLOWN)
        crab = crab_on_track(airspeed, wind, to - ends)
        assert np.cos(nose[-1] - ends - crab) == pytest.approx(1.0, abs=1e-12)


@given(radii, spreads, angles, directions)
def test_legs_touch_both_circles_and_cross_half_way(
    radius: float, spread: float, axis: float, direction: float
) -> None:
    half = spread * radius
    first = np.array([-half * np.sin(axis), -half * np.cos(axis)])
    out_of_first, into_second, out_of_second, into_first = (
        np.array(place) for place in eights.roll_places(axis, direction, radius, half)
    )
    length = eights.leg_length(radius, half)
    for start, end in ((out_of_first, into_second), (out_of_second, into_first)):
        assert np.hypot(*(start + end)) == pytest.approx(0.0, abs=1e-6)
        assert np.hypot(*(end - start)) == pytest.approx(length, abs=1e-6)
    for place in (out_of_first, into_first):
        assert np.hypot(*(place - first)) == pytest.approx(radius, rel=1e-6)
        assert (place - first) @ place == pytest.approx(0.0, abs=1e-6 * half**2)
    for place in (into_second, out_of_second):
        assert np.hypot(*(place + first)) == pytest.approx(radius, rel=1e-6)


@given(radii, spreads, angles, directions)
def test_the_first_point_lies_on_the_side_of_the_turn(
    radius: float, spread: float, axis: float, direction: float
) -> None:
    half = spread * radius
    for track in eights.leg_tracks(axis, direction, radius, half):
        # How far the first point lies to the right of a leg through the middle.
        right = -half * np.sin(axis) * np.cos(track) + half * np.cos(axis) * np.sin(track)
        assert direction * right == pytest.approx(radius, rel=1e-6)


@given(airspeeds, wind_fractions, radii, spreads, angles, angles, directions)
def test_both_loops_are_alike_in_any_wind(
    airspeed: float,
    fraction: float,
    radius: float,
    spread: float,
    axis: float,
    direction_to: float,
    direction: float,
) -> None:
    wind, half = fraction * airspeed, spread * radius
    first, second = eights.loop_times(airspeed, wind, axis, direction, direction_to, radius, half)
    assert first == pytest.approx(second, rel=1e-7)
    arcs = eights.loop_positions(axis, direction, direction_to, radius, half)
    banks = [arc.bank_extremes(airspeed, wind, radius, *ends) for ends in arcs]
    assert banks[0] == pytest.approx(banks[1], rel=1e-7)
    turned = eights.loop_turn(radius, half)
    assert all(end - start == pytest.approx(turned) for start, end in arcs)


@given(airspeeds, wind_fractions, radii, angles, angles, directions)
def test_along_a_road_both_loops_are_full_turns_over_one_place(
    airspeed: float, fraction: float, radius: float, road: float, direction_to: float, direction: float
) -> None:
    # The axis is square to the road.
    axis = road - direction * np.pi / 2
    assert eights.loop_turn(radius, radius) == pytest.approx(2 * np.pi)
    for track in eights.leg_tracks(axis, direction, radius, radius):
        assert np.cos(track - road) == pytest.approx(1.0)
    places = eights.roll_places(axis, direction, radius, radius)
    assert np.abs(places).max() < 1e-9 * radius
    wind = fraction * airspeed
    lap = circle.lap_time(airspeed, wind, radius)
    for time in eights.loop_times(airspeed, wind, axis, direction, direction_to, radius, radius):
        assert time == pytest.approx(lap, rel=1e-7)


@given(radii, st.floats(0.0, 80 * degree), directions, angles)
def test_across_a_road_every_crossing_has_one_angle(
    radius: float, crossing: float, direction: float, road: float
) -> None:
    half = eights.half_spacing_for_crossing(radius, crossing)
    assert half >= radius * (1 - ROUNDING)
    half = max(float(half), radius)  # rounding may leave them overlapping by the last digit
    for track in eights.leg_tracks(road - np.pi / 2, direction, radius, half):
        # The sine of the angle between two lines, whichever way along them.
        assert abs(np.sin(track - road)) == pytest.approx(np.sin(crossing), abs=1e-7)


@given(radii, spreads, angles, angles)
def test_the_middle_is_flown_downwind(radius: float, spread: float, axis: float, direction_to: float) -> None:
    direction = eights.direction_downwind_between(axis, direction_to)
    there, back = eights.leg_tracks(axis, direction, radius, spread * radius)
    assert np.cos(there - direction_to) + np.cos(back - direction_to) >= -1e-9


@given(airspeeds, wind_fractions, radii, st.floats(1.01, 5.0))
def test_pylons_across_the_wind_make_both_legs_alike(
    airspeed: float, fraction: float, radius: float, spread: float
) -> None:
    wind, half = fraction * airspeed, spread * radius
    there, back = eights.leg_times(airspeed, wind, 0.0, 1.0, np.pi / 2, radius, half)
    assert there == pytest.approx(back, rel=1e-9)
    # Steepest just after the turn begins and just before it ends, shallowest straight upwind.
    (start, end), _ = eights.loop_positions(0.0, 1.0, np.pi / 2, radius, half)
    least, greatest = arc.bank_extremes(airspeed, wind, radius, start, end)
    banks = circle.required_bank(airspeed, wind, radius, np.array([start, 0.5 * (start + end), end]))
    assert banks == pytest.approx([greatest, least, greatest], rel=1e-9)


def test_half_of_the_speed_is_lost_in_two_thirds_of_the_turn() -> None:
    # Airplane Flying Handbook (FAA-H-8083-3C), p. 7-11, read in a secondary copy: from downwind to
    # crosswind half of the reduction in ground speed comes in the first two thirds of the turn. With e = W/V
    # the exact share begins 1/2 + e/8 − e²/16: half in light wind, as cos 60° is, a little more in stronger.
    for fraction in (1e-4, 0.1, 0.2):
        share = 0.5 + fraction / 8 - fraction**2 / 16
        speed = circle.ground_speed(50.0, 50.0 * fraction, np.array([0.0, 60.0, 90.0]) * degree)
        assert (speed[0] - speed[1]) / (speed[0] - speed[2]) == pytest.approx(
            share, abs=fraction**3 + ROUNDING
        )


def test_overlapping_circles_are_refused() -> None:
    with pytest.raises(NoSolutionError, match=r"loops would overlap.*smaller loops"):
        eights.leg_angle(500.0, 499.0)


def test_shapes_broadcast() -> None:
    radius, axis = np.array([[300.0], [400.0]]), np.linspace(0.0, 6.0, 4)
    assert eights.leg_tracks(axis, 1.0, radius, 900.0)[0].shape == (2, 4)
    assert eights.loop_times(40.0, 5.0, axis, 1.0, 0.3, radius, 900.0)[1].shape == (2, 4)
