"""How far an arc moved along with the air, on arcs made from plane geometry."""

from __future__ import annotations

import numpy as np
import pytest

from groundref.detection.carried import arc_drift
from groundref.estimation.wind_value import Wind

RADIUS, RATE = 500.0, 0.1  # [m], [rad s⁻¹]


def blowing(east: float, north: float, sd: float = 0.3) -> Wind:
    return Wind(
        start=0.0,
        end=60.0,
        east=east,
        north=north,
        east_sd=sd,
        north_sd=sd,
        covariance=0.0,
        true_airspeed=50.0,
        true_airspeed_sd=0.5,
    )


def arc(share: float, wind: Wind, turn: float, noise: float = 1.0) -> tuple[np.ndarray, ...]:
    """Return an arc about a place that moves with a share of the wind."""
    time = np.arange(0.0, np.radians(turn) / RATE, 1.0)
    away = np.random.default_rng(3).normal(0.0, noise, (2, time.size))
    east = RADIUS * np.sin(RATE * time) + share * wind.east * time + away[0]
    north = RADIUS * np.cos(RATE * time) + share * wind.north * time + away[1]
    return time, east, north


@pytest.mark.parametrize("turn", [230.0, 270.0, 355.0])
@pytest.mark.parametrize("share", [0.0, 0.5, 1.0])
def test_the_share_is_found(turn: float, share: float) -> None:
    wind = blowing(-6.0, 4.0)
    drift = arc_drift(*arc(share, wind, turn), wind)
    assert drift is not None
    assert abs(drift.share - share) < 0.1 + 2.0 * drift.sd
    assert drift.sd < 0.25


def test_a_light_or_unknown_wind_tells_nothing() -> None:
    wind = blowing(0.4, 0.4)
    assert arc_drift(*arc(0.0, wind, 270.0), wind) is None
    assert arc_drift(*arc(0.0, wind, 270.0), None) is None


def test_an_arc_too_uneven_tells_nothing() -> None:
    wind = blowing(-3.0, 1.0)
    assert arc_drift(*arc(0.0, wind, 230.0, noise=60.0), wind) is None
