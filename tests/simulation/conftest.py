from __future__ import annotations

import functools
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from groundref.simulation import Truth, simulate
from groundref.track.recording import Recording

Flown = tuple[Recording, Truth]


@functools.lru_cache(maxsize=64)
def _fly(options: tuple[tuple[str, Any], ...], faults: tuple[tuple[str, float | None], ...]) -> Flown:
    return simulate(**{"flight": "maneuver-only", **dict(options)}, faults=dict(faults))


@pytest.fixture(scope="session")
def flown() -> Callable[..., Flown]:
    """Return a flight by its options; the same options are flown once in a run of the tests."""

    def fly(faults: dict[str, float | None] | None = None, **options: Any) -> Flown:
        return _fly(tuple(sorted(options.items())), tuple(sorted((faults or {}).items())))

    return fly


@pytest.fixture(scope="session")
def circle() -> Callable[[Truth], dict[str, np.ndarray]]:
    """Return the circle of a flight as measured on the true positions, apart from the pilot's own sums."""

    def measure(truth: Truth) -> dict[str, np.ndarray]:
        flown = truth.maneuver
        inside = truth.during(flown.start + 4.0, flown.end - 4.0)
        side = 1.0 if flown.direction == "right" else -1.0
        east, north = truth.east[inside] - flown.east, truth.north[inside] - flown.north
        wind_to = np.arctan2(truth.wind_east[inside], truth.wind_north[inside])
        course = np.arctan2(truth.velocity_east[inside], truth.velocity_north[inside])
        crab = truth.heading[inside] - course
        speed = np.hypot(truth.velocity_east[inside], truth.velocity_north[inside])
        needed = np.arctan(speed**2 / (9.80665 * flown.radius * np.cos(crab)))
        bank = side * truth.bank[inside]
        turned = np.unwrap(side * course)
        return {
            "time": truth.time[inside],
            "radial": np.hypot(east, north) - flown.radius,
            "position": np.degrees((side * (course - wind_to) + np.pi) % (2 * np.pi) - np.pi),
            "excess": np.degrees(bank - needed),
            "bank": np.degrees(bank),
            "turned": turned - turned[0],
            "lap": np.searchsorted(flown.boundaries, truth.time[inside]),
        }

    return measure
