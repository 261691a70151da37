"""The record answers at once: a command loads nothing of what makes a debrief, nor the other commands."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from groundref.record.place import Place
from tests.record.small import filled

LISTING = "\nimport json, sys\nprint(json.dumps(list(sys.modules)))"


@pytest.mark.parametrize(
    ("words", "needless"),
    [
        (["list"], {"numpy", "groundref.cli.record.add"}),
        (["progress", "Mara Linde"], {"pyproj"}),
        (["show", "1"], {"pyproj"}),
    ],
)
def test_only_what_is_needed_is_loaded(tmp_path: Path, words: list[str], needless: set[str]) -> None:
    place = tmp_path / "record.sqlite"
    filled(Place(path=place), 3)
    asked = ["record", *words, "--record", str(place)]
    code = f"from groundref.cli import main\nassert main({asked!r}) == 0{LISTING}"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded = set(json.loads(done.stdout.splitlines()[-1]))
    assert "sqlalchemy" in loaded
    others = {"alembic", "groundref.cli.debrief", "groundref.debriefing", "groundref.assessment.faults"}
    assert not loaded & (needless | others)
