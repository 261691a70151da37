"""The page on the exported record names every key of the schema, every column, and no others."""

from __future__ import annotations

import json
import re
from pathlib import Path

from tests.docs.rewrite_schema import FILE

from groundref.record.folder.tables import HEADINGS

PAGE = (Path(__file__).parents[2] / "docs" / "record-format.md").read_text("utf-8")
WORDS = set(re.findall(r"`([a-z0-9_]+)`", PAGE))


def test_every_key_of_the_schema_stands_in_the_page() -> None:
    shapes = json.loads(FILE.read_text("utf-8"))["$defs"].values()
    keys = {key for shape in shapes for key in shape["properties"]}
    assert not keys - WORDS


def test_every_column_stands_in_the_row_of_its_table() -> None:
    rows = dict(re.findall(r"^\| (all|all but `lessons`|`[a-z]+`) \| (`.*) \|$", PAGE, re.MULTILINE))
    for table, headings in HEADINGS.items():
        said = rows["all"] + ("" if table == "lessons" else rows["all but `lessons`"]) + rows[f"`{table}`"]
        assert re.findall(r"`([a-z_]+)`", said) == list(headings)
