"""What a verdict is called: the one place of its word, its sign, its look on a terminal and what it means.

Debrief, kept lesson, progress, comparison and sheets all take them from here. The sign is drawn in
``marks.html.j2`` under `v-` and the word's mark.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final, Protocol

from groundref.progress.flown import OwnVerdict
from groundref.reports import words


@dataclass(frozen=True, slots=True)
class VerdictWord:
    """How one verdict is told.

    Attributes
    ----------
    mark
        Name of its sign.
    says
        In a word or two.
    means
        What that says of the flight.
    style
        On a terminal, for `rich`.
    """

    mark: str
    says: str
    means: str
    style: str


class Judged(Protocol):
    """An element with its verdict, fresh from the assessment or kept in the record."""

    @property
    def verdict(self) -> str:
        """`met`, `not-met` or `undetermined`."""
        ...

    @property
    def basis(self) -> str:
        """`standard`, `handbook` or `practice`."""
        ...


UNPRINTED: Final = "unprinted"
WORDS: Final = {
    word.mark: word
    for word in (
        VerdictWord("met", "met", "within what is asked, nine in ten sure or more", ""),
        VerdictWord("not-met", "not met", "outside what is asked, nine in ten sure or more", "bold"),
        VerdictWord(
            "undetermined",
            words.CANNOT_TELL,
            "too near the limit to be nine in ten sure, not measured, or only seen on board",
            "dim",
        ),
        VerdictWord(
            UNPRINTED,
            "not judged",
            "no limit is printed; what was flown stands beside the usual value",
            "",
        ),
    )
}


def of(element: Judged) -> VerdictWord:
    """Return how the recording's verdict on an element is told."""
    return WORDS[mark(element.verdict, element.basis)]


def mark(verdict: str, basis: str) -> str:
    """Return the sign of a verdict: what nothing printed judges is not judged, whatever was measured."""
    return UNPRINTED if verdict == "undetermined" and basis == "practice" else verdict


def decided(element: Judged, own: str | None) -> VerdictWord:
    """Return how the verdict that counts is told: the instructor's own where there is one."""
    return of(element) if own is None else WORDS[own]


def counts(marks: Sequence[str]) -> str:
    """Return how many elements came out how, as ``3 met, 1 not met``; what is not judged does not count."""
    said = [f"{marks.count(m)} {word.says}" for m, word in WORDS.items() if m in marks and m != UNPRINTED]
    return ", ".join(said) or "nothing to judge"


def meanings(marks: Iterable[str]) -> list[VerdictWord]:
    """Return the words of signs that stand in a table, each once, to say below it what they mean."""
    there = set(marks)
    return [word for m, word in WORDS.items() if m in there]


def by_whom(own: OwnVerdict) -> str:
    """Return who gave an own verdict and when, as ``Ines Okafor, 28 November 2026``."""
    return f"{own.by or 'an instructor'}, {words.day(datetime.fromisoformat(own.given[:10]))}"
