"""The JSON as the page describes it: every key that is written stands there, and the other way round."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from groundref.assessment.findings import FAULTS
from groundref.cli import main
from groundref.detection.maneuver import KINDS as KINDS_OF_MANEUVER

PAGE = (Path(__file__).parents[2] / "docs" / "json.md").read_text("utf-8")
DEBRIEF = PAGE[PAGE.index("## The debrief") : PAGE.index("## The series")]
SERIES = PAGE[PAGE.index("## The series") : PAGE.index("## The wind")]
# One kind for each type of reference and each set of particulars.
KINDS = ("turns-around-a-point", "s-turns", "rectangular-course", "eights-on-pylons", "steep-turns")
RUNWAY = "40.05517,-90.27161,40.05111,-90.28074"  # that of the simulator's invented airfield
WORDS = set(re.findall(r"`([a-z_0-9-]+)`", PAGE))


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with a debriefed lesson in it."""
    place = tmp_path_factory.mktemp("lesson")
    lesson = str(place / "lesson.gpx")
    truth = str(place / "truth.json")
    fault = ["--fault", "turns-around-a-point:overbanked-upwind=9", "--fault", "altitude-not-held=250"]
    assert main(["simulate", "+".join(KINDS), "-o", lesson, "--truth", truth, *fault]) == 0
    out = ["--json", str(place / "debrief.json"), "--series", str(place / "series.csv"), "--quiet"]
    assert main(["debrief", lesson, *out, "--runway", RUNWAY]) == 0
    return place


def keys(document: Any) -> Iterator[str]:
    if isinstance(document, dict):
        for key, value in document.items():
            yield key
            yield from keys(value)
    elif isinstance(document, list):
        for value in document:
            yield from keys(value)


def test_every_key_stands_in_the_page(folder: Path) -> None:
    document = json.loads((folder / "debrief.json").read_text("utf-8"))
    assert document["schema"] == "groundref/debrief/1"
    assert [maneuver["kind"] for maneuver in document["maneuvers"]] == list(KINDS)
    assert document["maneuvers"][0]["findings"]
    assert document["traffic_patterns"]
    missing = {key for key in keys(document) if key not in WORDS and key not in {"schema", "maneuvers"}}
    assert not missing


def test_every_key_of_a_maneuver_in_the_page_is_written(folder: Path) -> None:
    document = json.loads((folder / "debrief.json").read_text("utf-8"))
    written = set(keys(document))
    promised = set(re.findall(r"`([a-z]+_[a-z_0-9]+|[a-z]+)`", DEBRIEF))
    # Words that are values, not keys.
    values = {
        "gpx",
        "csv",
        "adsb",
        "simulated",
        "mixed",
        "point",
        "fitted",
        "given",
        "left",
        "right",
        "measured",
    }
    values |= {
        "line",
        "rectangle",
        "pylons",
        "none",
        "both",
        "downwind",
        "base",
        "upwind",
        "crosswind",
        "final",
        "outward",
        "return",
    }
    values |= {"derived", "met", "undetermined", "uncoordinated", "middle", "handbook", "practice"}
    assert promised - values <= written


def test_the_columns_of_the_series_are_those_of_the_page(folder: Path) -> None:
    header = (folder / "series.csv").read_text("utf-8").splitlines()[0].split(",")
    assert header == re.findall(r"`([a-z_]+)`", SERIES[SERIES.index("`time`") :])


def test_every_kind_and_fault_stands_in_the_page() -> None:
    assert set(KINDS_OF_MANEUVER) <= WORDS
    assert set(FAULTS) <= WORDS
