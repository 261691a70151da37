"""The circle fit against the Cramér–Rao bound, a published airspeed calibration and exact geometry.

The bound for wind and true airspeed from ground velocities is derived and checked in the design notes; its
closed form stands below. N samples spread evenly over an arc α, white errors σ of each component:

    c₁ = sin(α/2)/(α/2),  c₂ = ½ + sin α/(2α),
    var(w along the middle heading) = σ²/[N(c₂ − c₁²)],  var(w across) = σ²/[N(1 − c₂)],
    var(V) = σ² c₂/[N(c₂ − c₁²)];  on the full circle 2σ²/N, 2σ²/N, σ²/N.
"""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from numpy.typing import NDArray

from groundref.errors import NoSolutionError
from groundref.mechanics.circle_fit import CircleFit, fit_circle, fit_moving_circle
from groundref.mechanics.trochoid import drift_per_lap
from groundref.units import knot

Floats = NDArray[np.float64]

AIRSPEED, WIND_EAST, WIND_NORTH = 46.3, 5.0, -4.9  # [m s⁻¹] 90 kt and 14 kt


def bound(arc: float, count: int, sigma: float) -> tuple[float, float, float]:
    """Return the least standard deviations of the wind along and across the middle heading, and of V."""
    c1, c2 = np.sin(arc / 2) / (arc / 2), 0.5 + np.sin(arc) / (2 * arc)
    along = 1.0 / (count * (c2 - c1**2))
    return sigma * along**0.5, sigma * (count * (1 - c2)) ** -0.5, sigma * (c2 * along) ** 0.5


def ground_velocities(
    arc: float, count: int, sigma: float, chance: np.random.Generator
) -> tuple[Floats, Floats]:
    """Return velocities with the middle heading north, each standing for an equal part of the arc."""
    heading = ((np.arange(count) + 0.5) / count - 0.5) * arc
    east = WIND_EAST + AIRSPEED * np.sin(heading) + chance.normal(0.0, sigma, count)
    north = WIND_NORTH + AIRSPEED * np.cos(heading) + chance.normal(0.0, sigma, count)
    return east, north


def many_fits(arc: float, count: int, sigma: float, runs: int) -> list[CircleFit]:
    chance = np.random.default_rng(int(100 * arc) + count)
    return [fit_circle(*ground_velocities(arc, count, sigma, chance), sd=sigma) for _ in range(runs)]


def algebraic_radius(x: Floats, y: Floats) -> float:
    """Return the radius of Kåsa's fit (I. Kåsa, IEEE Trans. Instrum. Meas. 25 (1976) 8; from memory)."""
    a, b, c = np.linalg.lstsq(np.column_stack([2 * x, 2 * y, np.ones_like(x)]), x**2 + y**2, rcond=None)[0]
    return float(np.sqrt(c + a * a + b * b))


# A standard deviation counted over 600 runs is off by 1/√1200 = 2.9 %: four of them are 12 %.
@pytest.mark.parametrize(("degrees", "count"), [(360, 60), (270, 45), (180, 30), (120, 20)])
def test_it_reaches_the_cramer_rao_bound_and_states_it(degrees: int, count: int) -> None:
    arc, sigma = np.radians(degrees), 0.25
    fits = many_fits(arc, count, sigma, 600)
    wanted = np.array(bound(arc, count, sigma))
    across, along, speed = (np.array([getattr(f, name) for f in fits]) for name in ("x", "y", "radius"))
    found = np.array([along.std(), across.std(), speed.std()])
    assert np.abs(found / wanted - 1.0).max() < 0.12
    stated = np.sqrt(np.mean([np.diag(f.covariance) for f in fits], axis=0))[[1, 0, 2]]
    assert np.abs(stated / wanted - 1.0).max() < 0.05
    assert abs(np.mean(speed) - AIRSPEED) < sigma**2 / (2 * AIRSPEED) + 4 * wanted[2] / np.sqrt(600)


def test_bound_on_the_full_circle_is_the_closed_form() -> None:
    """sd(w) = σ√(2/N) and sd(V) = σ/√N: 0.0913, 0.0913 and 0.0645 m/s for 0.5 m/s and 60 samples."""
    fit = fit_circle(*ground_velocities(2 * np.pi, 60, 0.0, np.random.default_rng(0)), sd=0.5)
    assert np.sqrt(np.diag(fit.covariance)) == pytest.approx([0.5 * (2 / 60) ** 0.5] * 2 + [0.5 / 60**0.5])
    assert np.abs(fit.covariance - np.diag(np.diag(fit.covariance))).max() < 1e-12


def test_the_covariance_with_its_correlation_covers_the_truth() -> None:
    """Of 800 fits of 120°, the truth lies within the 95 % ellipsoid of 93 to 97 % (binomial, ±2.6 sd)."""
    truth = np.array([WIND_EAST, WIND_NORTH, AIRSPEED])
    inside = 0
    for fit in many_fits(np.radians(120), 40, 0.3, 800):
        off = np.array([fit.x, fit.y, fit.radius]) - truth
        inside += (
            float(off @ np.linalg.solve(fit.covariance, off)) < 7.815
        )  # chi-square, 3 degrees of freedom
    assert 0.93 < inside / 800 < 0.97


def test_noise_taken_from_the_residuals_is_right_on_average() -> None:
    chance = np.random.default_rng(4)
    ratio = [
        fit_circle(*ground_velocities(2 * np.pi, 12, 0.4, chance)).covariance[2, 2] / (0.4**2 / 12)
        for _ in range(800)
    ]
    assert np.mean(ratio) == pytest.approx(1.0, abs=4 * np.sqrt(2 / 9 / 800))  # nine degrees of freedom each


def test_no_kasa_bias() -> None:
    """The algebraic fit of 120° finds an airspeed 0.12 m/s too small, and more samples do not help it."""
    chance = np.random.default_rng(6)
    ours, algebraic = [], []
    for _ in range(1500):
        east, north = ground_velocities(np.radians(120), 60, 0.5, chance)
        ours.append(fit_circle(east, north).radius)
        algebraic.append(algebraic_radius(east, north))
    error = np.std(ours) / np.sqrt(1500)
    assert np.mean(algebraic) - AIRSPEED < -0.07
    assert abs(np.mean(ours) - AIRSPEED) < 4 * error + 0.5**2 / AIRSPEED


def test_second_harmonic_of_airspeed_leaves_the_wind_alone_and_the_first_shifts_it_by_itself() -> None:
    heading = np.linspace(0.0, 2 * np.pi, 120, endpoint=False)
    for harmonic, shift in ((1, 2.0), (2, 0.0)):
        speed = AIRSPEED + 2.0 * np.cos(harmonic * heading)
        fit = fit_circle(WIND_EAST + speed * np.sin(heading), WIND_NORTH + speed * np.cos(heading))
        assert fit.x == pytest.approx(WIND_EAST, abs=0.02)
        assert fit.y == pytest.approx(WIND_NORTH + shift, abs=0.05)


def test_published_four_legs() -> None:
    """Ground speeds 178, 185, 188, 184 kt on tracks 178°, 82°, 355°, 265°.

    Published results (documentation of the `ssec` calculation in the library aerocalc): true airspeed
    183.7267 kt with standard deviation 0.8271 kt, winds 5.26/194.5, 3.58/181.5, 5.15/162.7, 6.44/177.9
    (kt, degrees from), one for each three of the four legs.
    """
    speed, track = np.array([178.0, 185.0, 188.0, 184.0]), np.radians([178.0, 82.0, 355.0, 265.0])
    fits = [
        fit_circle(
            speed[list(legs)] * np.sin(track[list(legs)]), speed[list(legs)] * np.cos(track[list(legs)])
        )
        for legs in combinations(range(4), 3)
    ]
    radii = [fit.radius for fit in fits]
    assert np.mean(radii) == pytest.approx(183.7267, abs=5e-5)
    assert np.std(radii, ddof=1) == pytest.approx(0.8271, abs=5e-5)
    winds = {
        (round(float(np.hypot(f.x, f.y)), 2), round(float(np.degrees(np.arctan2(-f.x, -f.y))) % 360, 1))
        for f in fits
    }
    assert winds == {(5.26, 194.5), (3.58, 181.5), (5.15, 162.7), (6.44, 177.9)}


def three_legs(speeds: Floats) -> tuple[float, float]:
    """Return airspeed and wind speed from ground speeds on three headings 120° apart.

    E. Williams, Aviation Formulary (from memory): with the mean s of the squares, bᵢ = vᵢ²/s − 1 and
    m = Σbᵢ²/6, the squares of airspeed and wind are s times the roots of b² − b + m.
    """
    squares = speeds**2
    mean = squares.mean()
    m = float(np.sum((squares / mean - 1.0) ** 2)) / 6.0
    larger = 0.5 + np.sqrt(0.25 - m)
    return float(np.sqrt(mean * larger)), float(np.sqrt(mean * m / larger))


@pytest.mark.parametrize("first", [0.0, 17.0, 100.0])
def test_three_headings_120_degrees_apart(first: float) -> None:
    """100 kt and wind 240°/15 kt are recovered exactly, by the circle and by the published formula alike."""
    heading = np.radians(first + np.array([0.0, 120.0, 240.0]))
    wind = 15.0 * np.array([np.sin(np.radians(60)), np.cos(np.radians(60))])
    east, north = 100.0 * np.sin(heading) + wind[0], 100.0 * np.cos(heading) + wind[1]
    fit = fit_circle(east, north)
    assert (fit.radius, fit.x, fit.y) == pytest.approx((100.0, wind[0], wind[1]), abs=1e-9)
    assert three_legs(np.hypot(east, north)) == pytest.approx((fit.radius, np.hypot(fit.x, fit.y)), abs=1e-9)


@given(
    x=st.floats(-1e4, 1e4),
    y=st.floats(-1e4, 1e4),
    radius=st.floats(1.0, 5e3),
    arc=st.floats(0.7, 6.2),
    start=st.floats(0.0, 6.2),
)
def test_points_on_a_circle_give_it_back(x: float, y: float, radius: float, arc: float, start: float) -> None:
    angle = start + np.linspace(0.0, arc, 25)
    fit = fit_circle(x + radius * np.cos(angle), y + radius * np.sin(angle))
    assert (fit.x, fit.y, fit.radius) == pytest.approx((x, y, radius), abs=1e-7 * (radius + abs(x) + abs(y)))
    assert fit.rms < 1e-8 * (radius + abs(x) + abs(y))


@given(angle=st.floats(0.0, 6.2), scale=st.floats(1e-3, 1e3), seed=st.integers(0, 1000))
def test_turned_shifted_and_scaled_points_turn_shift_and_scale_the_fit(
    angle: float, scale: float, seed: int
) -> None:
    chance = np.random.default_rng(seed)
    east, north = ground_velocities(np.radians(200), 25, 0.5, chance)
    fit = fit_circle(east, north)
    s, c = np.sin(angle), np.cos(angle)
    other = fit_circle(scale * (c * east - s * north) + 70.0, scale * (s * east + c * north) - 9.0)
    wanted = (
        scale * (c * fit.x - s * fit.y) + 70.0,
        scale * (s * fit.x + c * fit.y) - 9.0,
        scale * fit.radius,
    )
    assert (other.x, other.y, other.radius) == pytest.approx(wanted, abs=1e-6 * (scale + 1.0))
    assert other.covariance[2, 2] == pytest.approx(scale**2 * fit.covariance[2, 2], rel=1e-4)


@given(
    bearing=st.floats(0.0, 6.2), x=st.floats(-1e5, 1e5), length=st.floats(1.0, 1e4), count=st.integers(3, 40)
)
def test_points_in_a_line_are_refused(bearing: float, x: float, length: float, count: int) -> None:
    along = np.linspace(0.0, length, count)
    assume(length > 1e-6 * abs(x))
    with pytest.raises(NoSolutionError, match="line"):
        fit_circle(x + along * np.sin(bearing), along * np.cos(bearing))


@pytest.mark.parametrize("count", [0, 1, 2])
def test_too_few_points_are_refused(count: int) -> None:
    with pytest.raises(NoSolutionError, match="points"):
        fit_circle(np.arange(float(count)), np.arange(float(count)) ** 2)
    with pytest.raises(NoSolutionError, match="points"):
        fit_moving_circle(np.arange(4.0), np.arange(4.0), np.arange(4.0) ** 2)


def test_equal_and_missing_points_are_refused() -> None:
    with pytest.raises(NoSolutionError):
        fit_circle(np.full(9, 3.0), np.full(9, 4.0))
    with pytest.raises(NoSolutionError):
        fit_circle(np.array([0.0, 1.0, 2.0, np.nan]), np.array([0.0, 1.0, 0.0, 5.0]))


def test_three_points_say_nothing_about_their_own_noise() -> None:
    fit = fit_circle(np.array([0.0, 1.0, 2.0]), np.array([0.0, 1.0, 0.0]))
    assert np.isnan(fit.covariance).all()
    told = fit_circle(np.array([0.0, 1.0, 2.0]), np.array([0.0, 1.0, 0.0]), sd=0.1)
    assert np.isfinite(told.covariance).all()


@pytest.mark.parametrize(
    ("airspeed", "wind", "bank"), [(90.0, 15.0, 30.0), (100.0, 20.0, 20.0), (100.0, 30.0, 45.0)]
)
@pytest.mark.parametrize("laps", [1.0, 1.7, 4.0])
def test_a_moving_circle_finds_the_drift_at_constant_bank(
    airspeed: float, wind: float, bank: float, laps: float
) -> None:
    """The ground path at constant bank is a trochoid that drifts W·2πV/(g tan φ) in a circle.

    396.488, 931.752 and 508.695 m by integration of the motion to 11 digits (see the notes on derivations).
    """
    published = {90.0: 396.488, 100.0: 931.752 if bank == 20.0 else 508.695}[airspeed]
    v, w, turn = airspeed * knot, wind * knot, 9.80665 * np.tan(np.radians(bank)) / (airspeed * knot)
    lap = 2 * np.pi / turn
    time = np.linspace(0.0, laps * lap, 90)
    east = v / turn * np.sin(turn * time) + w * time
    north = v / turn * np.cos(turn * time)
    fit = fit_moving_circle(time, east, north)
    assert fit.rate_x * lap == pytest.approx(published, abs=2e-3)
    assert fit.rate_x * lap == pytest.approx(drift_per_lap(v, w, np.radians(bank)), rel=1e-9)
    assert abs(fit.rate_y * lap) < 1e-6
    assert fit.radius == pytest.approx(v / turn, rel=1e-9)
