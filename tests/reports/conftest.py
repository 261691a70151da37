from __future__ import annotations

import pytest

from groundref.reports.html import page
from tests.reports import invented, invented_kinds

CASES = {
    "two laps left": {},
    "one clean lap right": {"direction": "right", "laps": 1, "findings": False},
    "no wind": {"wind_known": False},
    "no altitude": {"altitude_known": False, "height_known": False},
    "no ground elevation": {"height_known": False},
    "drift": {"drifts": True, "laps": 3},
    "three maneuvers": {"count": 3},
    "four laps": {"laps": 4, "direction": "right"},
    "nine laps": {"laps": 9},
}


@pytest.fixture(scope="session")
def debriefs():
    points = {name: invented.debrief(**options) for name, options in CASES.items()}
    kinds = {name: make() for name, make in invented_kinds.KINDS.items()}
    return points | kinds | {"nothing found": invented.empty()}


@pytest.fixture(scope="session")
def pages(debriefs):
    return {name: page(one) for name, one in debriefs.items()}


@pytest.fixture(params=[*CASES, *invented_kinds.KINDS, "nothing found"])
def name(request):
    return request.param
