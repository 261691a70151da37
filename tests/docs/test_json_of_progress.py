"""The JSON of progress as the page describes it: every key stands there, and every key there is written."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from tests.progress.invented import student

from groundref.progress import progress, to_dict

PAGE = (Path(__file__).parents[2] / "docs" / "json.md").read_text("utf-8")
SECTION = PAGE[PAGE.index("## Progress") :].split("\n## ")[0]
# Words of the page that are values or other pages, not keys.
VALUES = {"larger", "steady", "undetermined", "alike", "met"}


def keys(document: Any) -> Iterator[str]:
    if isinstance(document, dict):
        for key, value in document.items():
            yield key
            yield from keys(value)
    elif isinstance(document, list):
        for value in document:
            yield from keys(value)


def test_keys_and_page_are_the_same() -> None:
    written = set(keys(to_dict(progress("a student", student()))))
    promised = set(re.findall(r"`([a-z][a-z_0-9]*)`", SECTION))
    assert written - promised == {"schema"}
    assert promised - VALUES == written - {"schema"}
