"""The elliptic integral of the second kind, which is the time along a circle in wind."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

# The arithmetic-geometric mean doubles its correct digits at each step; from a ratio of 10⁻⁸
# (wind within 10⁻¹⁶ of airspeed, the last one a float can tell) eight steps reach the last digit.
steps: Final = 8


def second_kind(angle: ArrayLike, parameter: ArrayLike) -> Floats:
    """Return E(φ | m) = ∫₀^φ √(1 − m sin²θ) dθ; any real φ, so E(π/2 | m) is the complete integral.

    With a₀ = 1, b₀ = √(1−m), c₀ = √m and aₙ₊₁ = (aₙ+bₙ)/2, bₙ₊₁ = √(aₙbₙ), cₙ₊₁ = (aₙ−bₙ)/2, and the angle
    carried along by tan(φₙ₊₁ − φₙ) = (bₙ/aₙ) tan φₙ,

    E(φ | m) = (1 − ½ Σ 2ⁿ cₙ²) φ_N / (2ᴺ a_N) + Σ_{n≥1} cₙ sin φₙ.

    The angle is advanced as φₙ₊₁ = 2φₙ − atan((a−b) sin φ cos φ / (a cos²φ + b sin²φ)), the same relation
    without the jumps of the tangent.

    Parameters
    ----------
    angle
        φ, amplitude [rad]
    parameter
        m = k², in [0, 1)

    Notes
    -----
    Source: Abramowitz and Stegun, Handbook of Mathematical Functions (1964), 17.6; NIST Digital Library of
    Mathematical Functions, 19.8(i). Form of the angle's step ours.
    """
    phi = np.asarray(angle, dtype=np.float64)
    m = np.asarray(parameter, dtype=np.float64)
    a, b = np.ones_like(m), np.sqrt(1.0 - m)
    shrink, ripple = 1.0 - 0.5 * m, np.zeros(np.broadcast_shapes(phi.shape, m.shape))
    for n in range(1, steps + 1):
        s, c = np.sin(phi), np.cos(phi)
        phi = 2.0 * phi - np.arctan2((a - b) * s * c, a * c**2 + b * s**2)
        half_gap = 0.5 * (a - b)
        a, b = 0.5 * (a + b), np.sqrt(a * b)
        shrink = shrink - 0.5 * 2.0**n * half_gap**2
        ripple = ripple + half_gap * np.sin(phi)
    return shrink * phi / (2.0**steps * a) + ripple
