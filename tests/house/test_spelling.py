"""One spelling, that of the trade's own documents (United States), in everything that a user reads."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "groundref"
PAGES = [
    ROOT / "README.md",
    ROOT / "CHANGELOG.md",
    ROOT / "CONTRIBUTING.md",
    *sorted((ROOT / "docs").glob("*.md")),
]
TEMPLATES = sorted((PACKAGE / "reports" / "templates").iterdir())
DATA = sorted(PACKAGE.rglob("*.toml"))
OTHERWISE = re.compile(
    r"\b(?:centr(?:e|es|ed|eline|elines)|(?:kilo|centi|milli)?metres?|colours?"
    r"|grey|behaviours?|neighbour\w*|manoeuv\w*|aeroplanes?|judgements?|favour\w*|labell(?:ed|ing)|travell(?:ed|ing)"
    r"|practis\w+|organis\w+|recognis\w+|minimis\w+|analys(?:ed|ing)|licences?)\b",
    re.IGNORECASE,
)


def otherwise(text: str) -> list[str]:
    return OTHERWISE.findall(text)


def sentences(module: Path) -> Iterator[str]:
    """Yield the strings of a module, without docstrings and keys: the latter name what files hold."""
    tree = ast.parse(module.read_text("utf-8"))
    left_out = {id(key) for node in ast.walk(tree) if isinstance(node, ast.Dict) for key in node.keys}
    left_out |= {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in left_out:
            yield node.value


def test_the_words_are_known() -> None:
    assert otherwise("The centre of a grey colour, some metres off the centreline.") == [
        "centre", "grey", "colour", "metres", "centreline",
    ]  # fmt: skip
    assert not otherwise("The center of a gray color, some meters off the centerline; parameters, greyhound.")


def test_sentences_of_the_program_are_spelled_one_way() -> None:
    found = {
        str(module.relative_to(PACKAGE)): words
        for module in sorted(PACKAGE.rglob("*.py"))
        if (words := [word for said in sentences(module) for word in otherwise(said)])
    }
    assert not found


@pytest.mark.parametrize("page", [*PAGES, *TEMPLATES, *DATA], ids=lambda path: path.name)
def test_pages_are_spelled_one_way(page: Path) -> None:
    assert not otherwise(page.read_text("utf-8"))


def test_no_sign_of_percent_can_be_torn_from_its_number() -> None:
    torn = re.compile(r"(?:^|\d) %(?![-a-zA-Z%])")
    found = {
        str(module.relative_to(PACKAGE)): words
        for module in sorted(PACKAGE.rglob("*.py"))
        if (words := [said for said in sentences(module) if torn.search(said)])
    }
    assert not found
