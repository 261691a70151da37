"""The page on safety names every caution and every key that is written, and the rules as in the data."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from math import radians
from pathlib import Path
from typing import Any

from groundref.planning import Around, Where, plan
from groundref.planning.engine_out import EngineOut
from groundref.planning.inputs import Inputs
from groundref.planning.rules import SURROUNDINGS, load_rules
from groundref.units import foot

PLAN = plan(
    "turns-around-a-point",
    where=Where(radians(40.1), radians(-90.2), when=datetime(2026, 5, 1, 20, tzinfo=UTC)),
    around=Around("open", 120 * foot, landing_from_origin=(1.0, 500.0), noise_place=(0.7, -1.574)),
)
ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "safety.md").read_text("utf-8")
WORDS = set(re.findall(r"`([a-z_-]+)`", PAGE))


def keys(document: Any) -> set[str]:
    if isinstance(document, dict):
        return set(document).union(*(keys(value) for value in document.values()))
    return set().union(*(keys(value) for value in document)) if isinstance(document, list) else set()


def test_every_key_stands_in_the_page() -> None:
    assert keys(PLAN.to_dict()["safety"]) <= WORDS


def test_every_caution_stands_in_the_page_with_its_weights() -> None:
    said: dict[str, set[str]] = {}
    for module in sorted((ROOT / "src" / "groundref" / "planning").glob("*cautions*.py")):
        text = module.read_text("utf-8")
        for weight, name in re.findall(r"Caution\(\s*Weight\.(\w+), \"([a-z-]+)\"", text):
            said.setdefault(name, set()).add(weight.lower())
    rows = re.findall(r"^\| (`[a-z-]+`(?:, `[a-z-]+`)*) \| ([a-z, ]+) \|", PAGE, re.MULTILINE)
    shown = {
        name: set(weights.split(", ")) for names, weights in rows for name in names.strip("`").split("`, `")
    }
    assert len(said) > 15
    for name, weights in said.items():
        assert weights <= shown[name], name


def test_the_rules_are_those_of_the_data() -> None:
    for rules in ("us", "europe"):
        for limit in load_rules(rules).limit:
            (row,) = (
                line
                for line in PAGE.splitlines()
                if line.startswith(f"| `{rules}` | ") and f"`{limit.surroundings[0]}`" in line
            )
            assert f"{limit.height_ft:,.0f} ft" in row
            assert limit.source.removeprefix("14 CFR ") in row
            assert {each for each in SURROUNDINGS if f"`{each}`" in row} == set(limit.surroundings)


def test_the_assumptions_are_those_of_the_code() -> None:
    found: EngineOut = PLAN.safety.engine_out
    inputs: Inputs = PLAN.inputs
    assert f"a reaction time of {inputs.around.reaction_time:.0f} s" in PAGE
    assert f"it turns at {found.bank * 57.29578:.0f}° of bank" in PAGE
