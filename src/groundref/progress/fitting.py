"""Lines through lessons that a single bad day does not move.

A figure y of a lesson, in limits, is told as

    y = a + b t + …  +  (scatter from lesson to lesson)  +  (error of the measurement),

the sum of the last two with Student's distribution of four degrees of freedom and scale √(τ² + s²): s is the
standard deviation stated beside the figure, τ how far this student's lessons lie apart in this element. Its
heavy tails are what makes a single bad day count little.

For a given τ the coefficients β of greatest likelihood follow by weighted least squares, repeated with

    w = (ν + 1) / (ν + r²),   r = (y − X β) / √(τ² + s²),   ν = 4

(Lange, Little and Taylor, "Robust statistical modeling using the t distribution", J. Am. Stat. Assoc. 84,
1989, from memory), and, as there, their covariance is (ν + 3)/(ν + 1) of the inverse of the weighted normal
equations. The likelihood integrated over β is taken about its maximum (Laplace):
log L(β̂, τ) + ½ log det cov β̂.
τ is not estimated but kept as a few values that cover what it can be; :mod:`groundref.progress.pooling`
weighs them. They are gone through from the largest, for which the fit is that of plain least squares, to the
smallest, each fit beginning with the one before it, so that no fit ends at a line through outliers.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

_FREEDOM: Final = 4.0  # of Student's distribution; usual for robust regression
_LOOSER: Final = (_FREEDOM + 3.0) / (_FREEDOM + 1.0)
_NODES: Final = np.linspace(3.0, -3.0, 11)
"""Where log τ is looked at, in its standard deviations from its middle, the largest first."""
_FIRST, _EACH = 12, 3  # fits at the first τ, and at each other
PLAIN: Final = 0.3
"""Scatter of lessons in limits where nothing tells it; own figure."""
SPREAD: Final = 1.0
"""Standard deviation of log τ between elements of a student; own figure, a factor of three either way."""


@dataclass(frozen=True, slots=True)
class Rows:
    """Figures of some elements, one row an element, padded with rows that do not count.

    Attributes
    ----------
    y, sd
        In limits, and the standard deviations of the measurement, shape (elements, rows).
    design
        Columns of the line; the last is the effect asked for, shape (elements, rows, columns).
    counts
        True for what is no padding, shape (elements, rows).
    """

    y: Floats
    sd: Floats
    design: Floats
    counts: NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Fits:
    """The lines for each value of τ.

    Attributes
    ----------
    scatter
        τ, shape (elements, values).
    coefficients
        β, shape (elements, values, columns).
    covariance
        Its covariance, shape (elements, values, columns, columns).
    evidence
        Log-likelihood integrated over β, shape (elements, values).
    """

    scatter: Floats
    coefficients: Floats
    covariance: Floats
    evidence: Floats


def fits(rows: Rows, penalty: Floats) -> Fits:
    """Return the lines through the figures, for all τ that may be.

    Parameters
    ----------
    rows
        The figures; at least two distinct rows of each element count.
    penalty
        Prior precision of each coefficient about zero, 0 for none; none for the effect.
    """
    scatter = _scatters(rows, penalty)
    weight = np.ones_like(rows.y)
    found = []
    for n, tau in enumerate(scatter.T):
        scale2 = tau[:, None] ** 2 + rows.sd**2
        for _ in range(_EACH if n else _FIRST):
            information = _information(rows, weight / scale2)
            beta = _solved(rows, weight / scale2, information + np.diag(penalty))
            r2 = (rows.y - _line(rows, beta)) ** 2 / scale2
            weight = (_FREEDOM + 1.0) / (_FREEDOM + r2)
        covariance = np.linalg.inv(information / _LOOSER + np.diag(penalty))
        likely = np.where(
            rows.counts, -0.5 * np.log(scale2) - 0.5 * (_FREEDOM + 1.0) * np.log1p(r2 / _FREEDOM), 0.0
        ).sum(axis=1)
        evidence = likely - 0.5 * beta**2 @ penalty + 0.5 * np.log(np.linalg.det(covariance))
        found.append((beta, covariance, evidence))
    betas, covariances, evidences = zip(*found, strict=True)
    return Fits(scatter, *(np.stack(each, axis=1) for each in (betas, covariances, evidences)))


def _information(rows: Rows, weight: Floats) -> Floats:
    weighted = rows.design * np.where(rows.counts, weight, 0.0)[..., None]
    return np.swapaxes(weighted, 1, 2) @ rows.design


def _solved(rows: Rows, weight: Floats, normal: Floats) -> Floats:
    weighted = np.where(rows.counts, weight * rows.y, 0.0)
    right = np.swapaxes(rows.design, 1, 2) @ weighted[..., None]
    return np.asarray(np.linalg.solve(normal, right)[..., 0])


def _line(rows: Rows, beta: Floats) -> Floats:
    return np.asarray((rows.design @ beta[..., None])[..., 0])


def _scatters(rows: Rows, penalty: Floats) -> Floats:
    """Return the values of τ to look at: about what each element shows, weighed against what others show."""
    total, freedom = _residual(rows, penalty)
    of_error = np.where(rows.counts, rows.sd**2, 0.0).sum(axis=1) / rows.counts.sum(axis=1)
    own2 = np.maximum(total**2 - of_error, (0.3 * total) ** 2)
    told = freedom > 0.5
    own = np.log(own2) / 2.0
    common = np.median(own[told]) if told.any() else np.log(PLAIN)
    precision = np.where(told, 2.0 * freedom * (own2 / np.maximum(total**2, 1e-12)) ** 2, 0.0)
    whole = precision + SPREAD**-2
    middle = (precision * own + SPREAD**-2 * common) / whole
    return np.asarray(np.exp(middle[:, None] + _NODES / np.sqrt(whole)[:, None]))


def _residual(rows: Rows, penalty: Floats) -> tuple[Floats, Floats]:
    """Return the scale of what is left about a first line, and the degrees of freedom that tell it."""
    weight = np.ones_like(rows.y)
    number = rows.counts.sum(axis=1)
    freedom = np.maximum(number - rows.design.shape[2], 0).astype(np.float64)
    for _ in range(_FIRST):
        beta = _solved(rows, weight, _information(rows, weight) + np.diag(penalty))
        left2 = np.where(rows.counts, (rows.y - _line(rows, beta)) ** 2, 0.0)
        scale2 = np.maximum((weight * left2).sum(axis=1) / np.maximum(freedom, 1.0), 1e-6)
        weight = (_FREEDOM + 1.0) / (_FREEDOM + left2 / scale2[:, None])
    return np.sqrt(scale2), freedom
