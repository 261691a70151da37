"""What each kind of maneuver is called in plain words."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

_KINDS: Final = {
    "turns-around-a-point": "Turns around a point",
    "s-turns": "S-turns",
    "rectangular-course": "Rectangular course",
    "eights-along-a-road": "Eights along a road",
    "eights-across-a-road": "Eights across a road",
    "eights-around-pylons": "Eights around pylons",
    "eights-on-pylons": "Eights on pylons",
    "steep-turns": "Steep turns",
}


def title(kind: str) -> str:
    """Return the title of a kind of maneuver, such as `S-turns`.

    Parameters
    ----------
    kind
        Such as `s-turns`.
    """
    return _KINDS.get(kind, kind.replace("-", " ").capitalize())


def in_sentence(kind: str) -> str:
    """Return a kind of maneuver as it stands within a sentence, such as `turns around a point`.

    Parameters
    ----------
    kind
        Such as `turns-around-a-point`.
    """
    name = title(kind)
    return name if name[1:2] == "-" else name[:1].lower() + name[1:]


def kinds(flown: Iterable[tuple[str, int]]) -> str:
    """Return what was flown in a few words, such as `S-turns × 2, steep turns`.

    Parameters
    ----------
    flown
        Kind and number of the maneuvers.
    """
    said = [in_sentence(kind) if times == 1 else f"{in_sentence(kind)} × {times}" for kind, times in flown]
    return ", ".join(said) or "no maneuver found"
