"""The terminal: a console of at most 100 columns, in the letters that the terminal has."""

from __future__ import annotations

import codecs
import os
import sys
import unicodedata
from io import TextIOWrapper
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from rich.console import Console

WIDEST: Final = 100

# What stands in for a character that an output encoding lacks, such as “ in a code page or ± in ASCII.
_PLAIN: Final = {
    "“": '"', "”": '"', "‘": "'", "’": "'", "−": "-", "–": "-", "—": "-", "…": "...", "·": "|", "•": "*",
    "±": "+-", "×": "x", "≤": "<=", "≥": ">=", "→": "->", "─": "-", "━": "-", "│": "|", "°": " deg",
    "\u00a0": " ", "\u202f": " ",
}  # fmt: skip


def console() -> Console:
    """Return the console on standard output, no wider than 100 columns."""
    from rich.console import Console

    spell_out_what_is_missing()
    out = Console(highlight=False)
    # In a pipe and the like the width is not a terminal's 80 columns but ours, or the one asked for.
    asked = os.environ.get("COLUMNS", "")
    told = out.is_terminal or (asked.isdecimal() and int(asked) > 0)
    out.width = min(out.width, WIDEST) if told else WIDEST
    return out


def spell_out_what_is_missing() -> None:
    """Let standard output write plain characters for those that its encoding lacks, instead of failing."""
    codecs.register_error("groundref-plain", _spelled)
    if isinstance(sys.stdout, TextIOWrapper) and sys.stdout.errors == "strict":
        sys.stdout.reconfigure(errors="groundref-plain")


def _spelled(error: UnicodeError) -> tuple[str, int]:
    """Return what to write for characters that could not be encoded, and where to go on."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    missing = error.object[error.start : error.end]
    return "".join(_plain(character) for character in missing), error.end


def _plain(character: str) -> str:
    """Return a character in ASCII: its stand-in, else its letter without the accent, else a question mark."""
    if character in _PLAIN:
        return _PLAIN[character]
    bare = unicodedata.normalize("NFKD", character).encode("ascii", "ignore").decode()
    return bare or "?"
