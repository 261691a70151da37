"""Outlines of ground that can be reached: rays from a center, and the center itself."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import direction_of, wrap
from groundref.planning.pieces import Place

Floats = NDArray[np.float64]

_SPAN: Final = 16.0  # [rad]  more than any curve winds round its center
_HALVINGS: Final = 10  # of the softness, from the spread of the middles: to a thousandth of it
_STEPS: Final = 2  # of Newton after each
_NEAREST: Final = 1e-6  # [m]


def middle_of(east: Floats, north: Floats) -> Place:
    """Return the place that lies deepest inside n outlines, taken as circles, east and north [m].

    Parameters
    ----------
    east, north
        Of their curves, (n, 2, k) [m]

    Notes
    -----
    The place where the worst ρ − r is least: ρ the distance from an outline's middle, r its mean radius. The
    worst is taken softly, τ ln Σ exp((ρ − r)/τ), which is smooth and convex, so Newton's steps find its least
    and equal figures stay equal whatever the last digit was; τ is then halved again and again.
    """
    middle = np.stack((east.mean(axis=(1, 2)), north.mean(axis=(1, 2))))
    size = np.hypot(east - middle[0][:, None, None], north - middle[1][:, None, None]).mean(axis=(1, 2))
    at = middle.mean(axis=1)
    spread = max(float(np.hypot(*(middle - at[:, None])).max()), 1.0)
    for halvings in range(1, _HALVINGS + 1):
        for _ in range(_STEPS):
            at = at - _newton(at, middle, size, spread * 0.5**halvings)
    return float(at[0]), float(at[1])


def _newton(at: Floats, middle: Floats, size: Floats, softness: float) -> Floats:
    """Return Newton's step back to the least of the softly worst depth, (2,) [m]."""
    away = at[:, None] - middle
    far = np.maximum(np.hypot(*away), _NEAREST)
    toward, depth = away / far, far - size
    weight = np.exp((depth - depth.max()) / softness)
    weight /= weight.sum()
    slope = toward @ weight
    # Along its ray each distance grows evenly, across it bends at 1/ρ.
    along = (toward * (weight * (1.0 / softness - 1.0 / far))) @ toward.T
    bend = along + np.eye(2) * float((weight / far).sum()) - np.outer(slope, slope) / softness
    return np.asarray(np.linalg.solve(bend, slope), dtype=np.float64)


def outline(curves: tuple[Floats, Floats], east: Floats, north: Floats, bearing: Floats) -> Floats:
    """Return how far n outlines lie from n centers in m directions, 0 where a curve does not go, (n, m) [m].

    Parameters
    ----------
    curves
        East and north of the curves, (n, 2, k): to the right, which goes round clockwise, and to the left [m]
    east, north
        Of the centers, (n,) [m]
    bearing
        Directions, (m,) [rad]

    Notes
    -----
    As seen from its center a curve goes round one way as far as it is the outline; a part that comes back
    lies inside and is left out. With A and B the ends of the side that the direction u falls on, the distance
    is (A × B)/(u × (B − A)).
    """
    to_east, to_north = curves[0] - east[:, None, None], curves[1] - north[:, None, None]
    way = np.array([1.0, -1.0])[:, None]
    around = np.unwrap(way * direction_of(to_east, to_north), axis=-1)
    first = around[..., :1]
    around = np.maximum.accumulate(around - first, axis=-1)
    asked = wrap(way * bearing - first)
    rows, each = around.shape[0] * 2, around.shape[-1]
    offset = _SPAN * np.arange(rows)[:, None]
    found = np.searchsorted((around.reshape(rows, each) + offset).ravel(), asked.reshape(rows, -1) + offset)
    after = found.reshape(asked.shape) - each * np.arange(rows).reshape(-1, 2, 1)
    beyond = after >= each
    after = np.clip(after, 1, each - 1)
    a_east, b_east = (np.take_along_axis(to_east, after - back, axis=-1) for back in (1, 0))
    a_north, b_north = (np.take_along_axis(to_north, after - back, axis=-1) for back in (1, 0))
    across = np.sin(bearing) * (b_north - a_north) - np.cos(bearing) * (b_east - a_east)
    with np.errstate(divide="ignore", invalid="ignore"):
        far = (a_east * b_north - a_north * b_east) / across
    reached: Floats = np.where(beyond | ~np.isfinite(far), 0.0, np.maximum(far, 0.0)).max(axis=1)
    return reached
