"""The smoother against dense Gaussian-process regression and a Kalman smoother written for the test.

The process variance of integrated white noise, and that its posterior mean is a smoothing spline: G. Wahba,
J. R. Statist. Soc. B 40 (1978) 364; W. E. Wecker and C. F. Ansley, J. Am. Statist. Assoc. 78 (1983) 81.
The Kalman smoother: H. E. Rauch, F. Tung, C. T. Striebel, AIAA Journal 3 (1965) 1445. Its step covariance is
found by the matrix exponential of C. F. Van Loan, IEEE Trans. Autom. Control 23 (1978) 395 (all from memory).
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.interpolate import make_interp_spline
from scipy.linalg import expm
from scipy.stats import chi2

from groundref.mechanics.smoother import noise, smooth, step_precision, transition

Floats = NDArray[np.float64]

WEAK = np.diag([1e10, 1e6, 1e4])  # the first state: 100 km, 1 km/s, 100 m/s²


def van_loan(step: float, density: float) -> tuple[Floats, Floats]:
    """Return transition and noise covariance of a step from the matrix exponential."""
    f = np.diag([1.0, 1.0], 1)
    source = np.zeros((3, 3))
    source[2, 2] = density
    block = np.block([[-f, source], [np.zeros((3, 3)), f.T]]) * step
    exponential = expm(block)
    phi = exponential[3:, 3:].T
    return phi, phi @ exponential[:3, 3:]


def kalman(time: Floats, position: Floats, sigma: float, density: Floats) -> tuple[Floats, Floats]:
    """Return state and covariance by a forward Kalman pass and Rauch, Tung and Striebel's backward pass."""
    state, cover, predicted, through = [], [], [], []
    x, p = np.array([position[0], 0.0, 0.0]), WEAK.copy()
    observe = np.array([[1.0, 0.0, 0.0]])
    for i, z in enumerate(position):
        if i:
            phi, noise_covariance = van_loan(time[i] - time[i - 1], density[i - 1])
            x, p = phi @ x, phi @ p @ phi.T + noise_covariance
            through.append(phi)
        predicted.append((x, p))
        if np.isfinite(z):
            gain = p @ observe.T / (p[0, 0] + sigma**2)
            x = x + gain[:, 0] * (z - x[0])
            rest = np.eye(3) - gain @ observe
            p = rest @ p @ rest.T + sigma**2 * gain @ gain.T
        state.append(x)
        cover.append(p)
    for i in range(len(position) - 2, -1, -1):
        back = cover[i] @ through[i].T @ np.linalg.inv(predicted[i + 1][1])
        state[i] = state[i] + back @ (state[i + 1] - predicted[i + 1][0])
        cover[i] = cover[i] + back @ (cover[i + 1] - predicted[i + 1][1]) @ back.T
    return np.array(state), np.array(cover)


def irregular(count: int, chance: np.random.Generator) -> Floats:
    return np.cumsum(chance.choice([0.2, 0.9, 1.0, 1.1, 4.0, 11.0], size=count))


def walk(time: Floats, density: float, chance: np.random.Generator, axes: int = 2) -> Floats:
    """Return paths drawn from the prior, from 45 m/s and no acceleration; shape (n, 3, axes)."""
    state = np.zeros((time.size, 3, axes))
    state[0, 1] = 45.0
    drawn: dict[float, tuple[Floats, Floats]] = {}
    for i, step in enumerate(np.diff(time).round(9).tolist()):
        if step not in drawn:
            phi, covariance = van_loan(step, density)
            drawn[step] = phi, np.linalg.cholesky(covariance)
        phi, root = drawn[step]
        state[i + 1] = phi @ state[i] + root @ chance.normal(size=(3, axes))
    return state


@pytest.mark.parametrize("step", [0.1, 1.0, 5.0, 15.0])
def test_step_is_that_of_the_matrix_exponential(step: float) -> None:
    phi, covariance = van_loan(step, 1.0)
    assert np.allclose(transition(np.array([step]))[0], phi, rtol=1e-12)
    product = step_precision(np.array([step]))[0] @ covariance
    assert np.allclose(product, np.eye(3), atol=1e-6)


@pytest.mark.parametrize("case", range(4))
def test_against_a_kalman_smoother(case: int) -> None:
    chance = np.random.default_rng(case)
    time = irregular(60, chance)
    position = walk(time, 0.5, chance)[:, 0] + chance.normal(0.0, 1.5, size=(60, 2))
    position[chance.choice(np.arange(1, 59), 6, replace=False)] = np.nan
    density = chance.uniform(0.1, 2.0, size=59)
    found = smooth(time, position, np.zeros(60, dtype=np.int64), 1.5, density)
    for axis in range(2):
        state, covariance = kalman(time, position[:, axis], 1.5, density)
        spread = np.sqrt(np.diagonal(covariance, axis1=1, axis2=2))
        # Both solve one problem; a thousandth of a standard deviation is what the weak start differs by.
        assert np.abs((found.state[:, :, axis] - state) / spread).max() < 1e-3
        assert np.allclose(found.covariance, covariance, rtol=2e-3, atol=1e-6)


def test_against_dense_gaussian_process_regression() -> None:
    """Position is a quadratic with free coefficients plus a process of covariance ∫(s−u)²(t−u)²/4 du."""
    chance = np.random.default_rng(8)
    time = irregular(20, chance)  # a dense kernel loses digits with the fifth power of the time
    position = walk(time, 0.7, chance)[:, 0] + chance.normal(0.0, 1.0, size=(20, 2))
    t = time - time[0]
    less, more = np.minimum(t[:, None], t), np.maximum(t[:, None], t)
    gap = more - less
    kernel = 0.7 * (less**5 / 20 + gap * less**4 / 8 + gap**2 * less**3 / 12)
    quadratic = np.column_stack([np.ones_like(t), t, t**2])
    weight = np.linalg.inv(kernel + np.eye(20))
    trend = np.linalg.solve(quadratic.T @ weight @ quadratic, quadratic.T @ weight @ position)
    wanted = quadratic @ trend + kernel @ weight @ (position - quadratic @ trend)
    found = smooth(time, position, np.zeros(20, dtype=np.int64), 1.0, 0.7)
    assert np.abs(found.state[:, 0] - wanted).max() < 1e-3  # [m] of errors of half a metre


def test_without_noise_it_is_the_quintic_interpolating_spline() -> None:
    chance = np.random.default_rng(4)
    time = np.cumsum(chance.uniform(0.5, 1.5, size=30))
    path = np.column_stack([60.0 * np.sin(0.1 * time), 45.0 * time])
    found = smooth(time, path, np.zeros(30, dtype=np.int64), 1e-4, 1.0)
    assert np.abs(found.state[:, 0] - path).max() < 1e-3
    spline = make_interp_spline(time, path, k=5)
    inner = slice(8, -8)  # the end conditions of the two differ, and die out within some samples
    assert np.abs(found.state[inner, 1] - spline(time, 1)[inner]).max() < 2e-3
    assert np.abs(found.state[inner, 2] - spline(time, 2)[inner]).max() < 5e-3


def test_covariance_holds_everywhere_and_at_the_ends() -> None:
    """Drawn from its own prior, the error in units of its covariance is chi-square, ends included.

    The mean of 2,000 draws of three degrees of freedom lies within four standard errors, √(2·3/2,000), of 3.
    """
    chance = np.random.default_rng(3)
    time = np.concatenate([np.arange(10.0), 10.0 + irregular(15, chance), 90.0 + np.arange(10.0)])
    piece = np.zeros(time.size, dtype=np.int64)
    places = [0, 1, 5, 12, 17, 22, 33, 34]
    truth = walk(time, 0.4, chance, axes=2000)
    found = smooth(time, truth[:, 0] + chance.normal(0.0, 1.2, truth[:, 0].shape), piece, 1.2, 0.4)
    off = truth - found.state
    square = np.sum(off * np.linalg.solve(found.covariance, off), axis=1)
    assert np.abs(square[places].mean(axis=1) - 3.0).max() < 4 * np.sqrt(6 / 2000)


def test_measured_velocities_are_used_and_their_covariance_holds() -> None:
    chance = np.random.default_rng(5)
    time, piece = np.arange(40.0), np.zeros(40, dtype=np.int64)
    truth = walk(time, 0.4, chance, axes=2000)
    velocity = truth[:, 1] + chance.normal(0.0, 0.1, truth[:, 1].shape)
    velocity[5:9] = np.nan
    position = truth[:, 0] + chance.normal(0.0, 1.0, truth[:, 0].shape)
    found = smooth(time, position, piece, 1.0, 0.4, velocity, 0.1)
    off = truth - found.state
    square = np.sum(off * np.linalg.solve(found.covariance, off), axis=1)
    assert np.abs(square[[0, 7, 20, 39]].mean(axis=1) - 3.0).max() < 4 * np.sqrt(6 / 2000)
    alone = smooth(time, position, piece, 1.0, 0.4)
    assert np.all(found.covariance[:, 1, 1] < alone.covariance[:, 1, 1])


@given(shift=st.floats(-1e5, 1e5), later=st.floats(-1e6, 1e6), cut=st.integers(3, 17))
def test_pieces_do_not_influence_each_other(shift: float, later: float, cut: int) -> None:
    chance = np.random.default_rng(cut)
    time, position = np.arange(20.0), np.cumsum(chance.normal(40.0, 1.0, size=(20, 2)), axis=0)
    piece = (np.arange(20) >= cut).astype(np.int64)
    whole = smooth(time, position, piece, 1.0, 0.5)
    moved = position.copy()
    moved[cut:] += shift
    other = smooth(np.where(piece, time + abs(later), time), moved, piece, 1.0, 0.5)
    # The common origin moves with the other piece; against the weak prior of 100 km that is nothing.
    assert np.abs(other.state[:cut] - whole.state[:cut]).max() < 1e-3
    assert np.allclose(other.covariance[:cut], whole.covariance[:cut], rtol=1e-6)
    assert np.abs(other.state[cut:, 1:] - whole.state[cut:, 1:]).max() < 1e-3


def test_a_piece_of_one_sample_knows_its_place_and_nothing_else() -> None:
    time = np.array([0.0, 1.0, 2.0, 50.0])
    position = np.array([[0.0, 0.0], [40.0, 0.0], [80.0, 0.0], [900.0, 10.0]])
    found = smooth(time, position, np.array([0, 0, 0, 1]), 1.0, 0.5)
    assert np.allclose(found.state[3, 0], [900.0, 10.0], atol=0.1)
    assert found.covariance[3, 1, 1] > 1e5


@pytest.mark.parametrize("interval", [0.2, 1.0, 2.0])
@pytest.mark.parametrize("sigma", [0.5, 1.5, 4.0])
@pytest.mark.parametrize("density", [0.05, 0.4, 2.0])
def test_noise_is_found_again(interval: float, sigma: float, density: float) -> None:
    """Within 15 % for σ and a factor of 2.2 for q from three windows of 120 samples, the pipeline's amount.

    σ has some 600 degrees of freedom, 3 % of scatter. Where the path between samples wanders more than σ
    (qΔ⁵/σ² above 10), fewer of them tell the noise from the path: 7 % of scatter at 28 and 13 % with 20 % of
    bias at 256, counted over twelve draws. q spans four decades; its likelihood is taken at steps of almost
    a decade and is wide where σ is large.
    """
    chance = np.random.default_rng(int(100 * interval + 10 * sigma + density))
    windows = []
    for _ in range(3):
        time = np.arange(120) * interval
        windows.append((time, walk(time, density, chance)[:, 0] + chance.normal(0.0, sigma, size=(120, 2))))
    found_sigma, found_density = noise(windows)
    lost_in_the_path = density * interval**5 / sigma**2
    assert found_sigma == pytest.approx(
        sigma, rel=0.15 if lost_in_the_path < 10 else 0.22 if lost_in_the_path < 100 else 0.5
    )
    assert 1 / 2.2 < found_density / density < 2.2


@pytest.mark.parametrize(
    ("interval", "sigma", "density"), [(0.18, 20.0, 0.02), (0.2, 4.0, 0.02), (1.0, 1.0, 0.1)]
)
def test_an_hour_of_fine_samples_loses_nothing_to_rounding(
    interval: float, sigma: float, density: float
) -> None:
    """Straight flight is its own smoothed path: the prior and the samples agree on it without any error.

    Half a millimetre of 160 km is a rounding of 3·10⁻⁹; without refinement of the solution nine metres.
    """
    time = np.arange(0.0, 3600.0, interval)
    path = np.column_stack([45.0 * time, -20.0 * time])
    found = smooth(time, path, np.zeros(time.size, dtype=np.int64), sigma, density)
    assert np.abs(found.state[:, 0] - path).max() < 1e-3
    assert np.abs(found.state[:, 1] - [45.0, -20.0]).max() < 5e-4


def test_stated_intervals_hold_with_the_noise_found() -> None:
    """Of 95 % intervals of position with estimated noise, 90 to 99 % hold; counted over 40 paths."""
    chance = np.random.default_rng(12)
    time, piece = np.arange(90.0), np.zeros(90, dtype=np.int64)
    inside = []
    for _ in range(40):
        truth = walk(time, 0.3, chance)
        position = truth[:, 0] + chance.normal(0.0, 1.0, size=(90, 2))
        found = smooth(time, position, piece, *noise([(time, position)]))
        off = np.sum((truth[:, 0] - found.state[:, 0]) ** 2, axis=1) / found.covariance[:, 0, 0]
        inside.append(np.mean(off < chi2.ppf(0.95, 2)))
    assert 0.90 < np.mean(inside) < 0.99
