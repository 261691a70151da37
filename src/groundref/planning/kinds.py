"""How each kind of maneuver is laid out, and how steep it gets."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from groundref.errors import UsageError
from groundref.planning import (
    eights,
    eights_on_pylons,
    rectangular_course,
    s_turns,
    steep_turns,
    turns_around_a_point,
)
from groundref.planning.inputs import Inputs
from groundref.planning.layout import LayOut
from groundref.planning.steepest import Steepest, by_arcs, by_layout
from groundref.standards import lie

LAYOUTS: Final[Mapping[str, LayOut]] = MappingProxyType(
    {
        "turns-around-a-point": turns_around_a_point.layout,
        "s-turns": s_turns.layout,
        "rectangular-course": rectangular_course.layout,
        lie.ALONG: eights.layout,
        lie.ACROSS: eights.layout,
        lie.AROUND: eights.layout,
        "eights-on-pylons": eights_on_pylons.layout,
        "steep-turns": steep_turns.layout,
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


def steepest_of(inputs: Inputs) -> Steepest:
    """Return the steepest bank of a plan's maneuver as it hangs on airspeed, wind and radius.

    Parameters
    ----------
    inputs
        Of the plan; their airspeed, wind speed and radius do not count.

    Raises
    ------
    UsageError
        When there is no such kind.
    """
    if inputs.kind == "eights-on-pylons":
        return eights_on_pylons.steepest_of(inputs)
    # The corners of a rectangle change with the wind, and steep turns are no arcs over the ground.
    arcs = inputs.kind not in ("rectangular-course", "steep-turns")
    return (by_arcs if arcs else by_layout)(lay_out_of(inputs.kind), inputs)
