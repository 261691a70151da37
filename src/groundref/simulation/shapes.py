"""Which maneuver is flown how: from an exercise to its shape."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from typing import Final

from groundref.errors import UsageError
from groundref.simulation import around_point, eights, on_pylons, rectangular_course, s_turns, steep_turns
from groundref.simulation.exercise import Exercise, Shape

SHAPES: Final[Mapping[str, Callable[[Exercise], Shape]]] = {
    "turns-around-a-point": around_point.shape,
    "s-turns": s_turns.shape,
    "rectangular-course": rectangular_course.shape,
    **dict.fromkeys(eights.FAULTS_THAT_APPLY, eights.shape),
    "eights-on-pylons": on_pylons.shape,
    "steep-turns": steep_turns.shape,
}
# The faults that can be committed in each.
APPLYING: Final[Mapping[str, Collection[str]]] = {
    "turns-around-a-point": around_point.FAULTS_THAT_APPLY,
    "s-turns": s_turns.FAULTS_THAT_APPLY,
    "rectangular-course": rectangular_course.FAULTS_THAT_APPLY,
    **eights.FAULTS_THAT_APPLY,
    "eights-on-pylons": on_pylons.FAULTS_THAT_APPLY,
    "steep-turns": steep_turns.FAULTS_THAT_APPLY,
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
        When its kind cannot be simulated, or a fault cannot be committed in it.
    NoSolutionError
        When the wind, the radius or the height does not let it be flown.
    """
    kind = known_kind(exercise.kind)
    applying = APPLYING[kind]
    for name in exercise.faults.told():
        if name not in applying:
            raise UsageError(
                f"{name} cannot be committed in {kind}",
                "fault",
                "choose among " + ", ".join(sorted(applying)),
            )
    return SHAPES[kind](exercise)


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
