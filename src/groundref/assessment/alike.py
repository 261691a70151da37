"""What the pictures of two maneuvers side by side have in common, so that they can be compared by eye."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

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
