from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundref.errors import NoSolutionError
from groundref.mechanics import arc, boundary, circle, rectangle, turn
from groundref.mechanics.wind_triangle import crab_on_track, ground_speed_on_track
from groundref.units import degree, knot
from tests.mechanics.flying import fly_by_position, fly_level
from tests.mechanics.given import ROUNDING, airspeeds, angles, banks, directions, radii, wind_fractions

FLOWN = 1e-5  # [m]  what the integrator leaves
WINDS = [0, 20, 75, 90, 165, 180, 270, 340]  # [deg] from the track of the leg to where the air goes


@pytest.mark.parametrize("wind_angle_deg", WINDS)
@pytest.mark.parametrize("direction", [-1.0, 1.0])
def test_flying_one_bank_ends_on_the_next_leg(wind_angle_deg: float, direction: float) -> None:
    # The leg before runs north. After the lead, the turn and its drift the track is the next leg's.
    airspeed, wind, bank, angle = 100 * knot, 25 * knot, 28 * degree, wind_angle_deg * degree
    to = (wind * np.sin(angle), wind * np.cos(angle))
    lead, beyond, duration = rectangle.corner_at_constant_bank(airspeed, wind, angle, direction, bank)
    heading = float(crab_on_track(airspeed, wind, angle))
    east, north, nose = fly_level(
        airspeed, to, heading, lambda _: direction * bank, np.array([0.0, float(duration)])
    )
    assert north[-1] == pytest.approx(lead, abs=FLOWN)
    assert direction * east[-1] == pytest.approx(beyond, abs=FLOWN)
    velocity = airspeed * np.sin(nose[-1]) + to[0], airspeed * np.cos(nose[-1]) + to[1]
    assert np.arctan2(*velocity) == pytest.approx(direction * np.pi / 2, abs=1e-8)
    late = rectangle.overshoot(airspeed, wind, angle, direction, bank, float(lead) - 50.0)
    assert late == pytest.approx(50.0)


@pytest.mark.parametrize("wind_angle_deg", WINDS)
@pytest.mark.parametrize("direction", [-1.0, 1.0])
def test_flying_one_radius_ends_one_radius_beyond_the_corner(wind_angle_deg: float, direction: float) -> None:
    airspeed, wind, radius, angle = 90 * knot, 22 * knot, 420.0, wind_angle_deg * degree
    to = (wind * np.sin(angle), wind * np.cos(angle))

    def bank(track: float) -> float:
        place = arc.position(track, angle, direction)
        return direction * float(circle.required_bank(airspeed, wind, radius, place))

    duration = float(rectangle.corner_time(airspeed, wind, angle, direction, radius))
    heading = float(crab_on_track(airspeed, wind, angle))
    east, north, nose = fly_by_position(airspeed, to, heading, bank, np.array([0.0, duration]))
    assert (direction * east[-1], north[-1]) == pytest.approx((radius, radius), abs=FLOWN)
    change = rectangle.corner_heading_change(airspeed, wind, angle, direction)
    assert nose[-1] - nose[0] == pytest.approx(change, abs=1e-8)


@given(airspeeds, st.floats(0.01, 0.8), directions)
def test_wind_along_the_course_turns_more_and_less_than_90(
    airspeed: float, fraction: float, direction: float
) -> None:
    # Airplane Flying Handbook (FAA-H-8083-3C), p. 7-6: more than 90° from downwind to base and from
    # crosswind to downwind, less from base to upwind and from upwind to crosswind.
    downwind, base, upwind, crosswind = -rectangle.leg_tracks(0.0, direction)
    changes = rectangle.corner_heading_change(
        airspeed, fraction * airspeed, np.array([downwind, base, upwind, crosswind]), direction
    )
    more = np.abs(changes) > np.pi / 2
    assert more.tolist() == [True, False, False, True]
    assert np.abs(changes) - np.pi / 2 == pytest.approx(np.array([1, -1, -1, 1]) * np.arcsin(fraction))


@given(airspeeds, wind_fractions, angles, directions)
def test_a_circuit_turns_through_360(
    airspeed: float, fraction: float, wind_angle: float, direction: float
) -> None:
    tracks = rectangle.leg_tracks(0.3, direction)
    changes = rectangle.corner_heading_change(airspeed, fraction * airspeed, wind_angle - tracks, direction)
    assert changes.sum() == pytest.approx(direction * 2 * np.pi)


@given(airspeeds, wind_fractions, angles, directions, radii)
def test_four_corners_make_the_circle(
    airspeed: float, fraction: float, wind_angle: float, direction: float, radius: float
) -> None:
    wind = fraction * airspeed
    off = wind_angle - rectangle.leg_tracks(0.0, direction)
    times = rectangle.corner_time(airspeed, wind, off, direction, radius)
    assert times.sum() == pytest.approx(circle.lap_time(airspeed, wind, radius), rel=ROUNDING)
    least, greatest = rectangle.corner_bank_extremes(airspeed, wind, off, direction, radius)
    extremes = circle.bank_extremes(airspeed, wind, radius)
    assert (least.min(), greatest.max()) == pytest.approx(extremes, rel=ROUNDING)


@given(airspeeds, wind_fractions, angles, directions, banks)
def test_corner_radius_needs_just_the_limit(
    airspeed: float, fraction: float, wind_angle: float, direction: float, limit: float
) -> None:
    wind = fraction * airspeed
    radius = rectangle.corner_radius(airspeed, wind, wind_angle, direction, limit)
    _, greatest = rectangle.corner_bank_extremes(airspeed, wind, wind_angle, direction, radius)
    assert greatest == pytest.approx(limit, rel=ROUNDING)


def test_banks_of_the_corners_as_the_handbook_orders_them() -> None:
    # Airplane Flying Handbook (FAA-H-8083-3C), p. 7-6: steep from downwind to base, medium from base to
    # upwind, shallow from upwind to crosswind, medium and then steeper from crosswind to downwind.
    off = -rectangle.leg_tracks(0.0, -1.0)
    starts, _ = rectangle.corner_positions(off, -1.0)
    bank = circle.required_bank(90 * knot, 15 * knot, 450.0, starts)
    assert bank[0] > bank[1] > bank[2]
    assert bank[1] == pytest.approx(bank[3])
    assert bank[0] == pytest.approx(
        rectangle.corner_bank_extremes(90 * knot, 15 * knot, off[3], -1.0, 450.0)[1]
    )


@given(airspeeds, banks, directions)
def test_in_still_air_a_corner_is_a_quarter_circle(airspeed: float, bank: float, direction: float) -> None:
    radius = turn.radius(airspeed, bank)
    lead, beyond, duration = rectangle.corner_at_constant_bank(airspeed, 0.0, 0.7, direction, bank)
    assert (lead, beyond) == pytest.approx((radius, radius), rel=ROUNDING)
    assert duration == pytest.approx(0.5 * np.pi * radius / airspeed, rel=ROUNDING)
    assert rectangle.corner_radius(airspeed, 0.0, 0.7, direction, bank) == pytest.approx(radius)


@pytest.mark.parametrize("tail", [1.0, -1.0])
def test_a_tailwind_on_base_overshoots_final(tail: float) -> None:
    # Base flown with the wind, or against it, with the lead of still air: by hand, the arc through the air
    # covers r cos κ along base, κ = asin(W/V), and the wind its way in the time of 90° ± κ.
    airspeed, wind, bank = 70 * knot, 10 * knot, 20 * degree
    still = float(turn.radius(airspeed, bank))
    ratio, crab = 1 / 7, np.arcsin(1 / 7)
    by_hand = still * (np.cos(crab) - 1.0 + tail * ratio * (np.pi / 2 + tail * crab))
    along = 0.0 if tail > 0 else np.pi
    late = rectangle.overshoot(airspeed, wind, along, -1.0, bank, still)
    assert late == pytest.approx(by_hand, rel=ROUNDING)
    assert late * tail > 0.0


def test_legs_of_the_pattern() -> None:
    tracks = rectangle.pattern_tracks(270 * degree, -1.0) / degree
    assert tracks == pytest.approx([270, 180, 90, 0, 270])
    assert rectangle.pattern_tracks(270 * degree, 1.0) / degree == pytest.approx([270, 0, 90, 180, 270])
    assert len(tracks) == len(rectangle.pattern_legs)
    assert rectangle.leg_tracks(np.zeros(3), np.array([1.0, -1.0, 1.0])).shape == (3, 4)


@given(airspeeds, wind_fractions, angles)
def test_leg_time_is_length_over_ground_speed(airspeed: float, fraction: float, wind_angle: float) -> None:
    time = rectangle.leg_time(airspeed, fraction * airspeed, wind_angle, 1500.0)
    assert time * ground_speed_on_track(airspeed, fraction * airspeed, wind_angle) == pytest.approx(1500.0)


def test_wind_not_less_than_airspeed_is_refused() -> None:
    for refused in (
        lambda: rectangle.leg_time(40.0, 40.0, 0.0, 500.0),
        lambda: rectangle.corner_heading_change(40.0, 40.0, 0.0, 1.0),
        lambda: rectangle.corner_radius(40.0, 40.0, 0.0, 1.0, 0.5),
        lambda: rectangle.corner_time(40.0, 40.0, 0.0, 1.0, 500.0),
        lambda: rectangle.corner_at_constant_bank(40.0, 40.0, 0.0, 1.0, 0.5),
    ):
        with pytest.raises(NoSolutionError, match="not less than the true airspeed"):
            refused()


places = st.floats(-5000.0, 5000.0)
sides = st.floats(100.0, 4000.0)


@given(places, places, angles, sides, sides, places, places)
def test_distance_from_the_boundary_is_that_of_the_nearest_point(
    east: float, north: float, bearing: float, length: float, width: float, x: float, y: float
) -> None:
    corner_east, corner_north = boundary.corners(x, y, bearing, length, width, 1.0)
    nearest, inside = np.inf, True
    for i in range(4):
        start = np.array([corner_east[i], corner_north[i]])
        end = np.array([corner_east[(i + 1) % 4], corner_north[(i + 1) % 4]])
        way, to = end - start, np.array([east, north]) - start
        foot_point = start + way * np.clip(to @ way / (way @ way), 0.0, 1.0)
        nearest = min(nearest, float(np.hypot(*(np.array([east, north]) - foot_point))))
        inside = inside and bool(way[0] * to[1] - way[1] * to[0] <= 0.0)
    ours = boundary.outside(east, north, x, y, bearing, length, width)
    assert abs(ours) == pytest.approx(nearest, abs=1e-6)
    if nearest > 1e-6:
        assert (ours < 0.0) == inside


@given(angles, sides, sides, directions, st.floats(-400.0, 900.0), st.floats(0.0, 1.0))
def test_outside_of_each_side(
    bearing: float, length: float, width: float, direction: float, out: float, share: float
) -> None:
    east, north = boundary.corners(10.0, -20.0, bearing, length, width, direction)
    for i, track in enumerate(rectangle.leg_tracks(bearing, direction)):
        left = track - direction * np.pi / 2
        on = [corner[i] + share * (corner[(i + 1) % 4] - corner[i]) for corner in (east, north)]
        place = on[0] + out * np.sin(left), on[1] + out * np.cos(left)
        assert boundary.outside_side(*place, east[i], north[i], track, direction) == pytest.approx(
            out, abs=1e-6
        )
        if out >= 0.0:
            assert boundary.outside(*place, 10.0, -20.0, bearing, length, width) == pytest.approx(
                out, abs=1e-6
            )
