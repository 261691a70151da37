from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from groundref.errors import NoSolutionError
from groundref.mechanics import arc, circle
from groundref.units import degree
from tests.mechanics.flying import fly_by_position
from tests.mechanics.given import ROUNDING, airspeeds, angles, banks, directions, radii, wind_fractions

spans = st.floats(0.0, 2 * np.pi)


@given(airspeeds, wind_fractions, radii, angles, spans)
def test_extremes_are_those_found_by_trying_every_place(
    airspeed: float, fraction: float, radius: float, start: float, span: float
) -> None:
    wind, end = fraction * airspeed, start + span
    places = np.linspace(start, end, 2001)
    least, greatest = arc.bank_extremes(airspeed, wind, radius, start, end)
    bank = circle.required_bank(airspeed, wind, radius, places)
    # Between two places tried the extreme is flat: half the step squared, times the curvature, is left.
    flat = 40 * (span / 2000) ** 2 + ROUNDING
    assert least - ROUNDING <= bank.min() <= least + flat
    assert greatest - flat <= bank.max() <= greatest + ROUNDING
    slowest, fastest = arc.ground_speed_extremes(airspeed, wind, start, end)
    speed = circle.ground_speed(airspeed, wind, places)
    assert (speed.min(), speed.max()) == pytest.approx((slowest, fastest), rel=1e-4)
    assert slowest <= speed.min() * (1 + ROUNDING)
    assert fastest >= speed.max() * (1 - ROUNDING)


@pytest.mark.parametrize(
    ("start_deg", "end_deg", "upwind_deg", "downwind_deg"),
    [(0, 180, 180, 0), (-90, 90, 90, 0), (90, 270, 180, 90), (200, 300, 160, 60), (350, 370, 10, 0)],
)
def test_where_the_extremes_lie(
    start_deg: float, end_deg: float, upwind_deg: float, downwind_deg: float
) -> None:
    found = arc.most_upwind_and_downwind(start_deg * degree, end_deg * degree)
    assert np.array(found) / degree == pytest.approx([upwind_deg, downwind_deg], abs=1e-6)


@given(airspeeds, wind_fractions, angles, spans, banks)
def test_the_smallest_radius_needs_just_the_bank_limit(
    airspeed: float, fraction: float, start: float, span: float, limit: float
) -> None:
    wind, end = fraction * airspeed, start + span
    radius = arc.smallest_radius(airspeed, wind, start, end, limit)
    assert arc.bank_extremes(airspeed, wind, radius, start, end)[1] == pytest.approx(limit, rel=ROUNDING)


@given(airspeeds, wind_fractions, radii, angles, spans, spans)
def test_arcs_join(
    airspeed: float, fraction: float, radius: float, start: float, first: float, second: float
) -> None:
    wind, middle, end = fraction * airspeed, start + first, start + first + second
    whole = arc.time(airspeed, wind, radius, start, end)
    parts = arc.time(airspeed, wind, radius, start, middle) + arc.time(airspeed, wind, radius, middle, end)
    assert parts == pytest.approx(whole, rel=ROUNDING, abs=ROUNDING)


@pytest.mark.parametrize("direction", [-1.0, 1.0])
def test_heading_change_and_time_are_those_of_the_motion(direction: float) -> None:
    airspeed, wind, radius, first, last = 45.0, 12.0, 500.0, 0.7, 3.9
    start = direction * first  # with the wind to the north the track is the position, signed
    crab = float(circle.crab(airspeed, wind, first, direction))
    duration = float(arc.time(airspeed, wind, radius, first, last))
    _, _, heading = fly_by_position(
        airspeed,
        (0.0, wind),
        start + crab,
        lambda track: direction * float(circle.required_bank(airspeed, wind, radius, direction * track)),
        np.array([0.0, duration]),
    )
    change = arc.heading_change(airspeed, wind, first, last, direction)
    assert heading[1] - heading[0] == pytest.approx(change, abs=1e-8)


@given(angles, angles, directions)
def test_position_counts_from_downwind_in_the_direction_flown(
    track: float, direction_to: float, direction: float
) -> None:
    assert arc.position(direction_to, direction_to, direction) == 0.0
    assert arc.position(track, direction_to, direction) == direction * (track - direction_to)


def test_wind_not_less_than_airspeed_is_refused() -> None:
    for refused in (
        lambda: arc.time(40.0, 40.0, 500.0, 0.0, 1.0),
        lambda: arc.heading_change(40.0, 40.0, 0.0, 1.0, 1.0),
        lambda: arc.bank_extremes(40.0, 40.0, 500.0, 0.0, 1.0),
        lambda: arc.ground_speed_extremes(40.0, 40.0, 0.0, 1.0),
        lambda: arc.smallest_radius(40.0, 40.0, 0.0, 1.0, 0.5),
    ):
        with pytest.raises(NoSolutionError, match="not less than the true airspeed"):
            refused()


def test_shapes_broadcast() -> None:
    start, end = np.zeros((3, 1)), np.ones(4)
    assert arc.time(40.0, 5.0, 500.0, start, end).shape == (3, 4)
    assert arc.bank_extremes(40.0, 5.0, 500.0, start, end)[0].shape == (3, 4)
    assert np.isnan(arc.bank_extremes(40.0, 5.0, 500.0, np.nan, 1.0)[0])
