"""From what a user asks for to an exercise: the usual figures filled in, what no one flies refused."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import isfinite, radians
from typing import Final

from groundref.angles import half_turn
from groundref.errors import NoSolutionError, UsageError
from groundref.simulation.airplane import Airplane
from groundref.simulation.exercise import Exercise
from groundref.simulation.faults import sized, to_si
from groundref.simulation.shapes import known_kind
from groundref.standards.usual import usual
from groundref.units import foot

APART: Final = 8000.0  # [m] between the middles of two parts of a lesson; the largest spreads over some 5 km
IN_A_ROW: Final = 3
_BAND: Final = (600 * foot, 1000 * foot)


def asked(
    kind: str,
    *,
    true_airspeed: float,
    wind_speed: float,
    wind_from: float,
    radius: float | None = None,
    height: float | None = None,
    direction: str = "left",
    laps: float | None = None,
    bank_limit: float | None = None,
    roll_rate: float = radians(12),
    faults: Mapping[str, float | None] | None = None,
    faulty_laps: Sequence[int] = (),
    course: float | None = None,
    spacing: float | None = None,
    place: tuple[float, float] = (0.0, 0.0),
) -> Exercise:
    """Return the exercise that was asked for.

    Parameters
    ----------
    kind
        One of ``shapes.SHAPES``.
    true_airspeed, wind_speed, wind_from, direction, roll_rate, faults, faulty_laps, course, spacing
        As in ``lesson.simulate``.
    radius, height, laps, bank_limit
        Likewise; the usual ones of the kind when None, see ``usual``.
    place
        Its middle, east and north of the lesson's origin [m]

    Raises
    ------
    UsageError
        When a name is unknown or a value out of range.
    NoSolutionError
        When the wind is not clearly less than the airspeed.
    """
    by_habit = usual(known_kind(kind))
    wrong = to_si(sized(faults or {}), faulty_laps)
    radius = by_habit.radius if radius is None else radius
    height = by_habit.height if height is None else height
    laps = by_habit.laps if laps is None else laps
    _check(direction, true_airspeed, wind_speed, radius, height, laps, wind_from)
    return Exercise(
        kind=kind,
        east=place[0],
        north=place[1],
        radius=radius,
        side=1.0 if direction == "right" else -1.0,
        wind_speed=wind_speed,
        downwind=wind_from + half_turn,
        laps=laps,
        height=_flown_height(height, wrong.outside_height_band),
        speed=true_airspeed,
        bank_limit=by_habit.bank if bank_limit is None else bank_limit,
        faults=wrong,
        airplane=Airplane(trim_speed=true_airspeed, roll_rate=roll_rate),
        course=course,
        spacing=spacing,
    )


def spread(part: int) -> tuple[float, float]:
    """Return where a part of a lesson is flown, in rows to and fro, east and north of the first one [m].

    Parameters
    ----------
    part
        Its number, from 0.
    """
    row, column = divmod(part, IN_A_ROW)
    column = IN_A_ROW - 1 - column if row % 2 else column
    return APART * column, APART * row


def _flown_height(height: float, outside: float) -> float:
    """Return the height flown: the one meant, or beyond the edge of the band [m]."""
    if not outside:
        return height
    return _BAND[1] + outside if outside > 0 else _BAND[0] + outside


def _check(
    direction: str,
    airspeed: float,
    wind: float,
    radius: float,
    height: float,
    laps: float,
    wind_from: float,
) -> None:
    """Refuse what cannot be flown."""
    if direction not in {"left", "right"}:
        raise UsageError(f"{direction!r} is not a direction", "direction", "choose left or right")
    if not 15.0 <= airspeed <= 130.0:
        raise UsageError("the true airspeed is out of range", "airspeed", "choose 30 to 250 kt")
    if not 0.0 <= wind <= 0.6 * airspeed:
        raise NoSolutionError(
            "the wind is too strong for the airspeed", "wind", "choose a wind below 60% of the airspeed"
        )
    if not 60.0 <= radius <= 5000.0:
        raise UsageError("the radius is out of range", "radius", "choose 200 to 16,000 ft")
    if not 60.0 <= height <= 3000.0:
        raise UsageError("the height is out of range", "height", "choose 200 to 10,000 ft above the ground")
    if not isfinite(wind_from):
        raise UsageError("the wind is not a wind", "wind", "choose a direction and gusts below 30 kt")
    if not 0.25 <= laps <= 100:
        raise UsageError("the number of laps is out of range", "laps", "choose 0.25 to 100")
