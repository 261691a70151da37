"""The part `safety` of the plan JSON: complete, with units, and the same figures as the plan."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, datetime
from math import radians
from typing import Any

import pytest

from groundref import export
from groundref.planning import Around, Blowing, Where, plan
from groundref.units import degree, foot, knot

PLAN = plan(
    "turns-around-a-point",
    wind=Blowing(14 * knot, 240 * degree, gust=6 * knot),
    where=Where(radians(40.1), radians(-90.2), when=datetime(2026, 5, 1, 20, tzinfo=UTC)),
    around=Around("open", 120 * foot, landing=(radians(40.103), radians(-90.198)), noise_place=(0.7, -1.574)),
)
UNITS = re.compile(r"_(?:ft|kt|deg|s|kg|lat|lon)$")
NO_UNIT = {"load_factor_max", "load_factor_limit", "glide_ratio", "tas_over_cas", "radius_over_sea_level"}
COUNTS = {"position", "worst_position"}


def numbers(document: Any, name: str = "") -> Iterator[tuple[str, float]]:
    if isinstance(document, dict):
        for key, value in document.items():
            yield from numbers(value, key)
    elif isinstance(document, list):
        for value in document:
            yield from numbers(value, name)
    elif isinstance(document, float | int) and not isinstance(document, bool):
        yield name, document


def test_every_number_has_its_unit_in_its_name() -> None:
    safety = PLAN.to_dict()["safety"]
    found = {name for name, _ in numbers(safety)}
    assert {name for name in found if not UNITS.search(name)} - NO_UNIT - COUNTS == {"lat", "lon"}
    assert b"NaN" not in export.to_json(PLAN.to_dict())


def test_the_figures_are_those_of_the_plan() -> None:
    safety: Any = PLAN.to_dict()["safety"]
    found = PLAN.safety
    assert safety["margins"]["above_stall_kt"] == pytest.approx(found.margins.above_stall / knot, abs=0.05)
    assert safety["heights"]["least_ft"] == 500
    landing = found.engine_out.landing
    assert landing is not None
    shown = safety["engine_out"]["landing"]
    assert shown["within_reach"] is (landing.least >= 0)
    assert shown["height_left_ft"] == min(shown["height_left_by_position_ft"])
    assert shown["worst_name"] == PLAN.schedule.name[landing.worst]
    assert len(safety["engine_out"]["outlines"]) == PLAN.schedule.marked.sum()
    assert len(safety["engine_out"]["common_outline"]["lat"]) == found.engine_out.bearing.size
    assert safety["daylight"]["sunset"].startswith("2026-05-02T00:5")
    assert safety["quiet"]["nearer_than_asked"] is False


def test_without_a_place_there_are_no_coordinates() -> None:
    safety: Any = plan("s-turns").to_dict()["safety"]
    assert safety["engine_out"]["common_outline"]["lat"] is None
    assert safety["daylight"] is None
    assert safety["quiet"] is None
    assert safety["engine_out"]["landing"] is None
