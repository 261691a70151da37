"""The page's scripts: all are checked with real types, by pinned tools without addresses."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
STATIC = ROOT / "src" / "groundref" / "web" / "static"
SCRIPTS = sorted([*STATIC.glob("*.js"), *(ROOT / "src" / "groundref" / "reports").rglob("*.js")])
# What turns the checker off, and the type that fits everything.
SILENCED = re.compile(r"@ts-(?:ignore|nocheck|expect-error)|[{(|<:,]\s*(?:any|Function)\s*[})|>,\[]")


def read(name: str) -> dict[str, Any]:
    return json.loads((ROOT / name).read_text("utf-8"))


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.name)
def test_every_script_is_checked(path: Path) -> None:
    text = path.read_text("utf-8")
    assert text.startswith("// @ts-check\n")
    assert SILENCED.findall(text) == []


def test_the_checker_looks_at_every_script_and_strictly() -> None:
    config = read("tsconfig.json")
    assert config["compilerOptions"]["strict"] is True
    assert config["compilerOptions"]["checkJs"] is True
    assert {path for pattern in config["include"] for path in ROOT.glob(pattern)} == set(SCRIPTS)
    own = {path for path in (ROOT / "src").rglob("*.js") if "vendor" not in path.parts}
    assert own == set(SCRIPTS)


def test_npm_packages_are_pinned_with_hashes_and_without_an_address() -> None:
    text = (ROOT / "requirements" / "package-lock.json").read_text("utf-8")
    assert "://" not in text
    packages = json.loads(text)["packages"]
    asked = packages.pop("")["devDependencies"]
    assert asked == read("requirements/package.json")["devDependencies"]
    for name, package in packages.items():
        assert package["integrity"].startswith("sha512-"), name
    assert all(packages[f"node_modules/{name}"]["version"] == version for name, version in asked.items())


def test_the_types_are_those_of_the_library_that_is_shipped() -> None:
    """Types come out in the numbers of the library, the last of them counting their own corrections."""
    [library] = (STATIC / "vendor").glob("three-*")
    types = read("requirements/package.json")["devDependencies"]["@types/three"]
    assert types.rsplit(".", 1)[0] == library.name.removeprefix("three-").rsplit(".", 1)[0]
