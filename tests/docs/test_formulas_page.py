"""The examples of the page of formulas print what the page shows."""

from __future__ import annotations

import re
from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path

PAGE = Path(__file__).parents[2] / "docs" / "formulas.md"


def test_examples_print_what_the_page_shows() -> None:
    names: dict[str, object] = {}
    parts = re.findall(r"^```(python|text)\n(.*?)^```$", PAGE.read_text("utf-8"), re.MULTILINE | re.DOTALL)
    printed, compared = "", 0
    for language, body in parts:
        if language == "python":
            with redirect_stdout(StringIO()) as out:
                exec(compile(body, str(PAGE), "exec"), names)
            printed = out.getvalue()
        else:
            assert body == printed
            compared += 1
    sections = re.findall(r"^## ", PAGE.read_text("utf-8"), re.MULTILINE)
    assert compared >= len(sections) - 1  # all but the sources
