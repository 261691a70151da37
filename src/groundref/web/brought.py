"""Recordings as they are brought: which of them the record has already, and what is said of that."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass

from sqlalchemy import Connection

from groundref.record.lessons import LessonRow, digests, holding, shown
from groundref.track.counting import counted
from groundref.web.work import Parts


@dataclass(frozen=True, slots=True)
class Held:
    """A recording that the record has already.

    Attributes
    ----------
    place
        Among those brought, from 0.
    recording
        Name of the file.
    lesson
        Number of the lesson that it is.
    page
        Its address.
    flown
        When and by whom, in words.
    """

    place: int
    recording: str
    lesson: int
    page: str
    flown: str


def held(connection: Connection, parts: Parts) -> tuple[Held, ...]:
    """Return which recordings are there already, by what they hold and not by their names.

    Parameters
    ----------
    connection
        In a transaction.
    parts
        Name and content of each.
    """
    found = enumerate(zip(parts, digests(parts), strict=True))
    return tuple(
        Held(place, name, number, f"/lessons/{number}", _flown(shown(connection, number).row))
        for place, ((name, _), digest) in found
        if (number := holding(connection, [digest])) is not None
    )


def _flown(row: LessonRow) -> str:
    return f"{row.date}, {row.student or 'nobody named yet'}"


def said(there: Sequence[Held], brought: int) -> str:
    """Return in a sentence or two what is there already and was not kept once more.

    Parameters
    ----------
    there
        At least one.
    brought
        How many recordings were.
    """
    each = "; ".join(f"{one.recording} is lesson {one.lesson} ({one.flown})" for one in there)
    left = brought - len(there)
    if not left:
        return f"The record has this already: {each}. Nothing was added."
    return (
        f"The record has a part of this already: {each}. Nothing was added; "
        f"{counted(left, 'file')} {'is' if left == 1 else 'are'} new, and can be brought without it."
    )


def plain(there: Sequence[Held]) -> list[dict[str, object]]:
    """Return it for an answer in JSON."""
    return [asdict(one) for one in there]
