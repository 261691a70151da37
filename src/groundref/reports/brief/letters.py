"""Which letters the brief can be set in: those of the fonts that come with the typesetter."""

from __future__ import annotations

import unicodedata
from typing import Final

from groundref.errors import UsageError

_SCRIPTS: Final = ("LATIN ", "GREEK ", "CYRILLIC ", "MODIFIER LETTER ")
_LAST: Final = 0x2400  # of the marks, digits and signs that are no letters


def legible(said: str, where: str) -> str:
    """Return some words when the brief has all of their letters.

    Parameters
    ----------
    said
        What is to be printed.
    where
        It comes from, for the message.

    Raises
    ------
    UsageError
        When a letter is missing: it would be printed as an empty box.
    """
    for letter in said:
        if not _known(letter):
            raise UsageError(
                f"the brief has no letter {letter!r}", where, "write it in Latin, Greek or Cyrillic letters"
            )
    return said


def _known(letter: str) -> bool:
    if unicodedata.category(letter).startswith("L"):
        return unicodedata.name(letter, "").startswith(_SCRIPTS) or letter in "ªº"
    return ord(letter) < _LAST
