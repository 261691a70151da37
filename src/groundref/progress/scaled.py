"""Elements of different lessons made comparable: which belong together, how far off each was."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from groundref.progress.flown import ElementFlown, LessonFlown, ManeuverFlown
from groundref.progress.told import Figure

_NAMES: Final = {
    "altitude": "altitude",
    "airspeed": "airspeed",
    "height-band": "height",
    "bank": "bank",
    "bank-held": "bank held",
    "rollout-heading": "rollout heading",
    "entry": "entry",
    "entry-angle": "entry angle",
    "radius": "radius",
    "crossing": "crossing of the line",
    "level-at-line": "wings level at the line",
    "leg-distance": "distance of the legs",
    "pylon": "pylon on the wing line",
    "pivotal-height": "pivotal height",
    "straight-segment": "straight segment",
    "coordination": "coordination",
}


Key = tuple[str, str, str]


def by_element(flown: Sequence[tuple[LessonFlown, Sequence[ManeuverFlown]]]) -> list[list[Figure]]:
    """Return the elements of one kind of maneuver, each with all of its figures in the order flown.

    Code, quantity and unit say what belongs together. A debrief too old to say its quantities is read by what
    newer ones say of the same words; where there is none, the words themselves part the elements of one code.
    They stand in the order of the latest lesson that has them.

    Parameters
    ----------
    flown
        Lessons in order, with the maneuvers of one kind.
    """
    said = {
        (element.code, element.what): element.quantity
        for _, maneuvers in flown
        for maneuver in maneuvers
        for element in maneuver.elements
        if element.quantity
    }
    found: dict[Key, list[Figure]] = {}
    for at, (lesson, maneuvers) in enumerate(flown, start=1):
        for maneuver in maneuvers:
            for element in maneuver.elements:
                quantity = element.quantity or said.get((element.code, element.what), "")
                key = (element.code, quantity or element.what, element.unit)
                figure = Figure(at, lesson.number, lesson.date, maneuver, element, off_of(element))
                found.setdefault(key, []).append(figure)
    return sorted(found.values(), key=_place)


def _place(series: list[Figure]) -> tuple[int, int]:
    last = series[-1]
    return -last.at, last.maneuver.elements.index(last.element)


def quantity_of(series: Sequence[Figure]) -> str:
    """Return the quantity, as the latest debrief that says it has it; empty when none does."""
    return next((figure.element.quantity for figure in reversed(series) if figure.element.quantity), "")


def name_of(series: Sequence[Figure]) -> str:
    """Return an element's name in a word or two; of others the first words of what is asked."""
    what = series[-1].element.what
    return _NAMES.get(quantity_of(series), what.split(" (")[0])


def asked_of(element: ElementFlown) -> float | None:
    """Return what a figure should stay below: the limit, of a band half of its width; None for no limit."""
    if element.limit is None:
        return None
    asked = element.limit if element.minimum is None else (element.limit - element.minimum) / 2.0
    return asked if asked > 0.0 else None


def off_of(element: ElementFlown) -> float | None:
    """Return how far an element was from what is asked; None when not measured.

    Of most elements the figure says that itself. Of a band it is how far from the middle: too low and too
    high count alike.
    """
    if element.worst is None or element.minimum is None or element.limit is None:
        return element.worst
    return abs(element.worst - (element.minimum + element.limit) / 2.0)
