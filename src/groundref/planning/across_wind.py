"""How a maneuver's line lies to the wind: words for the way in, and a caution where it is not as taught."""

from __future__ import annotations

from math import remainder
from typing import Final

from groundref.angles import full_turn, half_turn, quarter_turn
from groundref.planning.air import Air
from groundref.planning.cautions import Caution, Weight
from groundref.planning.inputs import Inputs
from groundref.units import degree

SQUARE: Final = 30.0 * degree
"""Off the usual direction from which more is no longer the maneuver as taught; common practice, no source."""
FIRST_LEG: Final = 45.0 * degree
"""Beyond it another leg of a rectangle than the first has more of the wind behind."""
_LINES: Final = {
    "s-turns": "line",
    "eights-along-a-road": "road",
    "eights-across-a-road": "road",
    "eights-around-pylons": "line of the pylons",
    "eights-on-pylons": "line of the pylons",
}  # all lie square to the wind


def with_wind(air: Air, track: float) -> str:
    """Return how the wind is on a track, such as `with the wind from the left`.

    Parameters
    ----------
    air
        Of the plan.
    track
        True [rad]
    """
    if air.wind_speed == 0.0:
        return "in still air"
    off = remainder(track - air.downwind, full_turn)
    if abs(off) <= SQUARE:
        return "with the wind behind"
    if abs(off) >= half_turn - SQUARE:
        return "against the wind"
    # Turned to the right of downwind, the wind that was behind comes from the right.
    side = "right" if off > 0.0 else "left"
    if abs(abs(off) - quarter_turn) <= SQUARE:
        return f"with the wind from the {side}"
    return f"with the wind from the {side} and {'behind' if abs(off) < quarter_turn else 'ahead'}"


def off_square(inputs: Inputs) -> float:
    """Return how far a line in the direction asked for is from square to the wind, 0 to π/2 [rad].

    0 where no direction is asked for, and in still air.
    """
    if inputs.course is None or inputs.wind_speed == 0.0 or inputs.kind not in _LINES:
        return 0.0
    return abs(remainder(inputs.course - inputs.air.downwind - quarter_turn, half_turn))


def wind_cautions(inputs: Inputs) -> list[Caution]:
    """Return a word on a line or a first leg that does not lie to the wind as it is taught.

    Parameters
    ----------
    inputs
        Of the plan.
    """
    off = off_square(inputs)
    if off > SQUARE:
        says = (
            f"The {_LINES[inputs.kind]} lies within {_degrees(quarter_turn - off)} of the wind: the maneuver "
            "is taught with the wind across it. Take another, or another day."
        )
        return [Caution(Weight.CARE, "line-along-wind", says, "FAA-H-8083-3C, chapter 7 (from memory)")]
    if inputs.kind != "rectangular-course" or inputs.course is None or inputs.wind_speed == 0.0:
        return []
    leg = abs(remainder(inputs.course - inputs.air.downwind, full_turn))
    if leg <= FIRST_LEG:
        return []
    says = (
        f"The first leg lies {_degrees(leg)} off downwind though it is called the downwind leg: begin along "
        "the leg that has most of the wind behind."
    )
    return [Caution(Weight.CARE, "first-leg-not-downwind", says, "FAA-H-8083-3C, chapter 7 (from memory)")]


def _degrees(angle: float) -> str:
    return f"{angle / degree:.0f}°"
