"""The examples of the pages of formulas and of the weather print what the page shows."""

from __future__ import annotations

import re
from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path

import pytest

DOCS = Path(__file__).parents[2] / "docs"
# Sections without an example: the sources; what needs a recording.
WITHOUT = {"formulas.md": 1, "weather.md": 1}


@pytest.mark.parametrize("name", WITHOUT)
def test_examples_print_what_the_page_shows(name: str) -> None:
    page = DOCS / name
    names: dict[str, object] = {}
    parts = re.findall(r"^```(python|text)\n(.*?)^```$", page.read_text("utf-8"), re.MULTILINE | re.DOTALL)
    printed, compared = "", 0
    for language, body in parts:
        if language == "python":
            with redirect_stdout(StringIO()) as out:
                exec(compile(body, str(page), "exec"), names)
            printed = out.getvalue()
        else:
            assert body == printed
            compared += 1
    sections = re.findall(r"^## ", page.read_text("utf-8"), re.MULTILINE)
    assert compared >= len(sections) - WITHOUT[name]
