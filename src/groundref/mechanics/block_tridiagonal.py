"""Symmetric positive-definite block-tridiagonal systems: solution, log-determinant and selected inverse.

A chain of states with Gaussian steps between neighbours and independent observations has a precision matrix

    A = | D₀  U₀          |
        | U₀ᵀ D₁  U₁      |
        |     U₁ᵀ D₂  ⋱   |
        |         ⋱   ⋱   |

whose solution A⁻¹b is the smoothed state and whose diagonal blocks of A⁻¹ are its covariances. It is solved
by odd-even (cyclic) reduction: all odd blocks are eliminated at once, which leaves a chain of half the
length, and so on. That is a block Cholesky factorisation of a permuted matrix, hence as stable, and each
level is one vectorised operation, so n blocks cost O(n) arithmetic in O(log n) calls.

For an eliminated block k with neighbours N = (k−1, k+1), G = D_k⁻¹ and W = G [U_{k−1}ᵀ  U_k]:

    x_k  = G b_k − W x_N
    S_kN = −W S_NN,     S_kk = G + W S_NN Wᵀ,     where S = A⁻¹.

S_NN needs only blocks that the shorter chain already has: its diagonal and its first off-diagonal.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class ChainSolution:
    """Solution of a block-tridiagonal system.

    Attributes
    ----------
    x
        A⁻¹b, shape (..., n, d, m).
    covariance
        Diagonal blocks of A⁻¹, shape (..., n, d, d).
    covariance_next
        Blocks of A⁻¹ between block i and i + 1, shape (..., n − 1, d, d).
    log_determinant
        log det A, shape (...).
    """

    x: Floats
    covariance: Floats
    covariance_next: Floats
    log_determinant: Floats


def _transpose(block: Floats) -> Floats:
    return np.swapaxes(block, -1, -2)


def solve(diagonal: Floats, upper: Floats, right: Floats) -> ChainSolution:
    """Solve A x = b and invert A where it matters.

    Parameters
    ----------
    diagonal
        Blocks D, shape (..., n, d, d), symmetric.
    upper
        Blocks U, from row block i to column block i + 1, shape (..., n − 1, d, d); zero where a chain ends.
    right
        b, shape (..., n, d, m).

    Raises
    ------
    numpy.linalg.LinAlgError
        When a pivot block is singular.
    """
    count = diagonal.shape[-3]
    if count == 1:
        inverse = np.linalg.inv(diagonal)
        _, log_determinant = np.linalg.slogdet(diagonal)
        return ChainSolution(
            inverse @ right,
            inverse,
            np.empty((*upper.shape[:-3], 0, *upper.shape[-2:])),
            log_determinant[..., 0],
        )
    even, odd = slice(0, None, 2), slice(1, None, 2)
    odds = count // 2
    pivot = np.linalg.inv(diagonal[..., odd, :, :])
    logs = np.log(np.linalg.det(diagonal[..., odd, :, :]))

    into_left = upper[..., 0::2, :, :][..., :odds, :, :]  # row: even on the left, column: odd
    into_right = upper[..., 1::2, :, :]  # row: odd, column: even on the right
    rights = into_right.shape[-3]  # one fewer than the odds when the chain ends on an odd block
    left_gain = pivot @ _transpose(into_left)
    right_gain = pivot[..., :rights, :, :] @ into_right

    reduced_diagonal = diagonal[..., even, :, :].copy()
    reduced_diagonal[..., :odds, :, :] -= into_left @ left_gain
    reduced_diagonal[..., 1 : rights + 1, :, :] -= _transpose(into_right) @ right_gain
    reduced_right = right[..., even, :, :].copy()
    odd_right = pivot @ right[..., odd, :, :]
    reduced_right[..., :odds, :, :] -= into_left @ odd_right
    reduced_right[..., 1 : rights + 1, :, :] -= _transpose(into_right) @ odd_right[..., :rights, :, :]
    reduced_upper = -into_left[..., :rights, :, :] @ right_gain
    shorter = solve(reduced_diagonal, reduced_upper, reduced_right)

    x = np.empty_like(right)
    x[..., even, :, :] = shorter.x
    odd_x = odd_right - left_gain @ shorter.x[..., :odds, :, :]
    odd_x[..., :rights, :, :] -= right_gain @ shorter.x[..., 1 : rights + 1, :, :]
    x[..., odd, :, :] = odd_x

    to_left = -left_gain @ shorter.covariance[..., :odds, :, :]
    to_left[..., :rights, :, :] -= right_gain @ _transpose(shorter.covariance_next[..., :rights, :, :])
    to_right = -(
        left_gain[..., :rights, :, :] @ shorter.covariance_next[..., :rights, :, :]
        + right_gain @ shorter.covariance[..., 1 : rights + 1, :, :]
    )
    odd_covariance = pivot - to_left @ _transpose(left_gain)
    odd_covariance[..., :rights, :, :] -= to_right @ _transpose(right_gain)

    covariance = np.empty_like(diagonal)
    covariance[..., even, :, :] = shorter.covariance
    covariance[..., odd, :, :] = 0.5 * (odd_covariance + _transpose(odd_covariance))
    covariance_next = np.empty_like(upper)
    covariance_next[..., 0::2, :, :] = _transpose(to_left)
    covariance_next[..., 1::2, :, :] = to_right
    return ChainSolution(x, covariance, covariance_next, logs.sum(axis=-1) + shorter.log_determinant)
