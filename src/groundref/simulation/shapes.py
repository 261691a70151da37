"""Which maneuver is flown how: from an exercise to its shape."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from groundref.errors import UsageError
from groundref.simulation import around_point, on_pylons, rectangular_course, steep_turns
from groundref.simulation.exercise import Exercise, Shape

SHAPES: Final[Mapping[str, Callable[[Exercise], Shape]]] = {
    "turns-around-a-point": around_point.shape,
    "rectangular-course": rectangular_course.shape,
    "eights-on-pylons": on_pylons.shape,
    "steep-turns": steep_turns.shape,
}


def shape(exercise: Exercise) -> Shape:
    """Return the shape of an exercise.

    Parameters
    ----------
    exercise
        What is to be flown.

    Raises
    ------
    UsageError
        When its kind cannot be simulated.
    NoSolution
        When the wind, the radius or the height does not let it be flown.
    """
    return SHAPES[known_kind(exercise.kind)](exercise)


def known_kind(kind: str) -> str:
    """Return a kind that can be simulated.

    Raises
    ------
    UsageError
        When it is none.
    """
    if kind not in SHAPES:
        raise UsageError(f"{kind!r} cannot be simulated", "maneuver", "choose " + ", ".join(SHAPES))
    return kind
