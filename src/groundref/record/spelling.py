"""A person's name as it may be spelled in texts, file names and recordings, and texts without it."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from typing import Final

_SHORTEST_PART: Final = 3  # letters; shorter parts of a name are taken out with the whole name alone
# Any letter; accents written as letters of their own; bytes of an old code in a text read as UTF-8.
_LETTER: Final = r"[^\W\d_]"
_MARK: Final = r"[\u0300-\u036f\udc80-\udcff]"
_BETWEEN: Final = r"[\W_]{0,3}?"
_INSTEAD: Final = ("someone", "nobody", "a person", "–")
_TWO_LETTERS: Final = {
    "ä": "ae", "ö": "oe", "ü": "ue", "ß": "ss", "å": "aa", "ø": "oe", "æ": "ae", "œ": "oe",
}  # fmt: skip


class Name:
    """A name to be taken out of texts.

    It is found whole, whatever its capitals and whatever stands between its words (`Jo Brandt`, `jo_brandt`,
    `JOBRANDT`, `Brandt, Jo`), with its accents, without them or spelled out, and each of its parts of three
    letters or more where that stands as a word of its own. Letters around it make it another word: Jo stays
    in Jones.

    Parameters
    ----------
    name
        The whole name.
    others
        Names of others; where one of them stands whole, it stays, also what it shares with this one.
    """

    def __init__(self, name: str, others: Iterable[str] = ()) -> None:
        words = _words(name)
        self._parts = sorted({word for word in words if sum(map(str.isalpha, word)) >= _SHORTEST_PART})
        self._probes = _probes(self._parts or [max(words, key=len)]) if words else {name.casefold()}
        own = re.compile("|".join(_ways([name], self._parts)), re.IGNORECASE)
        known = [name, *(other for other in others if other != name and own.search(other))]
        known.sort(key=len, reverse=True)  # the longest that stands somewhere is what is meant there
        self._own = f"n{known.index(name)}"
        self._whole = re.compile("|".join(_ways(known, [])), re.IGNORECASE)
        self._any = re.compile("|".join(_ways(known, self._parts)), re.IGNORECASE)
        self.instead = next(word for word in _INSTEAD if not own.search(word))

    def may_stand_in(self, text: str) -> bool:
        """Whether a text is worth a closer look; quick, and never False where the name stands."""
        low = text.casefold()
        return any(probe in low for probe in self._probes)

    def stands_in(self, text: str, *, parts: bool = True) -> bool:
        """Whether the name stands in a text, or a part of it."""
        found = (self._any if parts else self._whole).finditer(text)
        return any(self._is_own(match) for match in found)

    def out_of(self, text: str, *, parts: bool = True, apart: bool = False) -> str:
        """Return a text without the name.

        Parameters
        ----------
        text
            Any.
        parts
            Whether parts of the name go too.
        apart
            Whether each word of the name is replaced by itself, with what is between them kept, as the cells
            of a table need it.
        """
        if not self.may_stand_in(text):
            return text

        def instead(match: re.Match[str]) -> str:
            if not self._is_own(match):
                return match.group()
            if not apart:
                return self.instead
            return re.sub(rf"(?:[^\W_]|{_MARK})+", self.instead, match.group())

        return (self._any if parts else self._whole).sub(instead, text)

    def _is_own(self, match: re.Match[str]) -> bool:
        """Whether this name was found, or a part of it, and not the whole name of another."""
        return match.lastgroup in (self._own, "part")


def _ways(names: list[str], parts: list[str]) -> list[str]:
    """Return patterns of whole names, each a group of its own, and of parts of one."""
    ways = [f"(?P<n{number}>{_whole(name)})" for number, name in enumerate(names)]
    if parts:
        ways.append("(?P<part>" + "|".join(_alone(part) for part in parts) + ")")
    return ways


def _whole(name: str) -> str:
    """Return the pattern of a whole name, also with its last word first."""
    words = _words(name)
    if not words:
        return re.escape(name)
    orders = [words] if len(words) == 1 else [words, [words[-1], *words[:-1]]]
    if len(words) == 1:
        return _alone(words[0])
    # Run together with other words, as in JoBrandtLesson3, capitals part them.
    before, after = (rf"(?:{look}|(?<=(?-i:[a-z]))(?=(?-i:[A-Z])))" for look in _around(name))
    return "|".join(f"{before}{_BETWEEN.join(map(_spelled, order))}{after}" for order in orders)


def _alone(word: str) -> str:
    """Return the pattern of a word that stands by itself."""
    before, after = _around(word)
    return f"{before}{_spelled(word)}{after}"


def _around(name: str) -> tuple[str, str]:
    """Return what looks ahead of a name and behind it: no letter may stand there.

    No digit either where the name ends in one, or is so short that it would be found in numbers and times.
    """
    short = sum(map(str.isalpha, name)) < _SHORTEST_PART
    before, after = f"(?<!{_LETTER}|{_MARK})", f"(?!{_LETTER}|{_MARK})"
    if short or name[0].isdigit():
        before += "(?<![0-9])(?<![0-9][.,:])"
    if short or name[-1].isdigit():
        after += "(?![.,:]?[0-9])"
    return before, after


def _spelled(word: str) -> str:
    """Return the pattern of a word in each of its spellings."""
    return "(?:" + "|".join(map(re.escape, _spellings(word))) + ")"


def _spellings(word: str) -> list[str]:
    """Return the ways to write a word, the longest first."""
    low = word.casefold()
    plain = "".join(c for c in unicodedata.normalize("NFKD", word) if not unicodedata.combining(c))
    spelled = "".join(_TWO_LETTERS.get(c, c) for c in word.lower())
    ways = {word, low, word.upper(), word.lower(), plain, spelled}
    ways |= {unicodedata.normalize("NFD", way) for way in ways}
    ways |= {_in_old_code(way) for way in (word, word.lower(), word.upper())}
    return sorted(ways, key=lambda way: (-len(way), way))


def _in_old_code(word: str) -> str:
    """Return how a word in Western European looks in a text that is read as UTF-8."""
    return word.encode("cp1252", "replace").decode("utf-8", "surrogateescape")


def _probes(words: list[str]) -> list[str]:
    """Return what to look for in a text without capitals; where none of it stands, the name does not."""
    return sorted({way.casefold() for word in words for way in _spellings(word)})


def _words(name: str) -> list[str]:
    """Return the words of a name, without what parts them."""
    return re.findall(r"[^\W_]+", unicodedata.normalize("NFC", name))
