"""Smoothing of irregular samples: position, velocity and acceleration with their covariance.

Prior. Along each axis the acceleration is a Wiener process (white jerk of spectral density q), so over a
step Δ the state s = (position, velocity, acceleration) moves as s' = Φ s + noise with

    Φ = | 1 Δ Δ²/2 |        Q = q | Δ⁵/20 Δ⁴/8 Δ³/6 |
        | 0 1 Δ    |              | Δ⁴/8  Δ³/3 Δ²/2 |
        | 0 0 1    |              | Δ³/6  Δ²/2 Δ    |

and nothing is assumed of the first state. It is the integrated-noise prior whose smoothed path is a quintic
spline through the samples (Wahba 1978; Wecker and Ansley 1983), exact for any spacing and without artefacts
at the ends: there the covariance simply grows. A steady turn has a jerk of aω ≈ 0.5 m s⁻³ only.

Samples. Positions and, where recorded, velocities, with white errors. The slow wander of satellite positions
(minutes) goes into the smoothed position, where its nearly constant offset does no harm to velocities.

Solution. All steps and samples together are one banded normal system, solved with its covariance in
`block_tridiagonal`. The ratio q/σ² is the one of greatest marginal likelihood: with precision
A(ρ) = P/ρ + HᵀH and S(ρ) the weighted residual sum, N equations,

    −2 log L = N log(S/N) + log det A + 3(steps) log ρ + const,     σ² = S/N.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.mechanics.block_tridiagonal import factor

Floats = NDArray[np.float64]

SLOWEST_JERK: Final = 0.02  # [m² s⁻⁵] below: an airplane on rails
FASTEST_JERK: Final = 4.0  # [m² s⁻⁵] rolling 45° in 3 s is (10 m s⁻² / 3 s)² · 1 s / 3
USUAL_POSITION: Final = 1.0  # [m] white error of a position or altitude, whatever the recorder
USUAL_SPREAD: Final = 1.0  # of its logarithm: a factor of 2.7 either way is one standard deviation
FINEST_POSITION: Final = 0.02  # [m]
COARSEST_POSITION: Final = 60.0  # [m]
# Precision of a piece's first state (100 km, 1 km/s, 100 m/s²): a piece of one sample is solvable too.
_WEAK: Final = (1e-10, 1e-6, 1e-4)
REFINEMENTS: Final = 2
_RATIOS: Final = np.logspace(-3.5, 3.0, 8)  # [s⁻⁵] candidates of q/σ²


@dataclass(frozen=True, slots=True)
class Smoothed:
    """Smoothed motion along two axes with one covariance.

    Attributes
    ----------
    state
        Position, velocity, acceleration of each axis, shape (n, 3, axes) [m], [m s⁻¹], [m s⁻²]
    covariance
        Of the state of one axis, shape (n, 3, 3).
    position_noise
        Standard deviation of the white part of a position sample [m]
    jerk_density
        Spectral density q of the jerk [m² s⁻⁵]
    """

    state: Floats
    covariance: Floats
    position_noise: float
    jerk_density: float


def transition(step: Floats) -> Floats:
    """Return Φ for each step, shape (n, 3, 3).

    Parameters
    ----------
    step
        Times between samples [s]
    """
    phi = np.zeros((step.size, 3, 3))
    phi[:, 0, 0] = phi[:, 1, 1] = phi[:, 2, 2] = 1.0
    phi[:, 0, 1] = phi[:, 1, 2] = step
    phi[:, 0, 2] = 0.5 * step**2
    return phi


def step_precision(step: Floats) -> Floats:
    """Return Q⁻¹ for q = 1 in closed form, shape (n, 3, 3).

    Parameters
    ----------
    step
        Times between samples [s]
    """
    d1 = 1.0 / step
    d2, d3 = d1**2, d1**3
    d4, d5 = d2**2, d2 * d3
    precision = np.empty((step.size, 3, 3))
    precision[:, 0, 0] = 720 * d5
    precision[:, 0, 1] = precision[:, 1, 0] = -360 * d4
    precision[:, 0, 2] = precision[:, 2, 0] = 60 * d3
    precision[:, 1, 1] = 192 * d3
    precision[:, 1, 2] = precision[:, 2, 1] = -36 * d2
    precision[:, 2, 2] = 9 * d1
    return precision


def _steps(time: Floats, piece: NDArray[np.int64], density: Floats) -> tuple[Floats, Floats]:
    """Return transition and precision of each step; no precision where a piece ends."""
    step = np.diff(time)
    precision = step_precision(step) / density[:, None, None]
    precision[np.diff(piece) != 0] = 0.0
    return transition(step), precision


def _chain(phi: Floats, precision: Floats) -> tuple[Floats, Floats]:
    """Return the prior precision as diagonal and upper blocks."""
    through = np.swapaxes(phi, 1, 2) @ precision
    diagonal = np.zeros((phi.shape[0] + 1, 3, 3))
    diagonal[:-1] += through @ phi
    diagonal[1:] += precision
    return diagonal, -through


def _pull(phi: Floats, precision: Floats, state: Floats) -> Floats:
    """Return the prior precision times the state, taken from the small differences s' − Φ s."""
    pulled = precision @ (state[1:] - phi @ state[:-1])
    pull = np.zeros_like(state)
    pull[1:] += pulled
    pull[:-1] -= np.swapaxes(phi, 1, 2) @ pulled
    return pull


def smooth(
    time: Floats,
    position: Floats,
    piece: NDArray[np.int64],
    position_noise: float,
    jerk_density: Floats | float,
    velocity: Floats | None = None,
    velocity_noise: float = np.inf,
    *,
    with_covariance: bool = True,
) -> Smoothed:
    """Smooth positions, and velocities where there are any, with known noise.

    Parameters
    ----------
    time
        Strictly increasing, shape (n,) [s]
    position
        Shape (n, axes); NaN where missing [m]
    piece
        Number of the gapless piece of each sample.
    position_noise
        Standard deviation of the white error of a position [m]
    jerk_density
        q of each step (n − 1) or of all [m² s⁻⁵]
    velocity
        Shape (n, axes), NaN where not measured [m s⁻¹]
    velocity_noise
        Standard deviation of a velocity's error [m s⁻¹]
    with_covariance
        Whether the covariance is needed; NaN when it is not, which takes half the time.
    """
    density = np.broadcast_to(np.asarray(jerk_density, dtype=np.float64), (time.size - 1,))
    phi, precision = _steps(time, piece, density)
    known = np.zeros((time.size, 3))
    known[np.concatenate([[True], np.diff(piece) != 0])] = _WEAK
    origin = np.nanmean(position, axis=0)
    right = np.zeros((time.size, 3, position.shape[1]))
    has = np.isfinite(position).all(axis=1)
    known[has, 0] += position_noise**-2
    right[has, 0] = (position[has] - origin) * position_noise**-2
    if velocity is not None and np.isfinite(velocity_noise):
        moving = np.isfinite(velocity).all(axis=1)
        known[moving, 1] += velocity_noise**-2
        right[moving, 1] += velocity[moving] * velocity_noise**-2
    diagonal, upper = _chain(phi, precision)
    diagonal[:, range(3), range(3)] += known
    chain = factor(diagonal, upper)
    state = chain.solve(right)
    # At five samples a second Q⁻¹ is 10⁹ times what a sample weighs, and metres are lost to rounding. What
    # the equations still lack, summed from small differences, gives them back.
    for _ in range(REFINEMENTS):
        state += chain.solve(right - known[:, :, None] * state - _pull(phi, precision, state))
    state[:, 0] += origin
    covariance = chain.covariances()[0] if with_covariance else np.full_like(diagonal, np.nan)
    return Smoothed(state, covariance, position_noise, float(np.median(density)))


def noise(windows: Sequence[tuple[Floats, Floats]]) -> tuple[float, float]:
    """Estimate position noise σ and jerk density q by greatest marginal likelihood.

    Parameters
    ----------
    windows
        Stretches of samples that share one noise: times, strictly increasing, shape (n,) with n ≥ 8 [s], and
        positions without missing values, shape (n, axes) [m]

    Returns
    -------
    position_noise, jerk_density
        [m], [m² s⁻⁵]
    """
    log_ratio = np.log(_RATIOS)
    score, residual, equations = np.zeros(_RATIOS.size), np.zeros(_RATIOS.size), 0
    for time, position in windows:
        prior, upper = _chain(*_steps(time, np.zeros(time.size, dtype=np.int64), np.ones(time.size - 1)))
        centred = position - position.mean(axis=0)
        diagonal = prior[None] / _RATIOS[:, None, None, None]
        diagonal[:, :, 0, 0] += 1.0
        right = np.zeros((_RATIOS.size, time.size, 3, position.shape[1]))
        right[:, :, 0] = centred
        chain = factor(diagonal, upper[None] / _RATIOS[:, None, None, None])
        residual += np.sum(centred * (centred - chain.solve(right)[:, :, 0]), axis=(1, 2))
        score += position.shape[1] * (chain.log_determinant + 3 * (time.size - 1) * log_ratio)
        equations += position.shape[1] * (time.size - 3)
    variance = np.maximum(residual / equations, FINEST_POSITION**2)
    # −2 log of a wide prior of σ: seldom samples leave σ and q nearly exchangeable, and σ must not collapse.
    prior_of_noise = (0.5 * np.log(variance / USUAL_POSITION**2) / USUAL_SPREAD) ** 2
    best = _vertex(log_ratio, equations * np.log(variance) + score + prior_of_noise)
    sigma_squared = float(np.interp(best, log_ratio, variance))
    sigma = float(np.clip(np.sqrt(sigma_squared), FINEST_POSITION, COARSEST_POSITION))
    return sigma, float(np.clip(np.exp(best) * sigma_squared, SLOWEST_JERK, FASTEST_JERK))


def _vertex(x: Floats, y: Floats) -> float:
    """Return the place of the least value by a parabola through the least sample and its neighbours."""
    i = int(np.argmin(y))
    if i in (0, x.size - 1):
        return float(x[i])
    left, right = y[i - 1] - y[i], y[i + 1] - y[i]
    shift = 0.5 * (left - right) / (left + right) if left + right > 0 else 0.0
    return float(x[i] + shift * (x[i + 1] - x[i]))
