"""The moment of each row, from whichever columns of time, date and offset a table has."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.errors import InputError
from groundref.readers._block import Block
from groundref.readers._cells import in_one_line
from groundref.readers._dates import DateOrder, date_in, day_seconds, order_of, split_date
from groundref.readers._layout import Layout
from groundref.readers._times import (
    DAY,
    clock_seconds,
    has_zone,
    iso_moments,
    numeric_moments,
    offset_seconds,
    over_midnight,
)

Floats = NDArray[np.float64]

_LONG_AGO: Final = 1e8  # [s]  1973: a number below it counts from the start of something else than 1970
_TRIAL: Final = 500  # rows that show how a column is written


class Clock:
    """Reads the moments of one table, block by block.

    Parameters
    ----------
    layout
        Which columns there are.
    where
        Name of the file, for messages and for a date in it.
    preamble
        The lines above the headings, which may state the date.
    date
        Date that the user states, as ``YYYY-MM-DD``.
    """

    def __init__(self, layout: Layout, where: str, preamble: str = "", date: str | None = None) -> None:
        columns = layout.channels
        self._time = columns.get("time_utc") or columns.get("time") or columns["elapsed"]
        self._date = columns.get("date_utc") or columns.get("date")
        utc = self._time.quantity == "time_utc" or "date_utc" in columns
        self._offset = None if utc else columns.get("utc_offset")
        self._stated_utc = utc
        self._where = where
        self._day = date or date_in(preamble) or date_in(where)
        self._kind = ""
        self._order = DateOrder()
        self._days: set[str] = set()
        self._bare = 0
        self._last_ahead = 0.0
        self._shifted = False

    def seconds(self, block: Block) -> Floats:
        """Return the moments of a block, before ``finish`` [s]"""
        if not self._kind:
            self._learn(block)
        if self._kind in {"number", "second of day"}:
            unit = self._time.unit.factor if self._time.unit else None
            counted = numeric_moments(block.numbers(self._time.index), unit)
            if self._kind == "number":
                return counted
            return counted + self._midnights(block) - self._ahead(block)
        texts = block.text(self._time.index)
        if self._kind == "stamp":
            moments = iso_moments(self._in_order(texts))
            self._bare += moments.without_zone
            ahead = self._ahead(block) if moments.without_zone else 0.0
            return moments.seconds - ahead
        return clock_seconds(texts) + self._midnights(block) - self._ahead(block)

    def finish(self, seconds: Floats) -> tuple[Floats, tuple[str, ...]]:
        """Return the moments of the whole table since 1970, and notes on how they were understood."""
        notes = []
        if not self._order.certain:
            notes.append("Dates such as 03/04 do not show their order and were read as month/day.")
        if self._kind in {"clock", "second of day"} and len(self._days) < 2:
            seconds = over_midnight(seconds)
        dated = self._date is not None and self._kind in {"clock", "second of day"}
        finite = seconds[np.isfinite(seconds)]
        if not dated and self._kind != "stamp" and finite.size and np.median(finite) < _LONG_AGO:
            if self._day is None:
                notes.append("The file states no date: its times count from 1970-01-01.")
            else:
                notes.append(
                    f"The date {self._day} was taken from the file's name, its first lines or the mapping."
                )
                seconds = seconds + day_seconds(self._day)
        if self._assumed_utc:
            notes.append("The times state no time zone and were taken as UTC.")
        return seconds, tuple(notes)

    @property
    def _assumed_utc(self) -> bool:
        if self._stated_utc or self._shifted or self._kind == "number":
            return False
        return self._kind != "stamp" or self._bare > 0

    def _learn(self, block: Block) -> None:
        """See from the first rows how the times are written."""
        texts = [text for text in block.text(self._time.index)[:_TRIAL] if text]
        numeric = sum(_is_number(text) for text in texts)
        if numeric > len(texts) / 2:
            self._kind = self._kind_of_numbers(texts)
        else:
            self._order = order_of(texts)
            stamps = sum(split_date(text, self._order) is not None for text in texts)
            self._kind = "stamp" if 2 * stamps > len(texts) else "clock"
        if self._kind != "stamp" and self._date:
            self._order = order_of(block.text(self._date.index)[:100_000])
        if texts and self._kind == "clock" and np.isnan(clock_seconds(texts)).all():
            raise InputError(
                f"has times that cannot be read, such as '{in_one_line(texts[0])}'",
                f"{self._where}: column '{self._time.text}'",
                "write them as 2026-05-01T12:00:00Z, as 12:00:00 beside a date, or as seconds since 1970",
            )

    def _kind_of_numbers(self, texts: Sequence[str]) -> str:
        """Tell a count of seconds from a time of day written without colons, and from seconds of a day."""
        if self._time.unit is None and self._time.quantity != "elapsed" and _all_runs(texts):
            return "clock"
        largest = max(float(text.replace(",", ".")) for text in texts if _is_number(text))
        return "second of day" if self._date is not None and largest <= DAY else "number"

    def _in_order(self, texts: list[str]) -> Sequence[str]:
        """Bring stamps whose date does not begin with the year into ISO order."""
        first = next((text for text in texts if text), "")
        if first[4:5] == "-" and first[7:8] == "-" and first[-2:].lower() not in {"am", "pm"}:
            return texts
        return [self._one_in_order(text) for text in texts]

    def _one_in_order(self, text: str) -> str:
        parts = split_date(text, self._order)
        if parts is None:
            return text
        date, rest = parts
        if rest[-2:].lower() in {"am", "pm"} or rest[1:2] == ":":
            seconds = float(clock_seconds([rest])[0])
            if np.isfinite(seconds):
                whole = int(seconds)
                rest = f"{whole // 3600:02}:{whole // 60 % 60:02}:{whole % 60:02}{f'{seconds % 1:.6f}'[1:]}"
        return f"{date}T{rest}"

    def _midnights(self, block: Block) -> Floats | float:
        if self._date is None:
            return 0.0
        texts = block.text(self._date.index)
        days = {text: self._midnight(text) for text in set(texts)}
        self._days |= {text for text in days if text}
        return np.array([days[text] for text in texts])

    def _midnight(self, text: str) -> float:
        parts = split_date(text, self._order)
        return day_seconds(parts[0]) if parts else np.nan

    def _ahead(self, block: Block) -> Floats | float:
        """Return how far the table's times are ahead of UTC; an empty cell holds the value above it [s]"""
        if self._offset is None:
            return 0.0
        texts = block.text(self._offset.index)
        known = {text: offset_seconds(text) for text in set(texts)}
        ahead = np.array([known[text] for text in texts])
        stated = np.isfinite(ahead)
        if not stated.any():
            return self._last_ahead
        before = self._last_ahead if self._shifted else ahead[stated][0]
        last = np.maximum.accumulate(np.where(stated, np.arange(ahead.size), 0))
        filled = np.where(np.isfinite(ahead[last]), ahead[last], before)
        self._last_ahead, self._shifted = float(filled[-1]), True
        return filled


def _is_number(text: str) -> bool:
    try:
        return bool(np.isfinite(float(text.replace(",", "."))))
    except ValueError:
        return False


def _all_runs(texts: Sequence[str]) -> bool:
    """Tell whether all texts are a time of day without colons, such as 093000 or 093000.5."""
    return all(
        len(text.split(".")[0]) == 6 and not has_zone(text) and np.isfinite(clock_seconds([text])[0])
        for text in texts
    )
