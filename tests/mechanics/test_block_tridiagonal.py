"""The chain solver against dense linear algebra (numpy's LAPACK), which knows nothing of chains."""

from __future__ import annotations

from itertools import pairwise
from time import process_time

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from groundref.mechanics.block_tridiagonal import factor, inverse

Floats = NDArray[np.float64]

ROUNDING = 1e-9  # of the largest value: condition numbers here stay below 10⁵ and double precision is 10⁻¹⁶


def a_chain(
    n: int, d: int, chance: np.random.Generator, batch: tuple[int, ...] = ()
) -> tuple[Floats, Floats]:
    """Return diagonal and upper blocks of a random positive-definite chain L Lᵀ, L block bidiagonal."""
    own = chance.normal(size=(*batch, n, d, d)) * 0.3 + 2.0 * np.eye(d)
    below = chance.normal(size=(*batch, n - 1, d, d)) * 0.4
    diagonal = own @ np.swapaxes(own, -1, -2)
    diagonal[..., 1:, :, :] += below @ np.swapaxes(below, -1, -2)
    upper = own[..., :-1, :, :] @ np.swapaxes(below, -1, -2)
    return diagonal, upper


def dense(diagonal: Floats, upper: Floats) -> Floats:
    n, d = diagonal.shape[-3], diagonal.shape[-1]
    whole = np.zeros((n * d, n * d))
    for i in range(n):
        whole[i * d : (i + 1) * d, i * d : (i + 1) * d] = diagonal[i]
    for i in range(n - 1):
        whole[i * d : (i + 1) * d, (i + 1) * d : (i + 2) * d] = upper[i]
        whole[(i + 1) * d : (i + 2) * d, i * d : (i + 1) * d] = upper[i].T
    return whole


def blocks(whole: Floats, d: int, off: int = 0) -> Floats:
    n = whole.shape[0] // d
    parts = [whole[i * d : (i + 1) * d, (i + off) * d : (i + off + 1) * d] for i in range(n - off)]
    return np.array(parts).reshape(n - off, d, d)


def agrees(found: Floats, wanted: Floats) -> None:
    assert found.shape == wanted.shape
    assert np.allclose(
        found, wanted, rtol=0.0, atol=ROUNDING * max(1.0, float(np.abs(wanted).max(initial=0.0)))
    )


@pytest.mark.parametrize("d", range(1, 8))
def test_every_length_against_the_dense_matrix(d: int) -> None:
    chance = np.random.default_rng(d)
    for n in range(1, 41):
        diagonal, upper = a_chain(n, d, chance)
        whole = dense(diagonal, upper)
        chain, inverted = factor(diagonal, upper), np.linalg.inv(whole)
        own, beside = chain.covariances()
        agrees(own, blocks(inverted, d))
        agrees(beside, blocks(inverted, d, off=1))
        assert chain.log_determinant == pytest.approx(np.linalg.slogdet(whole)[1], abs=1e-9 * n * d)
        for m in (1, 2, 3):
            right = chance.normal(size=(n, d, m))
            wanted = np.linalg.solve(whole, right.reshape(n * d, m)).reshape(n, d, m)
            agrees(chain.solve(right), wanted)


@given(n=st.integers(1, 40), d=st.integers(1, 7), m=st.integers(1, 3), seed=st.integers(0, 2**31))
def test_a_stack_of_chains_is_each_chain_by_itself(n: int, d: int, m: int, seed: int) -> None:
    chance = np.random.default_rng(seed)
    diagonal, upper = a_chain(n, d, chance, batch=(2, 3))
    right = chance.normal(size=(2, 3, n, d, m))
    chain = factor(diagonal, upper)
    own, beside = chain.covariances()
    solved = chain.solve(right)
    for i in np.ndindex(2, 3):
        alone = factor(diagonal[i], upper[i])
        agrees(solved[i], alone.solve(right[i]))
        agrees(own[i], alone.covariances()[0])
        agrees(beside[i], alone.covariances()[1])
        assert chain.log_determinant[i] == pytest.approx(float(alone.log_determinant), abs=1e-9)


@given(cuts=st.sets(st.integers(1, 24), max_size=6), d=st.integers(1, 4), seed=st.integers(0, 2**31))
def test_decoupled_chains_do_not_touch_each_other(cuts: set[int], d: int, seed: int) -> None:
    chance = np.random.default_rng(seed)
    diagonal, upper = a_chain(25, d, chance)
    right = chance.normal(size=(25, d, 1))
    for cut in cuts:
        upper[cut - 1] = 0.0
    whole = factor(diagonal, upper)
    bounds = [0, *sorted(cuts), 25]
    parts = [(factor(diagonal[a:b], upper[a : b - 1]), right[a:b]) for a, b in pairwise(bounds)]
    agrees(whole.solve(right), np.concatenate([chain.solve(b) for chain, b in parts]))
    agrees(whole.covariances()[0], np.concatenate([chain.covariances()[0] for chain, _ in parts]))
    assert whole.log_determinant == pytest.approx(sum(float(c.log_determinant) for c, _ in parts), abs=1e-9)
    for cut in cuts:
        assert np.all(whole.covariances()[1][cut - 1] == 0.0)


def test_it_leaves_its_input_alone() -> None:
    diagonal, upper = a_chain(17, 3, np.random.default_rng(2))
    before = diagonal.copy(), upper.copy()
    right = np.ones((17, 3, 1))
    factor(diagonal, upper).solve(right)
    assert np.array_equal(diagonal, before[0])
    assert np.array_equal(upper, before[1])
    assert np.all(right == 1.0)


@given(d=st.integers(1, 7), seed=st.integers(0, 2**31))
def test_inverse_of_a_stack(d: int, seed: int) -> None:
    root = np.random.default_rng(seed).normal(size=(5, d, d)) * 0.3 + 1.5 * np.eye(d)
    matrix = root @ np.swapaxes(root, -1, -2)
    found, logs = inverse(matrix)
    agrees(found, np.linalg.inv(matrix))
    assert np.allclose(logs, np.linalg.slogdet(matrix)[1], atol=1e-9)


def test_time_grows_with_the_length_and_not_with_its_square() -> None:
    """Sixteen times the blocks in less than 48 times the time; a dense solution would take 4,096 times."""

    def seconds(n: int) -> float:
        diagonal, upper = a_chain(n, 3, np.random.default_rng(1))
        best = np.inf
        for _ in range(3):
            start = process_time()
            factor(diagonal, upper).covariances()
            best = min(best, process_time() - start)
        return best

    assert seconds(32_000) < 48 * seconds(2_000)
