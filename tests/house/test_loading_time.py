"""What is loaded when: the command answers at once because it loads only what it needs."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

HEAVY = {"scipy", "matplotlib", "polars", "pyproj", "lxml", "numpy", "jinja2", "msgspec", "metar", "pygeomag"}


def loaded_by(code: str) -> set[str]:
    """Return the top-level modules that a fresh Python has loaded after running some code."""
    listing = "\nimport json, sys\nprint(json.dumps([name.partition('.')[0] for name in sys.modules]))"
    done = subprocess.run([sys.executable, "-c", code + listing], capture_output=True, text=True, check=True)
    return set(json.loads(done.stdout.splitlines()[-1]))


def test_importing_the_package_loads_nothing_heavy() -> None:
    assert not loaded_by("import groundref") & HEAVY


@pytest.mark.parametrize("words", [["--help"], ["--version"], ["debrief", "--help"], ["simulate", "--help"]])
def test_help_loads_nothing_heavy(words: list[str]) -> None:
    assert not loaded_by(f"from groundref.cli import main\nassert main({words!r}) == 0") & HEAVY


def test_every_public_name_is_there() -> None:
    code = "import groundref\nassert all(getattr(groundref, name) is not None for name in groundref.__all__)"
    assert "numpy" in loaded_by(code)


def test_an_unknown_name_is_refused_as_python_does() -> None:
    import groundref

    with pytest.raises(AttributeError, match="no attribute 'nonsense'"):
        _ = groundref.nonsense
    assert "debrief" in dir(groundref)
