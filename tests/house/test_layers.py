"""The order of the house: which module may import which."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest
from importlinter.cli import lint_imports

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "groundref"
MODULES = sorted(PACKAGE.rglob("*.py"))


def imports(path: Path) -> Iterator[str]:
    """Yield the full names of the modules that a file imports anywhere in it."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield node.module or ""
            yield from (f"{node.module}.{name.name}" for name in node.names)


def test_imports_go_only_downward(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(ROOT)
    code = lint_imports(config_filename=str(ROOT / "pyproject.toml"), no_cache=True)
    assert code == 0, capsys.readouterr().out


@pytest.mark.parametrize("path", sorted((PACKAGE / "mechanics").glob("*.py")), ids=lambda path: path.name)
def test_mechanics_stand_on_numpy_alone(path: Path) -> None:
    below = ("groundref.mechanics", "groundref.angles", "groundref.errors", "groundref.units", "numpy")
    allowed = {"math", "typing", "collections", "dataclasses", "__future__", "functools"}
    for name in imports(path):
        assert name.startswith(below) or name == "groundref" or name.partition(".")[0] in allowed, name


def test_polars_stays_at_the_edges() -> None:
    """A data frame is a way to read and write tables, never what passes between modules."""
    users = {
        path.relative_to(PACKAGE).as_posix()
        for path in MODULES
        if any(name.partition(".")[0] == "polars" for name in imports(path))
    }
    assert all(user == "export.py" or user.startswith(("readers/", "simulation/write")) for user in users), (
        users
    )
