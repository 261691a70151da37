"""The circle through scattered points, standing or moving at a constant rate, with its covariance.

Two uses of one kernel: positions give the point on the ground and the radius; ground velocities give the wind
and the true airspeed.

The geometric fit minimises the sum of squared distances from the circle, rᵢ = |pᵢ − c − d τᵢ| − R, by
Gauss-Newton; with uᵢ the unit vector from the centre to the sample, ∂r/∂(c, d, R) = (−uᵢ, −τᵢuᵢ, −1). It
starts from the algebraic fit (Kåsa 1976), which minimises Σ(|p|² − 2p·c − k)² in closed form and is biased
towards small circles on short arcs (Chernov, Circular and Linear Regression, CRC Press 2010, chapter 5, from
memory); the geometric fit is not, to first order. A circle that moves by more than its radius has other
minima near that start, so a second one comes from the relaxed equation of the moving circle,

    |p|² = 2 p·c + 2τ p·d + k₀ + k₁τ + k₂τ²,

linear in seven unknowns of which only c and d are used; the better of both is taken. A step that does not
lessen the sum is halved.

For white errors σ of each coordinate the covariance is σ²(JᵀJ)⁻¹. Nothing here knows whether they are white.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.errors import NoSolutionError

Floats = NDArray[np.float64]

ITERATIONS: Final = 40
DAMPING: Final = 1e-10  # keeps the step finite where a short arc leaves the motion open
CONVERGED: Final = 1e-7  # of the radius: a tenth of a millimetre


@dataclass(frozen=True, slots=True)
class CircleFit:
    """A fitted circle, in the unit of the points.

    Attributes
    ----------
    x, y
        Centre, at the mean time when it moves.
    radius
        Radius.
    rate_x, rate_y
        Motion of the centre in one unit of time; zero when it stands.
    residual
        Distance of each point from the circle, outside positive.
    rms
        Root mean square of the residuals.
    covariance
        Of (x, y, radius) or (x, y, rate_x, rate_y, radius), for white residuals of the size given or, if none
        was, of their own; NaN where no point is left over to tell that from.
    """

    x: float
    y: float
    radius: float
    rate_x: float
    rate_y: float
    residual: Floats
    rms: float
    covariance: Floats


def fit_circle(x: Floats, y: Floats, sd: float | None = None) -> CircleFit:
    """Fit a standing circle.

    Parameters
    ----------
    x, y
        Three or more points that are not in line.
    sd
        Standard deviation of a coordinate; taken from the residuals when None.

    Raises
    ------
    NoSolutionError
        With fewer than three points or points in a line.
    """
    return _fit(x, y, None, sd)


def fit_moving_circle(time: Floats, x: Floats, y: Floats, sd: float | None = None) -> CircleFit:
    """Fit a circle whose centre moves at a constant rate; time counts from its mean.

    Parameters
    ----------
    time
        Of each point.
    x, y
        Five or more points.
    sd
        Standard deviation of a coordinate; taken from the residuals when None.

    Raises
    ------
    NoSolutionError
        With fewer than five points or points in a line.
    """
    return _fit(x, y, time - time.mean(), sd)


def _fit(x: Floats, y: Floats, time: Floats | None, sd: float | None) -> CircleFit:
    unknowns = 3 if time is None else 5
    if x.size < unknowns:
        raise NoSolutionError(f"a circle needs {unknowns} points and there are {x.size}")
    if not (np.isfinite(x).all() and np.isfinite(y).all()):
        raise NoSolutionError("some points have no place, so there is no circle through them")
    shift_x, shift_y = float(x.mean()), float(y.mean())
    px, py = x - shift_x, y - shift_y
    clock = np.zeros_like(px) if time is None else time
    used = [0, 1, 4] if time is None else [0, 1, 2, 3, 4]
    starts = [_algebraic(px, py)]
    if time is not None and x.size > 7:
        starts.append(_relaxed(px, py, time))
    value = min(
        (_descended(start, px, py, clock, used) for start in starts), key=lambda v: _square(v, px, py, clock)
    )
    if not np.isfinite(value).all() or value[4] <= 0:
        raise NoSolutionError("no circle fits the points")
    residual, jacobian = _residual(value, px, py, clock)
    square = float(residual @ residual)
    spare = x.size - unknowns
    variance = sd**2 if sd is not None else square / spare if spare else np.nan
    part = jacobian[:, used]
    return CircleFit(
        x=float(value[0]) + shift_x,
        y=float(value[1]) + shift_y,
        radius=float(value[4]),
        rate_x=float(value[2]),
        rate_y=float(value[3]),
        residual=residual,
        rms=float(np.sqrt(square / x.size)),
        covariance=np.asarray(variance * np.linalg.pinv(part.T @ part), dtype=np.float64),
    )


def _descended(value: Floats, x: Floats, y: Floats, time: Floats, used: list[int]) -> Floats:
    """Return the best circle below a first one: Gauss-Newton, its steps halved where they overshoot."""
    square = _square(value, x, y, time)
    for _ in range(ITERATIONS):
        residual, jacobian = _residual(value, x, y, time)
        change = np.zeros(5)
        part = jacobian[:, used]
        normal = part.T @ part
        normal[np.diag_indices_from(normal)] *= 1.0 + DAMPING
        change[used] = np.linalg.solve(normal, -part.T @ residual)
        while (lower := _square(value + change, x, y, time)) > square:
            change *= 0.5
            if np.abs(change).max() < CONVERGED * value[4]:
                return value
        value, square = value + change, lower
        if np.abs(change).max() < CONVERGED * value[4]:
            break
    return value


def _square(value: Floats, x: Floats, y: Floats, time: Floats) -> float:
    residual = np.hypot(x - value[0] - value[2] * time, y - value[1] - value[3] * time) - value[4]
    return float(residual @ residual)


def _residual(value: Floats, x: Floats, y: Floats, time: Floats) -> tuple[Floats, Floats]:
    off_x, off_y = x - value[0] - value[2] * time, y - value[1] - value[3] * time
    distance = np.maximum(np.hypot(off_x, off_y), 1e-12)
    unit_x, unit_y = off_x / distance, off_y / distance
    jacobian = np.column_stack([-unit_x, -unit_y, -unit_x * time, -unit_y * time, -np.ones_like(x)])
    return distance - value[4], jacobian


def _algebraic(x: Floats, y: Floats) -> Floats:
    """Return Kåsa's fit to centred points: centre, no motion, radius."""
    square = x**2 + y**2
    rows = np.column_stack([2 * x, 2 * y, np.ones_like(x)])
    solution, _, rank, _ = np.linalg.lstsq(rows, square, rcond=1e-9)
    if rank < 3:
        raise NoSolutionError("the points lie in a line, so there is no circle through them")
    a, b, c = (float(v) for v in solution)
    return np.array([a, b, 0.0, 0.0, np.sqrt(max(c + a * a + b * b, 0.0))])


def _relaxed(x: Floats, y: Floats, time: Floats) -> Floats:
    """Return the moving circle of the relaxed equation, its radius from the distances to its centre."""
    scale = float(np.abs(time).max())
    at = time / scale
    rows = np.column_stack([2 * x, 2 * y, 2 * at * x, 2 * at * y, np.ones_like(x), at, at**2])
    solution, *_ = np.linalg.lstsq(rows, x**2 + y**2, rcond=1e-9)
    value = np.array([solution[0], solution[1], solution[2] / scale, solution[3] / scale, 0.0])
    value[4] = np.mean(_residual(value, x, y, time)[0])
    return value
