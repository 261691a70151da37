"""A wind that the user gave, told apart from one that was found; loaded where no debrief is made, too."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from groundref.reports import words
from groundref.units import knot

BEGINS: Final = "The wind was given"
"""So the estimation's note on it begins."""
_FOUND: Final = re.compile(r"contradicts it with (\d{3}°) at (\d+) kt")


def wind_given(notes: Sequence[str]) -> str:
    """Return that the user said the wind, so that no estimate passes for it; empty where it was found.

    Where the recording contradicts it, what it says itself stands beside it: the ± of a wind that was given
    tells nothing of that.

    Parameters
    ----------
    notes
        On the motion, as the estimation made them.
    """
    note = next((each for each in notes if each.startswith(BEGINS)), "")
    if not note:
        return ""
    found = _FOUND.search(note)
    if found is None:
        return "given"
    return f"given; the recording says {found[1]} at {words.speed(float(found[2]) * knot)}"
