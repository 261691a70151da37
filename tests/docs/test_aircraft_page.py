"""The page of airplanes has every key with what the program knows of it."""

from __future__ import annotations

import re
from pathlib import Path

from groundref.aircraft.keys import KEYS, NOTHING, Key

PAGE = (Path(__file__).parents[2] / "docs" / "aircraft.md").read_text("utf-8")


def row(key: Key) -> list[str]:
    accepted = "" if key.accepted is None else f"{key.accepted[0]:,g} to {key.accepted[1]:,g}"
    then = "then not known" if key.assumed == NOTHING else f"then {key.assumed}"
    return [
        f"`{key.name}`",
        key.meaning,
        key.unit,
        key.typical,
        accepted,
        "no" if key.needed else f"yes: {then}",
    ]


def test_the_table_is_that_of_the_program() -> None:
    rows = [
        [cell.strip() for cell in line.strip("|").split("|")]
        for line in re.findall(r"^\| `[a-z_]+` \|.*\|$", PAGE, re.MULTILINE)
    ]
    assert rows == [row(key) for key in KEYS]
