"""The record's commands run in this process, in a folder with a recording of each of two lessons."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from groundref.cli import main


class Said(NamedTuple):
    """What a command printed."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """Standard output as JSON."""
        return json.loads(self.out)


Run = Callable[..., Said]


@pytest.fixture(scope="session")
def flights(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with recordings of two simulated lessons."""
    folder = tmp_path_factory.mktemp("flights")
    first = ["turns-around-a-point", "--fault", "overbanked-upwind=9", "--seed", "4"]
    assert main(["simulate", *first, "-o", str(folder / "a.gpx")]) == 0
    assert main(["simulate", "s-turns", "--seed", "5", "-o", str(folder / "b.gpx")]) == 0
    return folder


@pytest.fixture
def run(
    flights: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Run:
    """Return what runs `groundref record` on an empty record."""
    for recording in flights.glob("*.gpx"):
        shutil.copy(recording, tmp_path)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("GROUNDREF_RECORD", str(tmp_path / "record.sqlite"))
    monkeypatch.setenv("COLUMNS", "100")
    capsys.readouterr()

    def run(*words: str, code: int = 0) -> Said:
        found = main(["record", *words])
        said = Said(found, *capsys.readouterr())
        assert found == code, said
        return said

    return run
