"""The place deepest inside all outlines, against a general optimizer."""

from __future__ import annotations

from math import radians

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import minimize

from groundref.planning import Blowing, engine_out, plan
from groundref.planning.outlines import middle_of
from groundref.units import knot

Floats = NDArray[np.float64]
KINDS = ("turns-around-a-point", "rectangular-course", "eights-around-pylons", "eights-on-pylons")


def curves_of(kind: str, wind: float, patch: pytest.MonkeyPatch) -> tuple[Floats, Floats]:
    """Return the curves that a plan's center was found from."""
    seen: list[tuple[Floats, Floats]] = []

    def watched(east: Floats, north: Floats) -> tuple[float, float]:
        seen.append((east, north))
        return middle_of(east, north)

    patch.setattr(engine_out, "middle_of", watched)
    plan(kind, wind=Blowing(wind * knot, radians(240)))
    return seen[0]


def depths(at: Floats, east: Floats, north: Floats) -> Floats:
    """Return how deep a place lies inside each outline, taken as a circle [m]."""
    middle = east.mean(axis=(1, 2)), north.mean(axis=(1, 2))
    size = np.hypot(east - middle[0][:, None, None], north - middle[1][:, None, None]).mean(axis=(1, 2))
    inside: Floats = size - np.hypot(at[0] - middle[0], at[1] - middle[1])
    return inside


@pytest.mark.parametrize("wind", [0.0, 14.0, 30.0])
@pytest.mark.parametrize("kind", KINDS)
def test_no_place_lies_deeper(kind: str, wind: float, monkeypatch: pytest.MonkeyPatch) -> None:
    """Against sequential least squares (scipy) with the depth itself as the third unknown."""
    curves = curves_of(kind, wind, monkeypatch)
    ours = middle_of(*curves)
    start = [*(float(each.mean()) for each in curves), 0.0]
    best = minimize(
        lambda x: -x[2],
        start,
        constraints=[{"type": "ineq", "fun": lambda x: depths(x[:2], *curves) - x[2]}],
        method="SLSQP",
        options={"ftol": 1e-12, "maxiter": 500},
    )
    deepest = depths(best.x[:2], *curves).min()
    assert deepest >= depths(np.array(start[:2]), *curves).min()
    # The worst is taken softly: a thousandth of how far the middles lie apart.
    assert depths(np.array(ours), *curves).min() >= deepest - 0.3


@pytest.mark.parametrize("kind", KINDS)
def test_the_last_digit_does_not_move_it(kind: str, monkeypatch: pytest.MonkeyPatch) -> None:
    east, north = curves_of(kind, 14.0, monkeypatch)
    noise = np.random.default_rng(7).standard_normal(east.shape)
    moved = middle_of(east * (1.0 + 1e-10 * noise), north)
    assert moved == pytest.approx(middle_of(east, north), abs=1e-4)


def test_of_one_outline_it_is_its_middle() -> None:
    angle = np.linspace(0.0, 2.0 * np.pi, 73)[:-1]
    east = (300.0 + 100.0 * np.sin(angle)).reshape(1, 2, 36)
    north = (-50.0 + 100.0 * np.cos(angle)).reshape(1, 2, 36)
    assert middle_of(east, north) == pytest.approx((300.0, -50.0), abs=1e-6)
