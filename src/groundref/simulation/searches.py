"""Searches and surveys, as lists of legs: straight lines over the ground with turns between.

Shapes are those in common use (common practice, no source).
"""

from __future__ import annotations

from math import acos, atan, radians, tan

from groundref.angles import full_turn, half_turn, quarter_turn
from groundref.simulation.legs import Leg, Straight, Turn
from groundref.units import knot, standard_gravity


def parallel_tracks(
    course: float,
    height: float,
    *,
    lines: int = 5,
    seconds: float = 110.0,
    spacing: float = 900.0,
    side: float = 1.0,
    bank: float = radians(22),
    speed: float = 90 * knot,
) -> list[Leg]:
    """Return lines side by side, as of a parallel-track search or a survey.

    Where the lines lie closer than a half circle is wide, the airplane first turns away from the next one.

    Parameters
    ----------
    course
        Track of the first line [rad]
    height
        [m]
    lines
        Number of lines.
    seconds
        Time on each [s]
    spacing
        Between two lines in calm air [m]
    side
        +1 the next line lies to the right of the first, −1 to the left.
    bank
        In the turns [rad]
    speed
        [m s⁻¹]
    """
    across = 2.0 * speed**2 / (standard_gravity * tan(bank))
    legs: list[Leg] = []
    for line in range(lines):
        way = course if line % 2 == 0 else course + half_turn
        toward = side if line % 2 == 0 else -side
        legs.append(Straight(height, speed, course=way, seconds=seconds))
        if line < lines - 1:
            legs += _to_next_line(way, toward, spacing, across, bank, height, speed)
    return legs


def _to_next_line(
    way: float, toward: float, spacing: float, across: float, bank: float, height: float, speed: float
) -> list[Leg]:
    """Return the turn from one line to the next: two quarters with a straight between, or a teardrop."""
    quarter, back = toward * quarter_turn, way + half_turn
    if spacing >= across:
        between = Straight(height, speed, course=way + quarter, seconds=(spacing - across) / speed)
        turn = Turn(quarter, bank, speed, height=height)
        return [turn, between, turn, Straight(height, speed, course=back, seconds=10.0)]
    # Away by α and back by π + α ends 2R cos α to the side.
    away = acos(spacing / across)
    return [
        Turn(-toward * away, bank, speed, height=height),
        Turn(toward * (half_turn + away), bank, speed, height=height),
        Straight(height, speed, course=back, seconds=10.0),
    ]


def expanding_square(
    course: float,
    height: float,
    *,
    legs: int = 10,
    seconds: float = 25.0,
    side: float = 1.0,
    speed: float = 90 * knot,
) -> list[Leg]:
    """Return an expanding square: legs that grow by one unit every second corner.

    Parameters
    ----------
    course
        Track of the first leg [rad]
    height
        [m]
    legs
        Number of legs.
    seconds
        Time on the first leg, by which the legs grow [s]
    side
        +1 right turns, −1 left turns.
    speed
        [m s⁻¹]
    """
    flown: list[Leg] = []
    for leg in range(legs):
        way = course + leg * side * quarter_turn
        flown.append(Straight(height, speed, course=way, seconds=seconds * (leg // 2 + 1)))
        flown.append(Turn(side * quarter_turn, radians(22), speed, height=height))
    return flown


def sector_search(
    course: float, height: float, *, seconds: float = 60.0, side: float = 1.0, speed: float = 90 * knot
) -> list[Leg]:
    """Return a sector search: out, 120° round, across, 120° round, back over the middle, three times.

    Parameters
    ----------
    course
        Track of the first leg [rad]
    height
        [m]
    seconds
        Time on each leg [s]
    side
        +1 right turns, −1 left turns.
    speed
        [m s⁻¹]
    """
    flown: list[Leg] = []
    way = course
    for _ in range(3):
        for leg in (seconds, seconds, 2.0 * seconds):
            flown.append(Straight(height, speed, course=way, seconds=leg))
            if leg == seconds:
                flown.append(Turn(side * full_turn / 3.0, radians(22), speed, height=height))
                way += side * full_turn / 3.0
    return flown


def creeping_spiral(height: float, *, turns: int = 6, speed: float = 90 * knot) -> list[Leg]:
    """Return circles that widen from one to the next, as flown to search outward from a place.

    Parameters
    ----------
    height
        [m]
    turns
        Number of full circles.
    speed
        [m s⁻¹]
    """
    radii = [600.0 * (1.0 + 0.5 * turn) for turn in range(turns)]
    banks = [atan(speed**2 / (standard_gravity * radius)) for radius in radii]
    return [Turn(full_turn, bank, speed, height=height) for bank in banks]


def zigzag(
    course: float, height: float, *, legs: int = 8, seconds: float = 40.0, speed: float = 90 * knot
) -> list[Leg]:
    """Return legs to and fro across a course by 50°, as flown along a river or a shore.

    Parameters
    ----------
    course
        Middle course [rad]
    height
        [m]
    legs
        Number of legs.
    seconds
        Time on each [s]
    speed
        [m s⁻¹]
    """
    off = radians(50)
    ways = [course + (off if leg % 2 == 0 else -off) for leg in range(legs)]
    return [Straight(height, speed, course=way, seconds=seconds) for way in ways]
