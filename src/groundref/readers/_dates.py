"""Dates in the orders that people write them, told apart once for a whole column."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Final

_PARTS: Final = re.compile(r"\s*(\d{1,4})([./\-\s])(\d{1,2})\2(\d{1,4})")
_RUN: Final = re.compile(r"\s*(\d{4})(\d\d)(\d\d)(?!\d)")
_IN_TEXT: Final = re.compile(r"(?<!\d)(20\d\d)[-_.]?([01]\d)[-_.]?([0-3]\d)(?!\d)")


@dataclass(frozen=True, slots=True)
class DateOrder:
    """How the dates of one column are written.

    Attributes
    ----------
    day_first
        Whether a date that does not begin with its year begins with its day.
    certain
        False when nothing in the column tells day and month apart.
    """

    day_first: bool = False
    certain: bool = True


def order_of(texts: Iterable[str]) -> DateOrder:
    """Find the order of day and month that fits all of ``texts``."""
    undecided = False
    for text in texts:
        match = _PARTS.match(text)
        if not match or len(match[1]) == 4:
            continue
        if (
            match[2] == "." or int(match[1]) > 12
        ):  # dots: day.month.year throughout (common practice, no source)
            return DateOrder(day_first=True)
        if int(match[3]) > 12:
            return DateOrder(day_first=False)
        undecided = True
    return DateOrder(day_first=False, certain=not undecided)


def split_date(text: str, order: DateOrder) -> tuple[str, str] | None:
    """Return the date as ``YYYY-MM-DD`` and what follows it, or None when ``text`` begins with no date."""
    match = _PARTS.match(text) or _RUN.match(text)
    if not match:
        return None
    rest = text[match.end() :].lstrip(" T,;\t")
    if match.re is _RUN:
        year, month, day = match[1], match[2], match[3]
    elif len(match[1]) == 4:
        year, month, day = match[1], match[3], match[4]
    else:
        day, month = (match[1], match[3]) if order.day_first else (match[3], match[1])
        year = match[4] if len(match[4]) == 4 else f"20{match[4]:0>2}"
    return f"{year}-{month:0>2}-{day:0>2}", rest


def day_seconds(iso: str) -> float:
    """Return the seconds from 1970 to midnight of an ISO date; NaN when the calendar has no such day [s]."""
    try:
        return datetime.fromisoformat(iso).replace(tzinfo=UTC).timestamp()
    except ValueError:
        return float("nan")


def date_in(text: str) -> str | None:
    """Return the first date of this century that stands anywhere in ``text``, as ``YYYY-MM-DD``."""
    for match in _IN_TEXT.finditer(text):
        iso = f"{match[1]}-{match[2]}-{match[3]}"
        if day_seconds(iso) == day_seconds(iso):
            return iso
    return None
