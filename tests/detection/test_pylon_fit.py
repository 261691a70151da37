"""The pylon from the wing lines: exact on Kepler's ellipse, blind to a constant angle, with a true sd."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from groundref.detection.pylon_fit import fit_pylon
from groundref.mechanics.pylon_ellipse import distance
from groundref.units import degree, knot

Floats = NDArray[np.float64]
V, W = 100 * knot, 20 * knot


def ellipse(turn: float = 300.0) -> tuple[Floats, Floats, Floats, Floats]:
    """Right turns about (300, −200) with the pylon abeam: time, east, north, heading; the wind blows north.

    Nearest downwind, p/(1 + e cos ν): Kepler's ellipse, the pylon at a focus (derived and checked by ODE).
    """
    heading = np.radians(np.arange(-150.0, turn - 150.0, 4.0))
    away = distance(V, W, 400.0, heading)
    east, north = 300.0 - away * np.cos(heading), -200.0 + away * np.sin(heading)
    return np.arange(heading.size, dtype=np.float64), east, north, heading


@pytest.mark.parametrize("turn", [90.0, 200.0, 300.0])
def test_the_pylon_is_found_from_the_headings_alone(turn: float) -> None:
    time, east, north, heading = ellipse(turn)
    found = fit_pylon(time, east, north, heading, 0.0)
    assert found is not None
    assert (found.east, found.north) == (pytest.approx(300.0, abs=1e-6), pytest.approx(-200.0, abs=1e-6))
    assert found.off < 1e-6
    assert found.ahead < 1e-8


def test_a_constant_angle_all_the_way_round_does_not_move_it() -> None:
    heading = np.radians(np.arange(0.0, 360.0, 4.0))
    ahead = 8 * degree
    bearing = heading + np.pi / 2 - ahead
    east, north = -400.0 * np.sin(bearing), -400.0 * np.cos(bearing)
    found = fit_pylon(np.arange(heading.size, dtype=np.float64), east, north, heading, 0.0)
    assert found is not None
    assert np.hypot(found.east, found.north) < 1e-6
    assert found.ahead == pytest.approx(ahead, rel=1e-9)


def test_it_is_off_by_what_its_standard_deviation_says() -> None:
    chance, off = np.random.default_rng(5), []
    time, east, north, heading = ellipse()
    for _ in range(400):
        kick = np.zeros(heading.size)
        for i in range(1, kick.size):  # some degrees off abeam, for some ten seconds the same way
            kick[i] = 0.82 * kick[i - 1] + 2 * degree * np.sqrt(1 - 0.82**2) * chance.standard_normal()
        found = fit_pylon(time, east, north, heading + kick, 0.0)
        assert found is not None
        off.append(np.hypot(found.east - 300.0, found.north + 200.0) / np.sqrt(2.0) / found.sd)
    assert 0.5 < np.sqrt(np.mean(np.square(off))) < 1.3


def test_a_straight_flight_has_none() -> None:
    time = np.arange(30.0)
    assert fit_pylon(time, 50.0 * time, 0.0 * time, np.full(30, np.pi / 2), 0.0) is None
    assert fit_pylon(time[:3], time[:3], time[:3], time[:3], 0.0) is None
