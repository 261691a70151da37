"""What a column heading says: which quantity, in which unit, from which datum.

A heading is split into words, the words are brought to one spelling, and the set of words is compared with
the rules of `_rules.py`; so word order, case, underscores and abbreviations do not matter.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final
from unicodedata import normalize

from groundref.readers._rules import FAMILY, FILLER, RULES, SPELLING
from groundref.readers._units import Unit, unit_of

_BRACKETS: Final = re.compile(r"[\[(<{]([^\])>}]*)[\])>}]")
_CAMEL: Final = re.compile(r"(?<=[a-z])(?=[A-Z])")
_WORD: Final = re.compile(r"[a-zß-ÿ°µ]+(?:\d{1,2}(?!\d))?|\d+")  # icao24 and s2 are words, alt1013 is two
_LONGEST_UNIT: Final = 3  # words, such as m_per_s
_SIDES: Final = (
    (re.compile(r"\bN\s*/\s*S\b", re.IGNORECASE), " latitude hemisphere "),
    (re.compile(r"\bE\s*/\s*W\b", re.IGNORECASE), " longitude hemisphere "),
)
_ONLY_LAST: Final = frozenset(
    {"m", "s", "g", "c", "f", "k", "a", "rad"}
)  # too short to be a unit anywhere else


@dataclass(frozen=True, slots=True)
class Heading:
    """The meaning of one heading.

    Attributes
    ----------
    text
        The heading as it stands in the file.
    index
        Number of its column, from 0.
    quantity
        Name of a channel of the recording, or of a helper such as ``date``; None when it is not understood.
    unit
        The unit that the heading or the units row states.
    words
        The words besides the unit, in one spelling.
    """

    text: str
    index: int
    quantity: str | None
    unit: Unit | None
    words: frozenset[str]


def understand(headings: Sequence[str], unit_row: Sequence[str] = ()) -> list[Heading]:
    """Understand a row of headings, with a row of units when there is one."""
    return [
        _understand(text, index, unit_row[index] if index < len(unit_row) else "")
        for index, text in enumerate(headings)
    ]


def _understand(text: str, index: int, below: str) -> Heading:
    words, unit = _words_and_unit(text)
    more, unit_below = _unit_and_words(below)
    unit = unit or unit_below
    spelled = _spell([*words, *more])
    quantity = _quantity(spelled, unit)
    if quantity is None and more:
        spelled = _spell(words)
        quantity = _quantity(spelled, unit)
    if unit and quantity and FAMILY.get(quantity, unit.family) != unit.family:
        quantity = None
    return Heading(" ".join(text.split()), index, quantity, unit, spelled)


def _words_and_unit(text: str) -> tuple[list[str], Unit | None]:
    """Split a heading into its words and the unit it states in brackets or at its end."""
    for side, words_for_it in _SIDES:
        text = side.sub(words_for_it, text)
    unit: Unit | None = None
    extra: list[str] = []
    for inside in _BRACKETS.findall(text):
        more, found = _unit_and_words(inside)
        unit = unit or found
        extra += more
    words = _split(_BRACKETS.sub(" ", text))
    if unit is None:
        words, unit = _strip_unit(words)
    return words + extra, unit


def _unit_and_words(text: str) -> tuple[list[str], Unit | None]:
    """Read a text that is a unit, perhaps with words beside it, such as ``ft msl``."""
    whole = unit_of(text)
    if whole or not text.strip():
        return [], whole
    parts = text.split()
    for size in range(len(parts) - 1, 0, -1):
        found = unit_of("".join(parts[:size]))
        if found:
            return _split(" ".join(parts[size:])), found
    return _strip_unit(_split(text), whole=True)


def _split(text: str) -> list[str]:
    # An accent may stand as a character of its own behind its letter.
    return _WORD.findall(_CAMEL.sub(" ", normalize("NFC", text)).lower())


def _strip_unit(words: list[str], *, whole: bool = False) -> tuple[list[str], Unit | None]:
    """Take a unit off the end of a heading, or a long one out of its middle."""
    for size in range(min(_LONGEST_UNIT, len(words) - (not whole)), 0, -1):
        for joint in ("/", ""):
            found = unit_of(joint.join(words[-size:]))
            if found:
                return words[:-size], found
    for place, word in enumerate(words[1:], start=1):
        found = None if word in _ONLY_LAST else unit_of(word)
        if found:
            return words[:place] + words[place + 1 :], found
    return words, None


def _spell(words: Sequence[str]) -> frozenset[str]:
    spelled: set[str] = set()
    for word in words:
        spelled.update(SPELLING.get(word, word).split())
    return frozenset(spelled)


def _quantity(words: frozenset[str], unit: Unit | None) -> str | None:
    for rule in RULES:
        if rule.needs <= words and words <= rule.needs | rule.may | FILLER:
            if rule.unit_family and (unit is None or unit.family != rule.unit_family):
                continue
            return rule.quantity
    return None
