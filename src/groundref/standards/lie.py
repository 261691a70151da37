"""How S-turns and elementary eights usually lie to the wind, for plans and for simulated lessons alike.

Angles are true [rad]; `downwind` is the track straight downwind, `side` the first turn, +1 right, −1 left.
"""

from __future__ import annotations

from math import cos, pi, remainder
from typing import Final

from groundref.angles import full_turn, half_turn, quarter_turn

ALONG: Final = "eights-along-a-road"
ACROSS: Final = "eights-across-a-road"
AROUND: Final = "eights-around-pylons"


def s_turn_bearing(downwind: float, side: float, course: float | None) -> float:
    """Return the direction in which a line is worked along: the first turn begins with the wind behind [rad].

    Parameters
    ----------
    downwind, side
        As above.
    course
        Direction of the line, either way; across the wind when None.
    """
    usual = downwind + side * quarter_turn
    bearing = usual if course is None else course
    if abs(remainder(bearing - usual, full_turn)) > quarter_turn + 1e-9:
        bearing += half_turn
    return bearing


def eight_axis(kind: str, downwind: float, side: float, course: float | None) -> float:
    """Return the direction from the first center of an elementary eight to the second [rad].

    Around pylons the wind is across the line of the pylons and the middle is flown with it; along a road it
    is across the road, from the side away from the first loop; across a road the first loop is entered with
    the wind behind.

    Parameters
    ----------
    kind
        One of `ALONG`, `ACROSS`, `AROUND`.
    downwind, side
        As above.
    course
        Direction from the first pylon to the second, or on which the road is flown; the usual one when None.
    """
    if kind == AROUND:
        return downwind - side * quarter_turn if course is None else course
    if kind == ALONG:
        along = downwind - side * quarter_turn if course is None else course
        return along - side * quarter_turn
    square = downwind + pi if course is None else course - side * quarter_turn
    return square if cos(square - downwind) <= 1e-9 else square + pi
