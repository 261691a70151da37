from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

from groundref.errors import NoSolutionError
from groundref.mechanics import pylon, pylon_ellipse, pylon_sight, sight
from groundref.mechanics.wind_triangle import crab_on_track, ground_speed_on_track, ground_velocity
from groundref.units import degree, foot, foot_per_minute, knot, standard_gravity
from tests.mechanics.flying import fly_level
from tests.mechanics.given import ROUNDING, airspeeds, angles, banks, directions, radii, wind_fractions

CASES = [(100, 20, 450), (90, 15, 400), (110, 30, 500)]  # [kt], [kt], [m]
FLOWN = 1e-5  # [m]  what the integrator leaves
around = np.linspace(0.0, 2 * np.pi, 721)


@pytest.mark.parametrize(("airspeed_kt", "wind_kt", "nearest"), CASES)
@pytest.mark.parametrize("direction", [-1.0, 1.0])
def test_flying_the_banks_open_loop_keeps_the_pylon_on_the_wing_line(
    airspeed_kt: float, wind_kt: float, nearest: float, direction: float
) -> None:
    # The wind blows north. The bank comes as a function of time from Kepler's equation, nothing is fed back.
    airspeed, wind = airspeed_kt * knot, wind_kt * knot
    time = pylon_ellipse.time_from_downwind(airspeed, wind, nearest, around)

    def bank(at: float) -> float:
        nu = solve_heading(airspeed, wind, nearest, at)
        return direction * float(pylon_ellipse.bank(airspeed, wind, nearest, nu))

    moments = time[::60]
    east, north, heading = fly_level(airspeed, (0.0, wind), 0.0, bank, moments)
    nu = around[::60]
    assert heading == pytest.approx(direction * nu, abs=1e-8)
    start = pylon_ellipse.from_pylon(nearest, 0.0, direction)
    place = pylon_ellipse.from_pylon(
        pylon_ellipse.distance(airspeed, wind, nearest, nu), direction * nu, direction
    )
    assert east + start[0] == pytest.approx(place[0], abs=FLOWN)
    assert north + start[1] == pytest.approx(place[1], abs=FLOWN)
    assert np.hypot(east[-1], north[-1]) < FLOWN
    assert moments[-1] == pytest.approx(pylon_ellipse.lap_time(airspeed, wind, nearest))
    height = pylon.pivotal_height_with_wind(airspeed, wind * np.cos(nu))
    flown_bank = direction * pylon_ellipse.bank(airspeed, wind, nearest, nu)
    off = pylon_sight.pylon_from_wing(
        -(east + start[0]), -(north + start[1]), height, heading, flown_bank, direction
    )
    assert np.abs(off).max() < 1e-7


def solve_heading(airspeed: float, wind: float, nearest: float, at: float) -> float:
    """Return the heading from downwind at a time, by Newton's method on the time."""
    lap = float(pylon_ellipse.lap_time(airspeed, wind, nearest))
    nu = 2 * np.pi * at / lap
    for _ in range(20):
        late = float(pylon_ellipse.time_from_downwind(airspeed, wind, nearest, nu)) - at
        away = float(pylon_ellipse.distance(airspeed, wind, nearest, nu))
        nu -= late * (airspeed + wind * np.cos(nu)) / away
    return nu


@given(airspeeds, wind_fractions, angles, angles)
def test_three_forms_of_the_pivotal_height(
    airspeed: float, fraction: float, heading: float, direction_to: float
) -> None:
    wind = fraction * airspeed
    to_east, to_north = wind * np.sin(direction_to), wind * np.cos(direction_to)
    east, north = ground_velocity(airspeed, heading, to_east, to_north)
    speed, crab = np.hypot(east, north), heading - np.arctan2(east, north)
    height = pylon.pivotal_height_with_wind(airspeed, wind * np.cos(direction_to - heading))
    assert pylon.pivotal_height(airspeed, speed, crab) == pytest.approx(height, rel=ROUNDING)
    assert pylon.pivotal_height_from_velocity(east, north, to_east, to_north) == pytest.approx(height)
    least, greatest = pylon.height_extremes(airspeed, wind)
    assert least * (1 - ROUNDING) <= height <= greatest * (1 + ROUNDING)


@given(airspeeds, wind_fractions)
def test_the_handbook_is_the_calm_case_and_off_by_the_wind_otherwise(
    airspeed: float, fraction: float
) -> None:
    wind = fraction * airspeed
    # 11.3 for 11.2943: 0.05 % low.
    still = pylon.pivotal_height_with_wind(airspeed, 0.0)
    assert pylon.handbook_height(airspeed) == pytest.approx(still, rel=6e-4)
    upwind, downwind = pylon.height_extremes(airspeed, wind)
    assert (airspeed + wind) ** 2 / standard_gravity - downwind == pytest.approx(
        fraction * downwind, rel=1e-9, abs=1e-9
    )
    assert (airspeed - wind) ** 2 / standard_gravity - upwind == pytest.approx(
        -fraction * upwind, rel=1e-9, abs=1e-9
    )


@given(airspeeds, wind_fractions, angles)
def test_trading_height_for_speed_holds_energy_and_the_law(
    airspeed: float, fraction: float, heading: float
) -> None:
    along = fraction * airspeed * np.cos(heading)
    air, height = pylon.height_with_speed_traded(airspeed, along)
    still = airspeed**2 / standard_gravity
    energy = 0.5 * air**2 + standard_gravity * height
    assert energy == pytest.approx(0.5 * airspeed**2 + standard_gravity * still)
    assert height == pytest.approx(air * (air + along) / standard_gravity)


@pytest.mark.parametrize(("airspeed_kt", "wind_kt", "nearest"), CASES)
def test_height_rate_is_that_along_the_path(airspeed_kt: float, wind_kt: float, nearest: float) -> None:
    airspeed, wind = airspeed_kt * knot, wind_kt * knot
    time = pylon_ellipse.time_from_downwind(airspeed, wind, nearest, around)
    height = pylon.pivotal_height_with_wind(airspeed, wind * np.cos(around))
    bank = pylon_ellipse.bank(airspeed, wind, nearest, around)
    # Right-hand, so the pylon is to the right of the heading: a quarter turn on, wind −W sin ν.
    rate = pylon.height_rate(-wind * np.sin(around), bank)
    numeric = np.gradient(height, time)
    assert rate[1:-1] == pytest.approx(numeric[1:-1], abs=2e-4 * np.abs(rate).max())


def test_height_rate_with_speed_traded_is_that_of_the_motion() -> None:
    # Integrated with distance and heading only; height and airspeed come from the law.
    still, wind = 100 * knot, 20 * knot

    def motion(_: float, state: list[float]) -> list[float]:
        air, height = pylon.height_with_speed_traded(still, wind * np.cos(state[1]))
        return [wind * np.sin(state[1]), standard_gravity * float(height) / (state[0] * float(air))]

    flown = solve_ivp(motion, (0.0, 60.0), [450.0, 0.0], method="DOP853", rtol=1e-11, atol=1e-9, max_step=0.1)
    distance, heading = flown.y
    along, toward = wind * np.cos(heading), -wind * np.sin(heading)
    air, height = pylon.height_with_speed_traded(still, along)
    bank = np.arctan(height / distance)
    rate = pylon.height_rate_with_speed_traded(air, along, toward, bank)
    numeric = np.gradient(height, flown.t)
    assert rate[2:-2] == pytest.approx(numeric[2:-2], abs=1e-3 * np.abs(rate).max())
    # Computed apart from this code: at most 341 fpm where constant airspeed needs 1,085.
    assert np.abs(rate).max() / foot_per_minute == pytest.approx(341, abs=1.0)


@pytest.mark.parametrize(
    ("airspeed_kt", "wind_kt", "nearest", "fpm"), [(100, 20, 450, 1085), (110, 30, 500, 1757)]
)
def test_climb_that_constant_airspeed_needs(
    airspeed_kt: float, wind_kt: float, nearest: float, fpm: float
) -> None:
    # Computed apart from this code, printed without what is left of the last foot a minute.
    airspeed, wind = airspeed_kt * knot, wind_kt * knot
    bank = pylon_ellipse.bank(airspeed, wind, nearest, around)
    rate = pylon.height_rate(-wind * np.sin(around), bank)
    assert np.floor(np.abs(rate).max() / foot_per_minute) == fpm


@pytest.mark.parametrize(
    ("airspeed_kt", "wind_kt", "start", "behind_deg", "ahead_deg", "lap"),
    [(100, 20, 450, -14.3, 10.7, 61.0), (90, 15, 400, -11.5, 9.0, 58.3), (110, 30, 500, -20.9, 14.2, 67.7)],
)
def test_where_the_rule_leaves_the_pylon(
    airspeed_kt: float, wind_kt: float, start: float, behind_deg: float, ahead_deg: float, lap: float
) -> None:
    # Height G²/g and for bank the pylon's depression, so a rate of turn of G²/(V d): how far from abeam the
    # pylon comes to stand in 360° of heading. Computed apart from this code, printed to 0.1° and 0.1 s.
    airspeed, wind = airspeed_kt * knot, wind_kt * knot

    def motion(_: float, state: list[float]) -> list[float]:
        east, north = ground_velocity(airspeed, state[2], 0.0, wind)
        turn_rate = (east**2 + north**2) / (airspeed * np.hypot(state[0], state[1]))
        return [float(east), float(north), float(turn_rate)]

    flown = solve_ivp(
        motion, (0.0, 80.0), [-start, 0.0, 0.0], method="DOP853", rtol=1e-10, atol=1e-8, max_step=0.05
    )
    lasts = int(np.searchsorted(flown.y[2], 2 * np.pi))
    east, north, heading = flown.y[:, : lasts + 1]
    ahead = pylon_sight.ahead_of_abeam(-east, -north, heading, 1.0) / degree
    assert (ahead.min(), ahead.max(), flown.t[lasts]) == pytest.approx((behind_deg, ahead_deg, lap), abs=0.1)


@given(airspeeds, wind_fractions, radii, angles)
def test_ellipse_areas_and_axes(airspeed: float, fraction: float, nearest: float, nu: float) -> None:
    wind = fraction * airspeed
    across, along = pylon_ellipse.semi_axes(airspeed, wind, nearest)
    assert pylon_ellipse.eccentricity(airspeed, wind) == pytest.approx(fraction)
    away = pylon_ellipse.distance(airspeed, wind, nearest, nu)
    # Kepler: the line to the pylon sweeps d (V + w_h) twice in a second.
    swept = away * (airspeed + wind * np.cos(nu))
    assert swept == pytest.approx(nearest * (airspeed + wind), rel=ROUNDING)
    lap = pylon_ellipse.lap_time(airspeed, wind, nearest)
    assert lap * swept == pytest.approx(2 * np.pi * across * along, rel=ROUNDING)
    # The second focus is 2ae from the first, and the two distances add up to 2a.
    east, north = pylon_ellipse.from_pylon(away, nu, 1.0)
    assert away + np.hypot(east - 2 * across * fraction, north) == pytest.approx(2 * across, rel=ROUNDING)
    height = pylon.pivotal_height_with_wind(airspeed, wind * np.cos(nu))
    bank = pylon_ellipse.bank(airspeed, wind, nearest, nu)
    assert np.tan(bank) == pytest.approx(height / away)


@given(airspeeds, wind_fractions, radii, st.floats(-7.0, 7.0))
def test_time_against_quadrature(airspeed: float, fraction: float, nearest: float, nu: float) -> None:
    wind = fraction * airspeed

    def slowness(angle: float) -> float:
        away = float(pylon_ellipse.distance(airspeed, wind, nearest, angle))
        return away / (airspeed + wind * np.cos(angle))

    numeric, _ = quad(slowness, 0.0, nu, epsabs=1e-9, epsrel=1e-11, limit=200)
    ours = pylon_ellipse.time_from_downwind(airspeed, wind, nearest, nu)
    assert ours == pytest.approx(numeric, rel=1e-8, abs=1e-8)


@given(angles, st.floats(100.0, 3000.0), st.floats(0.0, 900.0), st.floats(-1.2, 1.2), banks, directions)
def test_level_nose_agrees_with_the_sight_line(
    heading: float, distance: float, height: float, ahead: float, bank: float, side: float
) -> None:
    bearing = heading + side * (np.pi / 2 - ahead)
    east, north = distance * np.sin(bearing), distance * np.cos(bearing)
    along, above = pylon_sight.pylon_from_wing(east, north, height, heading, side * bank, side)
    expected = sight.point_from_wing(bank, sight.depression(distance, height), ahead)
    assert (above, along) == pytest.approx(expected, abs=ROUNDING)
    assert pylon_sight.ahead_of_abeam(east, north, heading, side) == pytest.approx(ahead, abs=ROUNDING)


@given(angles, st.floats(100.0, 3000.0), st.floats(50.0, 900.0), banks, st.floats(-0.2, 0.2), directions)
def test_a_point_on_the_wing_line_is_seen_there(
    heading: float, reach: float, height: float, bank: float, pitch: float, side: float
) -> None:
    # The lateral axis in level axes: forward, sideways, down as `sight.wing_line_ahead` has them.
    forward = np.sin(bank) * np.sin(pitch)
    sideways, down = side * np.cos(bank), np.sin(bank) * np.cos(pitch)
    size = height / down
    east = size * (forward * np.sin(heading) + sideways * np.cos(heading))
    north = size * (forward * np.cos(heading) - sideways * np.sin(heading))
    off = pylon_sight.pylon_from_wing(east, north, height, heading, side * bank, side, pitch)
    assert off == pytest.approx((0.0, 0.0), abs=ROUNDING)
    ahead = pylon_sight.ahead_of_abeam(east, north, heading, side)
    assert ahead == pytest.approx(sight.wing_line_ahead(bank, pitch), abs=ROUNDING)
    through = pylon_sight.bank_through_pylon(east, north, height, heading, pitch)
    assert through == pytest.approx(side * bank, abs=ROUNDING)


@given(angles, st.floats(100.0, 3000.0), st.floats(50.0, 900.0), st.floats(-1.2, 1.2), st.floats(-0.2, 0.2))
def test_bank_through_the_pylon_leaves_nothing_above(
    heading: float, distance: float, height: float, ahead: float, pitch: float
) -> None:
    for side in (1.0, -1.0):
        bearing = heading + side * (np.pi / 2 - ahead)
        east, north = distance * np.sin(bearing), distance * np.cos(bearing)
        bank = pylon_sight.bank_through_pylon(east, north, height, heading, pitch)
        _, above = pylon_sight.pylon_from_wing(east, north, height, heading, bank, side, pitch)
        assert above == pytest.approx(0.0, abs=ROUNDING)


@pytest.mark.parametrize("excess", [-60.0, 25.0, 80.0])
@pytest.mark.parametrize("direction", [-1.0, 1.0])
def test_too_high_moves_the_pylon_ahead(excess: float, direction: float) -> None:
    # Flown for a fraction of a second from abeam: the pylon's way along the nose over the time.
    airspeed, wind, distance, moment = 50.0, (6.0, 8.0), 500.0, 1e-3
    pivotal = float(pylon.pivotal_height_with_wind(airspeed, 8.0))
    height = pivotal + excess
    bank = direction * np.arctan(height / distance)
    east, north, heading = fly_level(airspeed, wind, 0.0, lambda _: bank, np.array([0.0, moment]))
    ahead = pylon_sight.ahead_of_abeam(direction * distance - east, -north, heading, direction)
    rate = pylon.ahead_rate(height, pivotal, airspeed, distance)
    assert (ahead[1] - ahead[0]) / moment == pytest.approx(rate, rel=1e-3, abs=1e-5)
    assert rate * excess > 0.0


@given(airspeeds, wind_fractions, angles, angles)
def test_gradient_against_differences(
    airspeed: float, fraction: float, heading: float, direction_to: float
) -> None:
    wind = fraction * airspeed
    to = wind * np.sin(direction_to), wind * np.cos(direction_to)
    four = np.array([*ground_velocity(airspeed, heading, *to), *to])
    gradient = pylon.pivotal_height_gradient(*four)
    for i, step in enumerate(np.eye(4) * 1e-3):
        rise = pylon.pivotal_height_from_velocity(*(four + step))
        fall = pylon.pivotal_height_from_velocity(*(four - step))
        assert (rise - fall) / 2e-3 == pytest.approx(gradient[i], abs=1e-6)


def test_sd_against_many_draws() -> None:
    rng = np.random.default_rng(11)
    root = 0.4 * rng.standard_normal((4, 4))
    covariance = root @ root.T
    four = np.array([40.0, -25.0, 5.0, 7.0])
    draws = rng.multivariate_normal(four, covariance, 200_000)
    heights = pylon.pivotal_height_from_velocity(*draws.T)
    # 200,000 draws tell an sd to 0.16 %; four times that, and the second order is below 1 %.
    assert heights.std() == pytest.approx(pylon.pivotal_height_sd(*four, covariance), rel=0.01)


def test_track_and_heading_forms_agree_on_a_leg() -> None:
    airspeed, wind, angle = 50.0, 9.0, 1.1
    crab = crab_on_track(airspeed, wind, angle)
    speed = ground_speed_on_track(airspeed, wind, angle)
    height = pylon.pivotal_height_with_wind(airspeed, wind * np.cos(angle - crab))
    assert pylon.pivotal_height(airspeed, speed, crab) == pytest.approx(height)
    assert 800 < height / foot < 1100


def test_wind_not_less_than_airspeed_is_refused() -> None:
    for refused in (
        lambda: pylon.height_extremes(40.0, 40.0),
        lambda: pylon_ellipse.distance(40.0, 40.0, 500.0, 0.0),
        lambda: pylon_ellipse.lap_time(40.0, 40.0, 500.0),
        lambda: pylon_ellipse.time_from_downwind(40.0, 40.0, 500.0, 0.0),
        lambda: pylon_ellipse.semi_axes(40.0, 40.0, 500.0),
    ):
        with pytest.raises(NoSolutionError, match="not less than the true airspeed"):
            refused()


def test_shapes_broadcast_and_nan_passes() -> None:
    wind, heading = np.array([[0.0], [5.0]]), np.linspace(0.0, 6.0, 4)
    assert pylon_ellipse.distance(40.0, wind, 500.0, heading).shape == (2, 4)
    assert pylon_ellipse.time_from_downwind(40.0, wind, 500.0, heading).shape == (2, 4)
    assert pylon.pivotal_height_gradient(wind, heading, 0.0, 0.0).shape == (2, 4, 4)
    assert pylon.pivotal_height_sd(wind, heading, 0.0, 0.0, np.eye(4)).shape == (2, 4)
    assert np.isnan(pylon.pivotal_height(np.nan, 50.0, 0.0))
