"""Flights that several tests look at."""

from __future__ import annotations

import pytest

from tests.once import once

from .flights import TruthFlight, fly_circle
from .grid import RESERVED, mix


@pytest.fixture(scope="session")
def drifting() -> list[TruthFlight]:
    """Circles in a wind that drifts, of the reserved block of draws."""
    return once("drifting", lambda: [fly_circle(order) for order in mix(RESERVED)["drifting"]])
