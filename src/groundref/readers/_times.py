"""Time stamps as text or numbers to seconds since 1970-01-01 UTC; a cell that cannot be read becomes NaN."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
DAY: Final = 86400.0  # [s]

_SHAPE: Final = re.compile(rb"\d{4}-\d\d-\d\d[T ]\d\d:\d\d:\d\d(?:\.\d{1,6})?(?:Z|\+00:00)?")
_ZONE: Final = re.compile(r"(?:Z|UTC|GMT|[+-]\d\d(?::?\d\d)?)$", re.IGNORECASE)
_CLOCK: Final = re.compile(
    r"(\d{1,2})[:h](\d{1,2})(?:[:m](\d{1,2}(?:[.,]\d*)?))?\s*([ap])?\.?m?\.?\s*(?:Z|UTC)?", re.IGNORECASE
)
_CLOCK_RUN: Final = re.compile(r"(\d\d)(\d\d)(\d\d(?:\.\d*)?)Z?")
_OFFSET: Final = re.compile(r"(?:UTC|GMT)?\s*([+\-−]?)(\d{1,2})(?::?(\d\d))?(?::00)?", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Moments:
    """Moments read from text.

    Attributes
    ----------
    seconds
        Since 1970-01-01 UTC; NaN where the text is no moment [s]
    without_zone
        How many stated neither UTC nor an offset; they are taken as UTC.
    """

    seconds: Floats
    without_zone: int


def iso_moments(texts: Sequence[str]) -> Moments:
    """Read ISO 8601 date and time.

    Stamps that all have one shape, which is what a recorder writes, are read at once; any other column
    is read cell by cell.
    """
    if not texts:
        return Moments(np.empty(0), 0)
    quick = _uniform(texts)
    if quick is not None:
        return quick
    read = [_iso_moment(text) for text in texts]
    return Moments(np.array([moment for moment, _ in read]), sum(bare for _, bare in read))


def _uniform(texts: Sequence[str]) -> Moments | None:
    """Read stamps of one shape, or return None when they are not."""
    first = texts[0].encode("ascii", errors="replace")
    if not _SHAPE.fullmatch(first):
        return None
    try:
        cells = np.array(texts, dtype=np.bytes_)
    except UnicodeEncodeError:
        return None
    width = len(first)
    letters = cells.view(np.uint8).reshape(len(texts), -1)
    pattern = np.frombuffer(first, np.uint8)
    digit = (pattern >= ord("0")) & (pattern <= ord("9"))
    zone = 1 if first.endswith(b"Z") else 6 if first.endswith(b"+00:00") else 0
    digit[width - zone :] = False
    if letters.shape[1] != width or (letters[:, ~digit] != pattern[~digit]).any():
        return None
    if ((letters[:, digit] < ord("0")) | (letters[:, digit] > ord("9"))).any():
        return None
    bare = np.ascontiguousarray(letters[:, : width - zone]).view(f"S{width - zone}").ravel()
    try:
        moments = bare.astype("datetime64[us]")
    except ValueError:  # the thirtieth of February
        return None
    return Moments(moments.astype(np.int64).astype(np.float64) * 1e-6, 0 if zone else len(texts))


def _iso_moment(text: str) -> tuple[float, bool]:
    """Return the seconds of one stamp and whether it stated no zone."""
    text = text.strip()
    if text[-3:].upper() in {"UTC", "GMT"}:
        text = text[:-3].rstrip() + "Z"
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        return np.nan, False
    if ":" not in text and "T" not in text:
        return np.nan, False  # a date alone is no moment
    if moment.tzinfo is None:
        return moment.replace(tzinfo=UTC).timestamp(), True
    return moment.timestamp(), False


def clock_seconds(texts: Sequence[str]) -> Floats:
    """Read the time of day, ``12:34:56.7`` with or without AM/PM, or ``123456`` [s since midnight]."""
    quick = _uniform(["1970-01-01T" + text for text in texts] or [""])
    if quick is not None:
        return quick.seconds
    return np.array([_clock(text.strip()) for text in texts])


def _clock(text: str) -> float:
    match = _CLOCK.fullmatch(text) or _CLOCK_RUN.fullmatch(text)
    if not match:
        return np.nan
    hour, minute = int(match[1]), int(match[2])
    second = float((match[3] or "0").replace(",", "."))
    half = match[4].lower() if match.re is _CLOCK and match[4] else ""
    if half and not 1 <= hour <= 12:
        return np.nan
    if half:
        hour = hour % 12 + (12 if half == "p" else 0)
    return np.nan if hour > 23 or minute > 59 or second >= 61 else hour * 3600.0 + minute * 60.0 + second


def offset_seconds(text: str) -> float:
    """Read how far local time is ahead of UTC: ``+02:00``, ``-6``, ``UTC+2``, ``0530`` [s]."""
    if text.strip().upper() in {"Z", "UTC", "GMT"}:
        return 0.0
    match = _OFFSET.fullmatch(text.strip())
    if not match or int(match[2]) > 14:
        return np.nan
    size = int(match[2]) * 3600.0 + int(match[3] or 0) * 60.0
    return -size if match[1] in {"-", "−"} else size


def has_zone(text: str) -> bool:
    """Tell whether a stamp states UTC or an offset."""
    return bool(_ZONE.search(text.strip()))


def numeric_moments(values: Floats, unit: float | None) -> Floats:
    """Return seconds from numbers that count seconds, or milli-, micro- or nanoseconds by their size.

    Parameters
    ----------
    values
        Numbers, all in one unit.
    unit
        The unit where the heading states it; None lets the size of the numbers tell [s]
    """
    if unit is not None:
        return values * unit
    finite = values[np.isfinite(values)]
    middle = float(np.median(finite)) if finite.size else 0.0
    # Today is 1.8e9 s after 1970, and any other unit is a thousand times away from it.
    for limit, factor in ((1e16, 1e-9), (1e13, 1e-6), (1e10, 1e-3)):
        if middle > limit:
            return values * factor
    return values


def over_midnight(seconds: Floats) -> Floats:
    """Add a day each time the time of day falls by more than half a day, and take one where it leaps up."""
    known = np.flatnonzero(np.isfinite(seconds))
    if known.size < 2:
        return seconds
    step = np.diff(seconds[known])
    day = np.cumsum(np.concatenate([[0], np.where(step < -DAY / 2, 1, np.where(step > DAY / 2, -1, 0))]))
    rolled = seconds.copy()
    rolled[known] += day * DAY
    return rolled
