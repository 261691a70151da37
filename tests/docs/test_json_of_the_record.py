"""The JSON of the record's commands as the page describes it: every key that is written stands there."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from groundref.cli import main

PAGE = (Path(__file__).parents[2] / "docs" / "json.md").read_text("utf-8")
WORDS = set(re.findall(r"`([a-z_0-9-]+)`", PAGE))


def keys(document: Any) -> Iterator[str]:
    if isinstance(document, dict):
        for key, value in document.items():
            yield key
            yield from keys(value)
    elif isinstance(document, list):
        for value in document:
            yield from keys(value)


def test_every_key_stands_in_the_page(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("GROUNDREF_RECORD", str(tmp_path / "record.sqlite"))
    assert main(["simulate", "turns-around-a-point", "-o", "a.gpx"]) == 0
    assert main(["record", "site", "Field", "--point", "40.1,-90.2", "--ground-ft", "620"]) == 0
    capsys.readouterr()
    for words in (
        ["add", "a.gpx", "--student", "Jo Brandt", "--instructor", "Ines Okafor", "--site", "Field"],
        ["list"],
        ["verdict", "1", "PA.V.B.S5", "met"],
        ["sign", "1"],
        ["show", "1"],
        ["recompute", "1"],
        ["site"],
        ["person"],
    ):
        assert main(["record", *words, "--json", "-"]) == 0
        document = json.loads(capsys.readouterr().out)
        assert f"`{document['schema']}`" in PAGE
        missing = {key for key in keys(document) if key not in WORDS and key != "schema"}
        assert not missing, words
