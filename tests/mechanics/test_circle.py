from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from scipy.special import ellipe, ellipeinc

from groundref.errors import NoSolutionError
from groundref.mechanics import circle, turn
from groundref.mechanics.elliptic import second_kind
from groundref.units import degree, knot
from tests.mechanics.flying import fly_by_position
from tests.mechanics.given import ROUNDING, airspeeds, angles, banks, directions, radii, wind_fractions

CASES = [(90, 0, 500), (90, 15, 500), (100, 20, 600), (100, 30, 800), (65, 25, 400)]  # [kt], [kt], [m]

# What the integrator leaves after a lap of some kilometres at a relative tolerance of 10⁻¹¹.
FLOWN = 1e-5  # [m]


@pytest.mark.parametrize(("airspeed_kt", "wind_kt", "radius"), CASES)
@pytest.mark.parametrize("direction", [-1.0, 1.0])
def test_flying_the_bank_open_loop_closes_the_circle(
    airspeed_kt: float, wind_kt: float, radius: float, direction: float
) -> None:
    airspeed, wind = airspeed_kt * knot, wind_kt * knot

    def bank(track: float) -> float:
        return direction * float(circle.required_bank(airspeed, wind, radius, direction * track))

    lap = float(circle.lap_time(airspeed, wind, radius))
    times = np.linspace(0.0, lap, 73)
    east, north, heading = fly_by_position(airspeed, (0.0, wind), 0.0, bank, times)
    distance = np.hypot(east - direction * radius, north)
    assert np.abs(distance - radius).max() < FLOWN
    assert np.hypot(east[-1], north[-1]) < FLOWN
    assert heading[-1] == pytest.approx(direction * 2 * np.pi, abs=1e-8)

    position = np.unwrap(np.arctan2(north, radius - direction * east))
    assert circle.time_from_downwind(airspeed, wind, radius, position) == pytest.approx(times, abs=1e-6)


@pytest.mark.parametrize(("airspeed_kt", "wind_kt", "radius"), CASES)
def test_heading_rate_and_crab_are_those_of_the_motion(
    airspeed_kt: float, wind_kt: float, radius: float
) -> None:
    airspeed, wind = airspeed_kt * knot, wind_kt * knot
    position = np.linspace(0.0, 2 * np.pi, 721)
    step = 1e-5  # [rad]  central difference: error about step², 10⁻¹⁰
    crab_change = (
        circle.crab(airspeed, wind, position + step, 1) - circle.crab(airspeed, wind, position - step, 1)
    ) / (2 * step)
    track_rate = circle.ground_speed(airspeed, wind, position) / radius
    expected = track_rate * (1.0 + crab_change)
    assert circle.heading_rate(airspeed, wind, radius, position) == pytest.approx(expected, rel=1e-8)


@pytest.mark.parametrize(
    ("airspeed_kt", "wind_kt", "radius", "short_deg"),
    [(90, 15, 500, 0.30), (100, 20, 600, 0.44), (100, 30, 800, 0.82), (65, 25, 400, 1.21)],
)
def test_leaving_out_the_crab_banks_too_little(
    airspeed_kt: float, wind_kt: float, radius: float, short_deg: float
) -> None:
    # Values computed apart from this code, printed to 0.01°.
    position = np.linspace(0.0, np.pi, 2001)
    airspeed, wind = airspeed_kt * knot, wind_kt * knot
    without = circle.bank_from_ground_speed(circle.ground_speed(airspeed, wind, position), 0.0, radius)
    short = circle.required_bank(airspeed, wind, radius, position) - without
    assert short.max() / degree == pytest.approx(short_deg, abs=0.005)


def test_fastest_roll_is_before_the_crosswind_place() -> None:
    # Computed apart from this code: 0.67 to 1.17 °/s at positions of 60 to 75°, printed to those digits.
    position = np.linspace(0.0, np.pi, 20001)
    fastest, places = [], []
    for airspeed_kt, wind_kt, radius in CASES[1:]:
        airspeed, wind = airspeed_kt * knot, wind_kt * knot
        bank = circle.required_bank(airspeed, wind, radius, position)
        roll = np.abs(np.gradient(bank, circle.time_from_downwind(airspeed, wind, radius, position)))
        fastest.append(roll.max() / degree)
        places.append(position[roll.argmax()] / degree)
    assert min(fastest) == pytest.approx(0.67, abs=0.005)
    assert max(fastest) == pytest.approx(1.17, abs=0.005)
    assert 57.5 < min(places) < max(places) < 77.5


@pytest.mark.parametrize(("airspeed_kt", "wind_kt", "radius"), CASES)
def test_half_circles(airspeed_kt: float, wind_kt: float, radius: float) -> None:
    air, wind = airspeed_kt * knot, wind_kt * knot
    quarter = circle.time_from_downwind(air, wind, radius, 0.5 * np.pi)
    whole = circle.lap_time(air, wind, radius)
    complete = ellipe((wind / air) ** 2)
    downwind_half = radius * (2 * air * complete - 2 * wind) / (air**2 - wind**2)
    assert 2 * quarter == pytest.approx(downwind_half, rel=ROUNDING)
    assert whole - 2 * quarter == pytest.approx(downwind_half + 4 * radius * wind / (air**2 - wind**2))
    half = circle.time_from_downwind(air, wind, radius, np.pi)
    assert half == pytest.approx(whole / 2, rel=ROUNDING)


def test_elliptic_integral_against_scipy() -> None:
    # scipy.special (Cephes) is the reference; both carry about fifteen digits.
    parameter = np.array([0.0, 1e-6, 0.01, 0.2, 0.5, 0.9, 0.99, 1 - 1e-6, 1 - 1e-12])
    angle = np.linspace(-15.0, 15.0, 301)[:, None]
    assert second_kind(0.5 * np.pi, parameter) == pytest.approx(ellipe(parameter), rel=1e-14)
    assert second_kind(angle, parameter) == pytest.approx(ellipeinc(angle, parameter), rel=1e-13, abs=1e-14)


@given(airspeeds, wind_fractions, radii)
def test_extremes_are_downwind_and_upwind(airspeed: float, fraction: float, radius: float) -> None:
    wind = fraction * airspeed
    position = np.linspace(0.0, 2 * np.pi, 361)
    speed = circle.ground_speed(airspeed, wind, position)
    bank = circle.required_bank(airspeed, wind, radius, position)
    crab = circle.crab(airspeed, wind, position, 1.0)
    slowest, fastest = circle.ground_speed_extremes(airspeed, wind)
    least, greatest = circle.bank_extremes(airspeed, wind, radius)
    assert (speed.max(), speed.min()) == pytest.approx((fastest, slowest), rel=ROUNDING)
    assert (bank.max(), bank.min()) == pytest.approx((greatest, least), rel=ROUNDING)
    assert bank[0] == pytest.approx(greatest, rel=ROUNDING)
    assert bank[180] == pytest.approx(least, rel=ROUNDING)
    assert np.all(np.diff(bank[:181]) <= ROUNDING)
    assert np.abs(crab).max() == pytest.approx(circle.greatest_crab(airspeed, wind), rel=ROUNDING)
    assert np.tan(least) / np.tan(greatest) == pytest.approx((slowest / fastest) ** 2, rel=ROUNDING)


@given(airspeeds, radii, angles, directions)
def test_no_wind_is_the_still_air_circle(
    airspeed: float, radius: float, position: float, direction: float
) -> None:
    bank = turn.bank_for_radius(airspeed, radius)
    assert circle.ground_speed(airspeed, 0.0, position) == pytest.approx(airspeed)
    assert circle.crab(airspeed, 0.0, position, direction) == 0.0
    assert circle.required_bank(airspeed, 0.0, radius, position) == pytest.approx(bank)
    assert circle.heading_rate(airspeed, 0.0, radius, position) == pytest.approx(airspeed / radius)
    assert circle.lap_time(airspeed, 0.0, radius) == pytest.approx(2 * np.pi * radius / airspeed)
    assert circle.smallest_radius(airspeed, 0.0, bank) == pytest.approx(radius)


@given(airspeeds, wind_fractions, radii, angles)
def test_left_mirrors_right(airspeed: float, fraction: float, radius: float, position: float) -> None:
    wind = fraction * airspeed
    right = circle.crab(airspeed, wind, position, 1.0)
    assert circle.crab(airspeed, wind, position, -1.0) == -right
    inside = np.sin(position)
    assert right * inside >= 0.0  # nose inside the circle on the downwind side of the point
    assert circle.bank_from_ground_speed(30.0, right, radius) == circle.bank_from_ground_speed(
        30.0, -right, radius
    )


@given(airspeeds, wind_fractions, radii)
def test_wind_lengthens_the_lap(airspeed: float, fraction: float, radius: float) -> None:
    still = 2 * np.pi * radius / airspeed
    ratio = float(circle.lap_time(airspeed, fraction * airspeed, radius) / still)
    assert ratio >= 1.0 - ROUNDING
    # The next term of the series is (45/64) e⁴, and all further ones are positive.
    assert ratio >= (1 + 0.75 * fraction**2) * (1 - ROUNDING)
    if fraction < 0.2:
        assert ratio == pytest.approx(
            1 + 0.75 * fraction**2 + 45 / 64 * fraction**4, abs=fraction**6 + ROUNDING
        )


@given(airspeeds, wind_fractions, radii, angles)
def test_time_from_downwind_counts_laps_and_is_odd(
    airspeed: float, fraction: float, radius: float, position: float
) -> None:
    wind = fraction * airspeed
    lap = circle.lap_time(airspeed, wind, radius)
    there = circle.time_from_downwind(airspeed, wind, radius, position)
    later = circle.time_from_downwind(airspeed, wind, radius, position + 2 * np.pi)
    assert later - there == pytest.approx(lap, rel=ROUNDING)
    before = circle.time_from_downwind(airspeed, wind, radius, -position)
    assert before == pytest.approx(-there, rel=ROUNDING, abs=ROUNDING)


@given(airspeeds, wind_fractions, banks)
def test_limits_round_trip(airspeed: float, fraction: float, limit: float) -> None:
    wind = fraction * airspeed
    radius = circle.smallest_radius(airspeed, wind, limit)
    assert circle.bank_extremes(airspeed, wind, radius)[1] == pytest.approx(limit, rel=ROUNDING)
    # Rounding may leave the still-air circle itself a hair beyond the limit; a hair wider is not.
    assert circle.greatest_wind(airspeed, radius * (1 + 1e-12), limit) == pytest.approx(
        wind, abs=ROUNDING * airspeed
    )


def test_greatest_wind_never_exceeds_the_airspeed() -> None:
    assert circle.greatest_wind(40.0, 1e6, 45 * degree) == 40.0


def test_circle_too_tight_even_in_still_air_is_refused() -> None:
    with pytest.raises(NoSolutionError, match=r"even in still air.*wider circle or slower"):
        circle.greatest_wind(50.0, 100.0, 30 * degree)


@pytest.mark.parametrize("wind", [40.0, 45.0, np.array([0.0, 41.0])])
def test_wind_not_less_than_airspeed_is_refused(wind: float) -> None:
    for refused in (
        lambda: circle.ground_speed(40.0, wind, 0.0),
        lambda: circle.crab(40.0, wind, 0.0, 1.0),
        lambda: circle.required_bank(40.0, wind, 500.0, 0.0),
        lambda: circle.heading_rate(40.0, wind, 500.0, 0.0),
        lambda: circle.lap_time(40.0, wind, 500.0),
        lambda: circle.bank_extremes(40.0, wind, 500.0),
        lambda: circle.greatest_crab(40.0, wind),
        lambda: circle.smallest_radius(40.0, wind, 0.5),
    ):
        with pytest.raises(NoSolutionError, match="not less than the true airspeed"):
            refused()


def test_shapes_broadcast_and_nan_passes() -> None:
    wind = np.array([[0.0], [5.0], [np.nan]])
    position = np.linspace(0.0, np.pi, 4)
    for result in (
        circle.ground_speed(40.0, wind, position),
        circle.crab(40.0, wind, position, -1),
        circle.required_bank(40.0, wind, 500.0, position),
        circle.heading_rate(40.0, wind, 500.0, position),
        circle.time_from_downwind(40.0, wind, 500.0, position),
    ):
        assert result.shape == (3, 4)
        assert np.isnan(result[2]).all()
        assert np.isfinite(result[:2]).all()
    assert np.shape(circle.lap_time(40.0, 5.0, 500.0)) == ()
