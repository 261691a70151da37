"""Names of files in the folder: safe on every system, and never two alike."""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from pathlib import PurePath
from typing import Final

_LONGEST: Final = 60
_ENDING: Final = re.compile(r"\.[a-z0-9]{1,8}")


def plain(words: str) -> str:
    """Return words in small letters, digits and hyphens, at most 60 of them; `x` where nothing is left."""
    bare = unicodedata.normalize("NFKD", words).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", bare)[:_LONGEST].strip("-") or "x"


def of_recording(number: int, place: int, name: str) -> str:
    """Return where a recording lies, by its first lesson and its place there.

    Parameters
    ----------
    number
        Of the lesson.
    place
        Of the part, from 1.
    name
        As it was brought; its ending is kept where it is one.
    """
    # Small letters: some systems take two names that differ only in their capitals for one.
    path = PurePath(name.replace("\\", "/").lower())
    ending = path.suffix if _ENDING.fullmatch(path.suffix) else ".bin"
    return f"recordings/lesson-{number:05d}-part-{place}-{plain(path.stem)}{ending}"


def of_debrief(number: int, turn: int) -> str:
    """Return where a debrief lies."""
    return f"debriefs/lesson-{number:05d}-result-{turn}.json"


def of_plan(number: int) -> str:
    """Return where a plan lies."""
    return f"plans/lesson-{number:05d}.json"


def of_airplanes(names: list[str]) -> list[str]:
    """Return where the data files of airplanes lie; names that read alike are told apart by a number."""
    times: Counter[str] = Counter()
    taken: set[str] = set()
    paths = []
    for name in map(plain, names):
        path = name
        while path in taken or times[name] == 0:
            times[name] += 1
            path = name if times[name] == 1 else f"{name}-{times[name]}"
        taken.add(path)
        paths.append(f"airplanes/{path}.toml")
    return paths


def of_text(what: str, sha256: str) -> str:
    """Return where a text lies that many lessons may share: a standard, an airplane, columns."""
    return f"asked/{what}-{sha256[:32]}.toml"
