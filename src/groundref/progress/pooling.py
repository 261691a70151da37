"""What one student's elements together say of an effect in each: nothing is told from two lessons alone.

Of element e the effect (change a lesson, left less right, more wind) is β_e, in limits. With τ_e the scatter
of its lessons, ω how large such effects are in this student and τ₀ what scatter is usual for this student,

    β_e ~ N(0, ω²),     log τ_e ~ N(log τ₀, SPREAD²),

the mean zero, since nobody's progress is taken for granted. For each τ_e the lines give an estimate b with
variance v and the evidence L (:mod:`groundref.progress.fitting`); then, all normal,

    Z_e(ω, τ₀) = Σ_τ p(τ | τ₀) L(τ) N(b; 0, v + ω²),      p(ω, τ₀ | all) ∝ Π_e Z_e(ω, τ₀),
    β_e | τ, ω ~ N(k b, k v),   k = ω² / (ω² + v),

with ω and τ₀ on grids, each value alike likely before; those of ω are even, for small ones would be favored
if their logarithms were. Everything is summed and nothing plugged in: with few lessons ω and τ₀ stay wide
open, and so do the effects. Two lessons determine a line exactly; what keeps it from being taken for a trend
is that τ_e is then no better known than the student's other elements let it be.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.progress.fitting import SPREAD, Fits

Floats = NDArray[np.float64]

_USUAL: Final = np.array([0.05, 0.1, 0.2, 0.3, 0.45, 0.7, 1.0])
"""Scatters that may be usual, in limits; own figures, wide enough for whom altitude swings by its limit."""


@dataclass(frozen=True, slots=True)
class Effects:
    """The effects of all elements, in limits.

    Attributes
    ----------
    mean, sd
        Of each effect, shape (elements,).
    share
        Probability of each value of τ, shape (elements, values).
    given, given_variance
        Mean and variance of the effect for each value of τ, shape (elements, values).
    size
        ω, its mean.
    """

    mean: Floats
    sd: Floats
    share: Floats
    given: Floats
    given_variance: Floats
    size: float


def pooled(fits: Fits, sizes: Floats) -> Effects:
    """Return the effects in the last coefficient.

    Parameters
    ----------
    fits
        The lines of all elements.
    sizes
        The values that ω may have, in limits.
    """
    b, v = fits.coefficients[..., -1], fits.covariance[..., -1, -1]
    wide = v[..., None] + sizes**2  # elements, τ, ω
    estimate = fits.evidence[..., None] - 0.5 * np.log(wide) - 0.5 * b[..., None] ** 2 / wide
    prior = -0.5 * ((np.log(fits.scatter)[..., None] - np.log(_USUAL)) / SPREAD) ** 2  # elements, τ, τ₀
    joint = estimate[..., None] + prior[:, :, None, :]
    joint = np.exp(joint - joint.max(axis=(1, 2, 3), keepdims=True))
    each = joint.sum(axis=1)  # Z, of elements, ω, τ₀
    together = np.log(np.maximum(each, 1e-300)).sum(axis=0)
    together = np.exp(together - together.max())
    together /= together.sum()
    share = (joint * (together / np.maximum(each, 1e-300))[:, None]).sum(axis=3)  # elements, τ, ω
    shrunk = sizes**2 / wide
    mean, variance = shrunk * b[..., None], shrunk * v[..., None]
    of_scatter = share.sum(axis=2)
    safe = np.maximum(of_scatter, 1e-300)
    given = (share * mean).sum(axis=2) / safe
    given_variance = (share * (variance + mean**2)).sum(axis=2) / safe - given**2
    whole = (share * mean).sum(axis=(1, 2))
    spread = (share * (variance + mean**2)).sum(axis=(1, 2)) - whole**2
    return Effects(
        mean=whole,
        sd=np.sqrt(spread),
        share=of_scatter,
        given=given,
        given_variance=given_variance,
        size=float(together.sum(axis=1) @ sizes),
    )
