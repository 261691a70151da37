"""What the pictures of two maneuvers side by side have in common, so that they can be compared by eye.

Said once, where the pictures of one of the two are begun, as the reader's units are (``reading``): nothing of
the drawing lies in what was assessed.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from typing import Final

Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Alike:
    """Ranges that hold both of two maneuvers of one kind.

    Attributes
    ----------
    wide, tall
        Ground that each picture from above holds, east to west and north to south [m]
    by_wind
        Whether the places of the circle are named by the wind in both; else by the compass in both.
    direction
        Which way was turned, `both` where the two differ.
    start, reach
        Where the circle is cut open, and how much more than one turn is shown, as half circles of the two may
        begin at other places [rad]
    bank
        Least and largest bank into the turn [rad]
    duration
        Time along the paper [s]
    spans
        Least and largest value of each quantity along time, by its key, SI.
    """

    wide: float
    tall: float
    by_wind: bool
    direction: str
    start: float
    reach: float
    bank: Span
    duration: float
    spans: Mapping[str, Span]


_shared: Final[ContextVar[Alike | None]] = ContextVar("shared with the pictures of another", default=None)


@contextmanager
def drawn_on(paper: Alike) -> Iterator[None]:
    """Draw on like paper what is drawn inside.

    Parameters
    ----------
    paper
        What the pictures share with those of the other maneuver.
    """
    before = _shared.set(paper)
    try:
        yield
    finally:
        _shared.reset(before)


def shared() -> Alike | None:
    """Return what the pictures share with those of another maneuver; None for pictures by themselves."""
    return _shared.get()
