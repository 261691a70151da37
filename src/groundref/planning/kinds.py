"""How each kind of maneuver is laid out."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from groundref.errors import UsageError
from groundref.planning import turns_around_a_point
from groundref.planning.layout import LayOut

LAYOUTS: Final[Mapping[str, LayOut]] = MappingProxyType(
    {
        "turns-around-a-point": turns_around_a_point.layout,
    }
)


def lay_out_of(kind: str) -> LayOut:
    """Return what lays out a kind.

    Raises
    ------
    UsageError
        When there is no such kind.
    """
    if kind not in LAYOUTS:
        raise UsageError(
            f"{kind!r} is not a maneuver that can be planned", "", f"choose {', '.join(LAYOUTS)}"
        )
    return LAYOUTS[kind]
