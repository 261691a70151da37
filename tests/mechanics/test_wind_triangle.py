from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given

from groundref.angles import difference, direction_of, wrap
from groundref.errors import NoSolutionError
from groundref.mechanics import wind_triangle as wt
from groundref.units import degree, hour, knot, nautical_mile
from tests.mechanics.given import ROUNDING, airspeeds, angles, wind_fractions

PRINTED_KNOT = 0.5 * knot  # half the last digit of a speed printed in whole knots
PRINTED_DEGREE = 0.5 * degree  # and of a direction printed in whole degrees


def test_trainee_navigator_example() -> None:
    # A navigation trainee's mathematics text of the Second World War, read in a secondary copy:
    # true airspeed 150 kt, heading 315°, wind 045°/30 kt give course 304°, ground speed 153 kt.
    wind = wt.wind_components(30 * knot, 45 * degree)
    east, north = wt.ground_velocity(150 * knot, 315 * degree, *wind)
    assert np.hypot(east, north) == pytest.approx(153 * knot, abs=PRINTED_KNOT)
    assert direction_of(east, north) == pytest.approx(304 * degree, abs=PRINTED_DEGREE)


def test_four_cardinal_headings() -> None:
    # Worked example in a homebuilders' magazine (Kitplanes), read in a copy: 100 kt in 20 kt of wind gives
    # 80, 120 and twice 101.98 kt; the mean of the four, 101 kt, is not the true airspeed.
    heading = np.array([0.0, 180.0, 90.0, 270.0]) * degree
    east, north = wt.ground_velocity(100 * knot, heading, 0.0, -20 * knot)
    speed = np.hypot(east, north) / knot
    assert speed == pytest.approx([80.0, 120.0, 101.98, 101.98], abs=0.005)
    assert speed.mean() == pytest.approx(101.0, abs=0.5)


@pytest.mark.parametrize("airspeed_kt", [90, 180])
def test_drift_in_an_hour_does_not_depend_on_airspeed(airspeed_kt: float) -> None:
    # FAA-H-8083-3B (2016), drift section, read in a secondary copy: 10 kt across carries an airplane 10 NM
    # sideways in an hour, at 90 kt as at 180 kt.
    east, _ = wt.ground_velocity(airspeed_kt * knot, 0.0, 10 * knot, 0.0)
    assert east * hour == pytest.approx(10 * nautical_mile)


def test_wind_from_the_left_drifts_to_the_right() -> None:
    # FAA-H-8083-3A (2004), chapter 6, read in a secondary copy: 30 kt square from the left
    # carries an airplane 30 NM to the right in an hour.
    heading = 40 * degree
    wind = wt.wind_components(30 * knot, heading - 90 * degree)
    east, north = wt.ground_velocity(100 * knot, heading, *wind)
    to_the_right = east * np.cos(heading) - north * np.sin(heading)
    assert to_the_right * hour == pytest.approx(30 * nautical_mile)


def test_crab_is_into_the_wind() -> None:
    assert wt.crab_on_track(50.0, 10.0, 0.5 * np.pi) == pytest.approx(
        -np.arcsin(0.2)
    )  # from the left: nose left
    assert wt.crab_on_track(50.0, 10.0, 0.0) == 0.0


@given(airspeeds, wind_fractions, angles, angles)
def test_flying_the_crab_makes_good_the_track(
    airspeed: float, fraction: float, track: float, wind_to: float
) -> None:
    wind = fraction * airspeed
    heading = track + wt.crab_on_track(airspeed, wind, wind_to - track)
    east, north = wt.ground_velocity(airspeed, heading, wind * np.sin(wind_to), wind * np.cos(wind_to))
    speed = wt.ground_speed_on_track(airspeed, wind, wind_to - track)
    assert np.hypot(east, north) == pytest.approx(speed, rel=ROUNDING)
    assert abs(difference(direction_of(east, north), track)) < ROUNDING


@given(airspeeds, wind_fractions, angles, angles)
def test_turning_wind_and_track_together_changes_nothing(
    airspeed: float, fraction: float, track: float, turned: float
) -> None:
    wind_to, wind = 0.7, fraction * airspeed
    before = wt.ground_velocity(airspeed, track, wind * np.sin(wind_to), wind * np.cos(wind_to))
    after = wt.ground_velocity(
        airspeed, track + turned, wind * np.sin(wind_to + turned), wind * np.cos(wind_to + turned)
    )
    assert np.hypot(*after) == pytest.approx(np.hypot(*before), rel=ROUNDING)
    assert abs(difference(direction_of(*after) - turned, direction_of(*before))) < ROUNDING


@given(airspeeds, wind_fractions, angles)
def test_wind_from_the_other_side_mirrors(airspeed: float, fraction: float, angle: float) -> None:
    wind = fraction * airspeed
    assert wt.crab_on_track(airspeed, wind, -angle) == -wt.crab_on_track(airspeed, wind, angle)
    assert wt.ground_speed_on_track(airspeed, wind, -angle) == wt.ground_speed_on_track(airspeed, wind, angle)


@given(airspeeds, wind_fractions, angles)
def test_ground_speed_lies_between_head_and_tailwind(airspeed: float, fraction: float, angle: float) -> None:
    speed = wt.ground_speed_on_track(airspeed, fraction * airspeed, angle)
    assert (1 - fraction) * (1 - ROUNDING) <= speed / airspeed <= (1 + fraction) * (1 + ROUNDING)


@given(airspeeds, angles)
def test_wind_round_trip(speed: float, direction: float) -> None:
    there, back = wt.wind_from(*wt.wind_components(speed, direction))
    assert there == pytest.approx(speed)
    assert abs(difference(back, direction)) < ROUNDING
    assert 0.0 <= back < 2 * np.pi


@given(airspeeds, angles, airspeeds, angles)
def test_air_velocity_undoes_ground_velocity(
    airspeed: float, heading: float, wind: float, direction: float
) -> None:
    components = wt.wind_components(0.5 * wind, direction)
    ground = wt.ground_velocity(airspeed, heading, *components)
    there, nose = wt.air_velocity(*ground, *components)
    assert there == pytest.approx(airspeed)
    assert abs(difference(nose, wrap(heading))) < ROUNDING


def test_a_north_wind_moves_the_air_south() -> None:
    east, north = wt.wind_components(5.0, 0.0)
    assert (east, north) == pytest.approx((0.0, -5.0))


def test_wind_not_less_than_airspeed_is_refused_with_the_numbers() -> None:
    with pytest.raises(
        NoSolutionError, match=r"the wind \(41\.0 m/s\).*true airspeed \(40\.0 m/s\).*less wind"
    ):
        wt.ground_speed_on_track([50.0, 40.0, np.nan], 41.0, 0.0)
    with pytest.raises(NoSolutionError):
        wt.crab_on_track(40.0, 40.0, 0.0)


def test_negative_wind_is_refused() -> None:
    with pytest.raises(NoSolutionError, match="negative"):
        wt.crab_on_track(40.0, -1.0, 0.0)


def test_shapes_broadcast_and_nan_passes() -> None:
    wind = np.array([[0.0], [5.0], [np.nan]])
    for result in (
        wt.ground_speed_on_track(40.0, wind, np.zeros(4)),
        wt.crab_on_track(40.0, wind, np.zeros(4)),
        *wt.wind_components(wind, np.zeros(4)),
        *wt.wind_from(wind, np.zeros(4)),
        *wt.ground_velocity(40.0, np.zeros(4), wind, wind),
        *wt.air_velocity(np.zeros(4), np.zeros(4), wind, wind),
    ):
        assert result.shape == (3, 4)
        assert np.isnan(result[2]).all()
    assert np.shape(wt.ground_speed_on_track(40.0, 5.0, 0.0)) == ()
