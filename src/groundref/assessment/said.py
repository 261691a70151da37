"""How numbers are said in findings and notes; lengths and speeds are left open (see `measures`)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from groundref.measures import length_sd
from groundref.units import degree


def plus_minus(length: float) -> str:
    """Say the standard deviation of a length [m]."""
    return f"± {length_sd(length)}"


def degrees(angle: float) -> str:
    """Say an angle in whole degrees [rad]."""
    return f"{angle / degree:.0f}°"


def bearing(direction: float) -> str:
    """Say a true direction as three figures, north as 360 [rad]."""
    return f"{round(direction / degree) % 360 or 360:03d}°"


@dataclass(frozen=True, slots=True)
class Words:
    """What the parts of a kind of maneuver are called.

    Attributes
    ----------
    lap
        One time round.
    shape
        What is flown over the ground in it.
    about
        What distance is held from.
    look
        What to look back at.
    """

    lap: str
    shape: str
    about: str
    look: str


_LOOP: Final = Words("loop", "loop", "the middle of the loop", "the road")
WORDS: Final[Mapping[str, Words]] = {
    "turns-around-a-point": Words("lap", "circle", "the point", "the point"),
    "s-turns": Words("half circle", "half circle", "its middle on the line", "the line"),
    "rectangular-course": Words("circuit", "turn", "the boundary", "the boundary"),
    "eights-along-a-road": _LOOP,
    "eights-across-a-road": _LOOP,
    "eights-around-pylons": Words("loop", "loop", "the pylon", "the pylon"),
    "eights-on-pylons": Words("loop", "loop", "the pylon", "the pylon"),
    "steep-turns": Words("turn", "turn", "its middle", "the horizon"),
}


def laps_named(laps: tuple[int, ...], word: str) -> str:
    """Say lap numbers within a sentence, with a space before: ` in lap 2`; empty for none."""
    said = laps_said(laps, word)
    return f" in {said[0].lower()}{said[1:]}" if laps else ""


def laps_said(laps: tuple[int, ...], word: str) -> str:
    """Say lap numbers as the beginning of a sentence: `Lap 2`, `Half circles 1 and 3`."""
    if not laps:
        return "In the turn"
    one = f"{word[0].upper()}{word[1:]}"
    if len(laps) == 1:
        return f"{one} {laps[0]}"
    return f"{one}s {', '.join(str(lap) for lap in laps[:-1])} and {laps[-1]}"
