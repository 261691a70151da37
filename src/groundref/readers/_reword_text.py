"""GPX, JSON and text tables with words taken out, each in the ways that are tried one after the other."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from html import unescape
from typing import Final, Protocol
from xml.sax.saxutils import escape

# Comments, character data, instructions, tags and the text between them: together the whole document, also
# one that breaks off.
_MARKUP: Final = re.compile(
    r"<!--.*?(?:-->|\Z)|<!\[CDATA\[.*?(?:\]\]>|\Z)|<\?.*?(?:\?>|\Z)"
    r"""|<(?:[^"'<>]|"[^"]*"|'[^']*')*>|[^<]+|<""",
    re.DOTALL,
)
_ATTRIBUTE: Final = re.compile(r"""(\s([^\s=<>"']+)\s*=\s*)("[^"]*"|'[^']*')""")
_STRING: Final = re.compile(r'"(?:[^"\\]|\\.)*"', re.DOTALL)
_KEY: Final = re.compile(r"\s*:")
_COMMENT_MARKS: Final = ("#", "%", ";", "/", "*")


class Words(Protocol):
    """Words to be taken out of a text."""

    def may_stand_in(self, text: str) -> bool:
        """Whether a text is worth a closer look; never False where they stand."""

    def stands_in(self, text: str, *, parts: bool = True) -> bool:
        """Whether they stand in a text; with ``parts``, whether any of them does by itself."""

    def out_of(self, text: str, *, parts: bool = True, apart: bool = False) -> str:
        """Return a text without them; with ``apart``, what stands between them is kept."""


def reworded_gpx(text: str, words: Words) -> Iterator[str]:
    """Give GPX without the words in its texts, attributes and comments; its tags stay."""
    yield "".join(_piece(match.group(), words) for match in _MARKUP.finditer(text))


def _piece(piece: str, words: Words) -> str:
    if not words.may_stand_in(piece) and "&" not in piece:
        return piece
    if piece.startswith(("<!--", "<![CDATA[", "<?")):
        return words.out_of(piece)
    if piece.startswith("<"):
        return _ATTRIBUTE.sub(lambda match: _attribute(match, words), piece)
    return _escaped(piece, words)


def _attribute(match: re.Match[str], words: Words) -> str:
    before, name, quoted = match.groups()
    if name.startswith("xmlns"):
        return match.group()
    return f"{before}{quoted[0]}{_escaped(quoted[1:-1], words)}{quoted[0]}"


def _escaped(text: str, words: Words) -> str:
    """Return text of XML without the words, also where letters of them are written as numbers."""
    plain = unescape(text)
    reworded = words.out_of(plain)
    return text if reworded == plain else escape(reworded, {'"': "&quot;", "'": "&apos;"})


def reworded_json(text: str, words: Words) -> Iterator[str]:
    """Give JSON without the words in its strings; names of columns lose only all of them together."""

    def string(match: re.Match[str]) -> str:
        key = _KEY.match(text, match.end()) is not None
        try:
            plain = str(json.loads(match.group(), strict=False))
        except ValueError:
            return match.group()
        new = words.out_of(plain, parts=not key)
        return match.group() if new == plain else json.dumps(new)

    yield _STRING.sub(string, text)


def reworded_table(text: str, words: Words) -> Iterator[str]:
    """Give a text table without the words; cells stay cells.

    Should one of the words be a heading that the reader needs, only comments lose it, and the rest of the
    table loses only all of them together.
    """
    yield words.out_of(text, apart=True)
    lines = text.splitlines(keepends=True)
    yield "".join(
        words.out_of(line, parts=line.lstrip().startswith(_COMMENT_MARKS), apart=True) for line in lines
    )
