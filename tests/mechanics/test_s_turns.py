from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.special import ellipe, ellipeinc

from groundref.errors import NoSolutionError
from groundref.mechanics import circle, s_turns
from groundref.mechanics.wind_triangle import ground_velocity
from groundref.units import degree, knot
from tests.mechanics.flying import fly_by_position
from tests.mechanics.given import ROUNDING, airspeeds, angles, directions, radii, wind_fractions

half_turned = st.floats(0.0, np.pi)

# What the integrator leaves after half circles of some kilometres at a relative tolerance of 10⁻¹¹.
FLOWN = 1e-5  # [m]


@pytest.mark.parametrize("wind_angle_deg", [0, 35, 90, 140, 180, 250, 315])
@pytest.mark.parametrize("direction", [-1.0, 1.0])
def test_flying_the_bank_open_loop_draws_the_half_circle(wind_angle_deg: float, direction: float) -> None:
    # The line runs north, so that the wind angle is the direction the air moves to.
    airspeed, wind, radius, angle = 90 * knot, 20 * knot, 480.0, wind_angle_deg * degree

    def bank(track: float) -> float:
        turned = direction * track + np.pi / 2
        place = s_turns.position(turned, angle, direction)
        return direction * float(circle.required_bank(airspeed, wind, radius, place))

    crossing = -direction * np.pi / 2
    heading = crossing + float(s_turns.crossing_crab(airspeed, wind, angle, direction))
    turned = np.linspace(0.0, np.pi, 25)
    times = s_turns.time_from_crossing(airspeed, wind, radius, turned, angle, direction)
    flown = fly_by_position(airspeed, (wind * np.sin(angle), wind * np.cos(angle)), heading, bank, times)
    along, right = s_turns.ground_path(radius, direction, turned)
    assert np.abs(flown[0] - right).max() < FLOWN
    assert np.abs(flown[1] - along).max() < FLOWN
    assert times[-1] == pytest.approx(s_turns.half_circle_time(airspeed, wind, radius, angle), rel=ROUNDING)
    # It arrives with the crab with which the next half circle, the other way round, begins.
    track_at_end = direction * np.pi / 2
    crab_next = s_turns.crossing_crab(airspeed, wind, angle, -direction)
    assert flown[2][-1] - track_at_end == pytest.approx(crab_next, abs=1e-8)
    assert along[-1] == pytest.approx(2 * radius)


@given(airspeeds, wind_fractions, radii, angles)
def test_half_circles_take_one_time_in_any_wind(
    airspeed: float, fraction: float, radius: float, wind_angle: float
) -> None:
    wind = fraction * airspeed
    right, left = (
        s_turns.time_from_crossing(airspeed, wind, radius, np.pi, wind_angle, side) for side in (1.0, -1.0)
    )
    assert right == pytest.approx(left, rel=ROUNDING)
    assert right == pytest.approx(s_turns.half_circle_time(airspeed, wind, radius, wind_angle), rel=ROUNDING)


@given(airspeeds, wind_fractions, radii, angles, directions)
def test_time_against_quadrature_and_scipy(
    airspeed: float, fraction: float, radius: float, wind_angle: float, direction: float
) -> None:
    wind, turned = fraction * airspeed, 1.1
    start = float(s_turns.position(0.0, wind_angle, direction))

    def slowness(place: float) -> float:
        return radius / float(circle.ground_speed(airspeed, wind, place))

    numeric, _ = quad(slowness, start, start + turned, epsabs=1e-10, epsrel=1e-10)
    ours = s_turns.time_from_crossing(airspeed, wind, radius, turned, wind_angle, direction)
    assert ours == pytest.approx(numeric, rel=1e-8)
    m = fraction**2
    integral = ellipeinc(start + turned, m) - ellipeinc(start, m)
    sines = np.sin(start + turned) - np.sin(start)
    expected = radius * (airspeed * integral - wind * sines) / (airspeed**2 - wind**2)
    assert ours == pytest.approx(expected, rel=1e-9)


@given(airspeeds, wind_fractions, radii)
def test_wind_across_the_line_leaves_half_a_lap(airspeed: float, fraction: float, radius: float) -> None:
    wind = fraction * airspeed
    across = s_turns.half_circle_time(airspeed, wind, radius, np.pi / 2)
    assert across == pytest.approx(0.5 * circle.lap_time(airspeed, wind, radius), rel=ROUNDING)
    tail = s_turns.half_circle_time(airspeed, wind, radius, 0.0)
    head = s_turns.half_circle_time(airspeed, wind, radius, np.pi)
    assert head - tail == pytest.approx(4 * radius * wind / (airspeed**2 - wind**2), rel=1e-6, abs=1e-9)
    complete = 2 * radius * (airspeed * ellipe(fraction**2) - wind) / (airspeed**2 - wind**2)
    assert tail == pytest.approx(complete, rel=ROUNDING)


@given(airspeeds, wind_fractions, radii, angles, half_turned)
def test_the_other_side_is_the_same_in_reverse_order(
    airspeed: float, fraction: float, radius: float, wind_angle: float, turned: float
) -> None:
    wind = fraction * airspeed
    right, left = (
        s_turns.position(turned, wind_angle, 1.0),
        s_turns.position(np.pi - turned, wind_angle, -1.0),
    )
    banks = circle.required_bank(airspeed, wind, radius, np.array([right, left]))
    assert banks[0] == pytest.approx(banks[1], rel=ROUNDING)
    tracks = s_turns.track(1.0, 1.0, turned), s_turns.track(1.0, -1.0, np.pi - turned)
    assert np.cos(tracks[0] - tracks[1]) == pytest.approx(1.0)
    least, greatest = s_turns.bank_extremes(airspeed, wind, radius, wind_angle)
    assert least * (1 - ROUNDING) <= banks[0] <= greatest * (1 + ROUNDING)


@given(airspeeds, wind_fractions, radii, angles, directions)
def test_bank_at_the_line_is_the_same_on_both_sides_of_it(
    airspeed: float, fraction: float, radius: float, wind_angle: float, direction: float
) -> None:
    wind = fraction * airspeed
    before = s_turns.bank_before_crossing(airspeed, wind, radius, wind_angle, direction)
    after = s_turns.position(0.0, wind_angle, -direction)
    assert before == pytest.approx(circle.required_bank(airspeed, wind, radius, after), rel=ROUNDING)


@given(airspeeds, wind_fractions, angles, directions)
def test_nose_square_to_the_line(
    airspeed: float, fraction: float, wind_angle: float, direction: float
) -> None:
    wind = fraction * airspeed
    east, north = ground_velocity(
        airspeed, -direction * np.pi / 2, wind * np.sin(wind_angle), wind * np.cos(wind_angle)
    )
    turned = s_turns.turned_with_nose_square(airspeed, wind, wind_angle, direction)
    track = s_turns.track(0.0, direction, turned)
    assert (np.sin(track), np.cos(track)) == pytest.approx(
        (east / np.hypot(east, north), north / np.hypot(east, north)), abs=1e-9
    )


def test_crab_at_the_crossing_points_into_the_wind_along_the_line() -> None:
    # Wind from ahead along the line (α = 180°): the nose is turned toward the line's bearing on both sides.
    # A right turn begins on a track to the left of the line's bearing, so that nose is right of track.
    assert s_turns.crossing_crab(50.0, 10.0, np.pi, 1.0) == pytest.approx(np.arcsin(0.2))
    assert s_turns.crossing_crab(50.0, 10.0, np.pi, -1.0) == pytest.approx(-np.arcsin(0.2))
    assert s_turns.crossing_crab(50.0, 10.0, np.pi / 2, 1.0) == pytest.approx(0.0, abs=1e-12)


def test_order_of_banks_entered_downwind_and_upwind() -> None:
    # Line north, wind to the west: a right turn begins on a track to the west, downwind, and is steep first.
    turned = np.linspace(0.0, np.pi, 50)
    for direction, order in ((1.0, -1.0), (-1.0, 1.0)):
        place = s_turns.position(turned, -np.pi / 2, direction)
        assert np.all(order * np.diff(circle.required_bank(45.0, 9.0, 500.0, place)) > 0.0)


def test_wind_not_less_than_airspeed_is_refused() -> None:
    for refused in (
        lambda: s_turns.half_circle_time(40.0, 40.0, 500.0, 0.0),
        lambda: s_turns.time_from_crossing(40.0, 40.0, 500.0, 1.0, 0.0, 1.0),
        lambda: s_turns.crossing_crab(40.0, 40.0, 0.0, 1.0),
        lambda: s_turns.turned_with_nose_square(40.0, 40.0, 0.0, 1.0),
        lambda: s_turns.bank_extremes(40.0, 40.0, 500.0, 0.0),
        lambda: s_turns.bank_before_crossing(40.0, 40.0, 500.0, 0.0, 1.0),
    ):
        with pytest.raises(NoSolutionError, match="not less than the true airspeed"):
            refused()


def test_shapes_broadcast() -> None:
    turned, wind_angle = np.linspace(0.0, np.pi, 3)[:, None], np.linspace(0.0, 6.0, 4)
    assert s_turns.position(turned, wind_angle, 1.0).shape == (3, 4)
    assert s_turns.time_from_crossing(40.0, 5.0, 500.0, turned, wind_angle, -1.0).shape == (3, 4)
    assert s_turns.half_circle_time(40.0, 5.0, 500.0, wind_angle).shape == (4,)
