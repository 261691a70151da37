"""Cells of text to numbers; what is missing or is no number becomes NaN."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

MISSING: Final = frozenset(
    {
        "",
        "-",
        "--",
        "---",
        "----",
        "n/a",
        "na",
        "nan",
        "null",
        "none",
        "nil",
        "inf",
        "+inf",
        "-inf",
        "?",
        "*",
        "//",
    }
)
_ABSURD: Final = 1e21  # nanoseconds since 1970 are 1.8e18; nothing larger is a measurement
_HEMISPHERE: Final = re.compile(
    r"(?P<before>[NSEW])?\s*(?P<sign>[+-])?\s*(?P<degree>\d{1,3}(?:\.\d+)?)\s*[°:d\s]?\s*"
    r"(?:(?P<minute>\d{1,2}(?:\.\d+)?)\s*['′:m\s]?\s*)?(?:(?P<second>\d{1,2}(?:\.\d+)?)\s*(?:\"|″|''|s)?\s*)?"
    r"(?P<after>[NSEW])?",
    re.IGNORECASE,
)


def floats(texts: Sequence[str | None]) -> Floats:
    """Read a column of numbers written with a decimal point, or here and there with a comma."""
    try:
        values = np.array(texts, dtype=np.float64)
    except (ValueError, TypeError):
        values = np.array([_float(text) for text in texts], dtype=np.float64)
    return without_absurd(values)


def without_absurd(values: Floats) -> Floats:
    """Make infinite and absurdly large numbers missing, in place."""
    with np.errstate(invalid="ignore"):
        values[~(np.abs(values) < _ABSURD)] = np.nan
    return values


def in_one_line(text: str, most: int = 30) -> str:
    """Return the beginning of a cell as it can stand in a sentence."""
    return " ".join(text.split())[:most]


def _float(text: str | None) -> float:
    if text is None or "_" in text:
        return np.nan
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return np.nan


def is_missing(text: str) -> bool:
    """Tell whether a cell is one of the usual ways to write that there is no value."""
    return text.strip().lower() in MISSING


def degrees(text: str) -> float:
    """Read one latitude or longitude with a hemisphere letter, or in degrees, minutes and seconds [deg]."""
    match = _HEMISPHERE.fullmatch(text.strip().replace(",", "."))
    if not match or (match["before"] and match["after"]):
        return np.nan
    minute, second = float(match["minute"] or 0), float(match["second"] or 0)
    if minute >= 60 or second >= 60:
        return np.nan
    size = float(match["degree"]) + minute / 60 + second / 3600
    letter = (match["before"] or match["after"] or "").upper()
    return -size if (letter in {"S", "W"} and letter) != (match["sign"] == "-") else size
