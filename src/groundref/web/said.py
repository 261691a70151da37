"""What was kept, said once: on the page that follows what was sent, and not when that is read again.

The page is led to by an address with a word of its own, `/lessons/3?said=WORD#said`, that is good for one
answer: so another tab never says what this one has kept, and it works without scripts.
"""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass, field
from secrets import token_urlsafe
from typing import Final

from litestar.response import Redirect

_MOST: Final = 256  # that nobody has come for; the oldest gives way


@dataclass(frozen=True, slots=True)
class Said:
    """What is to be said.

    Attributes
    ----------
    number
        Of the lesson.
    part
        Of its page, by the name of the place there.
    words
        One or two sentences.
    way
        Address and words of what can be done about it; empty where there is nothing.
    """

    number: int
    part: str
    words: str
    way: tuple[str, str] = ("", "")


@dataclass(slots=True)
class Sayings:
    """What is to be said and was not yet."""

    _waiting: OrderedDict[str, Said] = field(default_factory=OrderedDict)

    def back(self, number: int, part: str, words: str, way: tuple[str, str] = ("", "")) -> Redirect:
        """Return an answer that leads to a lesson's page, which says this."""
        word = token_urlsafe(9)
        self._waiting[word] = Said(number, part, words, way)
        while len(self._waiting) > _MOST:
            self._waiting.popitem(last=False)
        return Redirect(f"/lessons/{number}?said={word}#said", status_code=303)

    def once(self, word: str, number: int) -> Said | None:
        """Return what is to be said on a lesson's page, once; None where there is nothing."""
        said = self._waiting.get(word)
        return self._waiting.pop(word) if said is not None and said.number == number else None
