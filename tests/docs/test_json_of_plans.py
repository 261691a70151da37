"""The plan's JSON as the page describes it: every key stands there, and every key there is written."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from groundref.cli import main
from groundref.planning.kinds import LAYOUTS

PAGE = (Path(__file__).parents[2] / "docs" / "json.md").read_text("utf-8")
SECTION = PAGE[PAGE.index("## The plan") : PAGE.index("## The truth")]
PLAN, COMPARED = SECTION.split("### The plan in a debrief")
# Words of the page that are values or other files, not keys.
VALUES = {"line", "rectangle", "pylons", "none", "point", "stop", "care", "note", "magnetic"}
LADDER = {"rule", "saw", "change", "why"}
PLACE = ("--point", "40.1,-90.2", "--when", "2026-05-01T15:00Z", "--wind", "240/14G20")


def keys(document: Any) -> Iterator[str]:
    if isinstance(document, dict):
        for key, value in document.items():
            yield key
            yield from keys(value)
    elif isinstance(document, list):
        for value in document:
            yield from keys(value)


def planned(folder: Path, kind: str, *words: str) -> Any:
    out = folder / f"{kind}.json"
    assert main(["plan", kind, *PLACE, *words, "--json", str(out)]) == 0
    return json.loads(out.read_text("utf-8"))


def words(text: str) -> set[str]:
    return set(re.findall(r"`([a-z][a-z_0-9]*)`", text))


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("plans")


@pytest.mark.parametrize("kind", LAYOUTS)
def test_every_key_of_a_plan_stands_in_the_page(kind: str, folder: Path) -> None:
    document = planned(folder, kind)
    assert document["schema"] == "groundref/plan/1"
    assert document["maneuver"] == kind
    assert set(keys(document)) - words(PLAN) <= {"schema"}


def test_every_key_in_the_page_is_written(folder: Path) -> None:
    document = planned(folder, "eights-on-pylons", "--landing", "40.11,-90.2", "--noise-place", "40.14,-90.2")
    assert words(PLAN) - VALUES - LADDER - set(keys(document)) == set()


def test_the_plan_in_a_debrief_has_the_keys_of_the_page(folder: Path) -> None:
    planned(folder, "turns-around-a-point")
    lesson, out = str(folder / "lesson.gpx"), folder / "debrief.json"
    assert main(["simulate", "turns-around-a-point", "-o", lesson]) == 0
    plan = str(folder / "turns-around-a-point.json")
    assert main(["debrief", lesson, "--plan", plan, "--json", str(out), "--quiet"]) == 0
    part = json.loads(out.read_text("utf-8"))["plan"]
    suffixes = re.compile(r"_(kt|deg|ft|s)$")
    written = {suffixes.sub("", key) for key in keys(part)}
    assert {suffixes.sub("", word) for word in words(COMPARED)} >= written
    assert "planned_kt" in set(keys(part))
