"""What a maneuver and its parts are called: laps, half circles, loops and eights, circuits, turns."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import Final

from groundref.assessment.assessed import Assessed
from groundref.assessment.flown import is_whole
from groundref.assessment.said import WORDS
from groundref.detection import named
from groundref.reports import words

_ALWAYS_BOTH: Final = (
    "s-turns",
    "eights-along-a-road",
    "eights-across-a-road",
    "eights-around-pylons",
    "eights-on-pylons",
)  # kinds whose turns alternate, so that their direction says nothing
_ROUND: Final = {
    "turns-around-a-point": "round the circle",
    "s-turns": "round the half circles",
}  # going along what is flown over the ground
_PLACE_OF: Final = {
    "turns-around-a-point": "the point",
    "eights-around-pylons": "the pylon",
    "eights-on-pylons": "the pylon",
}  # what directions are counted from where the wind names no place


def lap(kind: str) -> str:
    """Return what one time round is called in a kind of maneuver, such as ``half circle``."""
    return WORDS[kind].lap


def parts(kind: str) -> str:
    """Return what all of them are called, such as ``half circles``."""
    return f"{lap(kind)}s"


def laps(assessed: Assessed, numbers: Sequence[int]) -> str:
    """Return ``lap 2``, ``half circles 1 and 2`` or ``all loops``; empty for none."""
    m = assessed.maneuver
    if not numbers:
        return ""
    if len(numbers) == len(m.laps) > 2:
        return f"all {parts(m.kind)}"
    return f"{lap(m.kind)}{'s' if len(numbers) > 1 else ''} {words.listed([str(n) for n in numbers])}"


def round_it(kind: str) -> str:
    """Return going along it, such as ``round the circle``."""
    return _ROUND.get(kind, "round the loops")


def place_of(kind: str) -> str:
    """Return what the places are directions from where the wind does not name them."""
    return _PLACE_OF.get(kind, "its middle")


def heading(assessed: Assessed) -> str:
    """Return the title of a maneuver, such as ``Turns around a point, left, 2 laps``."""
    return ", ".join(part for part in (short(assessed), how_many(assessed)) if part)


def within(assessed: Assessed) -> str:
    """Return the title of a maneuver within a sentence, such as ``steep turns, left, 2 turns``."""
    title = heading(assessed)
    return title.replace(named.title(assessed.maneuver.kind), named.in_sentence(assessed.maneuver.kind), 1)


def short(assessed: Assessed) -> str:
    """Return the kind with its direction, where that says anything: ``Steep turns, left then right``."""
    m = assessed.maneuver
    name = named.title(m.kind)
    return name if m.kind in _ALWAYS_BOTH else f"{name}, {direction(assessed)}"


def direction(assessed: Assessed) -> str:
    """Return ``left``, ``right``, or in which order both were flown."""
    m = assessed.maneuver
    if m.direction != "both":
        return m.direction
    order = [way for way, _ in groupby("right" if each.turn > 0 else "left" for each in m.laps)]
    return " then ".join(order) if len(order) == 2 else f"left and right, first {order[0]}"


def how_many(assessed: Assessed) -> str:
    """Return how many times round, one that stopped well short of a whole one being only a part."""
    m = assessed.maneuver
    word = lap(m.kind)
    whole = sum(is_whole(each, m.kind) for each in m.laps)
    if not whole:
        return f"part of a {word}" if len(m.laps) == 1 else f"parts of {words.count(len(m.laps), word)}"
    part = whole < len(m.laps)
    if word == "loop" and whole > 1:
        rest = ["a loop"] if whole % 2 else []
        rest += [f"part of {'another' if rest else 'a loop'}"] if part else []
        return words.listed([words.count(whole // 2, "eight"), *rest])
    return f"{words.count(whole, word)}{' and a part' if part else ''}"
