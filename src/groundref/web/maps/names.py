"""Names of places and airfields on the map, as many as have room."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from markupsafe import Markup

from groundref.reports import svg
from groundref.reports.figures.labels import Box, text_box
from groundref.web.maps.papers import Paper

_MOST: Final = 12
_LONGEST: Final = 40  # letters
_APART: Final = 6.0  # paper between two names


@dataclass(frozen=True, slots=True)
class Name:
    """A name.

    Attributes
    ----------
    says
        The name.
    x, y
        Its place on paper.
    behind
        How far it stands back behind others; the least goes first.
    """

    says: str
    x: float
    y: float
    behind: float


def written(names: Iterable[Name], paper: Paper) -> Iterator[Markup]:
    """Yield the names that have room, the foremost first."""
    taken: list[Box] = []
    for name in sorted(names, key=lambda one: (one.behind, one.says, one.x, one.y)):
        says = name.says[:_LONGEST]
        box = text_box(name.x, name.y, says, "middle")
        inside = box[0] >= 0 and box[1] >= 0 and box[2] <= paper.width and box[3] <= paper.height
        if inside and not any(_meet(box, other) for other in taken):
            taken.append(box)
            yield svg.text(name.x, name.y, says, "middle", class_="map-name")
        if len(taken) == _MOST:
            return


def _meet(one: Box, other: Box) -> bool:
    return (
        one[0] < other[2] + _APART
        and other[0] < one[2] + _APART
        and one[1] < other[3] + _APART
        and other[1] < one[3] + _APART
    )
