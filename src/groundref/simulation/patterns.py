"""Other things flown, as lists of legs: what must not be taken for turns around a point.

Shapes and figures are those in common use (common practice, no source).
"""

from __future__ import annotations

from math import atan, radians

from groundref.angles import full_turn, half_turn, quarter_turn
from groundref.simulation.legs import Leg, Straight, Turn
from groundref.units import foot, knot, standard_gravity

_STANDARD_RATE = radians(3)  # [rad s⁻¹]


def traffic_circuit(
    runway: float, *, side: float = -1.0, speed: float = 80 * knot, downwind: float = 75.0
) -> list[Leg]:
    """Return one circuit from over the runway to a low pass along it.

    Parameters
    ----------
    runway
        Direction of the runway [rad]
    side
        +1 right-hand, −1 left-hand.
    speed
        [m s⁻¹]
    downwind
        Time on the downwind leg [s]
    """
    circuit, low, turn = 1000 * foot, 80 * foot, side * quarter_turn
    final = 0.85 * speed
    return [
        Straight(circuit, speed, course=runway, until_height=700 * foot),
        Turn(turn, radians(20), speed, height=circuit),
        Straight(circuit, speed, course=runway + turn, seconds=20.0),
        Turn(turn, radians(25), speed, height=circuit),
        Straight(circuit, speed, course=runway + 2.0 * turn, seconds=downwind),
        Turn(turn, radians(25), final, height=circuit - 200 * foot),
        Straight(500 * foot, final, course=runway + 3.0 * turn, seconds=15.0),
        Turn(turn, radians(25), final, height=450 * foot),
        Straight(low, final, course=runway, until_height=low + 20 * foot),
    ]


def holding_pattern(
    inbound: float, height: float, *, times: int = 3, side: float = 1.0, speed: float = 90 * knot
) -> list[Leg]:
    """Return a holding pattern with one-minute legs and turns at 3° a second.

    Parameters
    ----------
    inbound
        Inbound track [rad]
    height
        [m]
    times
        Times round.
    side
        +1 right turns, −1 left turns.
    speed
        [m s⁻¹]
    """
    bank = atan(speed * _STANDARD_RATE / standard_gravity)
    turn = Turn(side * half_turn, bank, speed, height=height)
    outbound = Straight(height, speed, course=inbound + half_turn, seconds=60.0)
    back = Straight(height, speed, course=inbound, seconds=60.0)
    return [turn, outbound, turn, back] * times


def s_turns(
    across: float,
    height: float,
    *,
    pairs: int = 3,
    bank: float = radians(28),
    speed: float = 90 * knot,
) -> list[Leg]:
    """Return half circles to either side of a line, level for a moment over the line.

    Parameters
    ----------
    across
        Track square to the line on which it is first crossed [rad]
    height
        [m]
    pairs
        Number of left and right half circles.
    bank
        [rad]
    speed
        [m s⁻¹]
    """
    left, right = (Turn(sign * half_turn, bank, speed, height=height) for sign in (-1.0, 1.0))
    back = Straight(height, speed, course=across + half_turn, seconds=3.0)
    forth = Straight(height, speed, course=across, seconds=3.0)
    return [left, back, right, forth] * pairs


def steep_turns(
    height: float = 2500 * foot, *, bank: float = radians(45), speed: float = 95 * knot
) -> list[Leg]:
    """Return a steep 360° turn to the left and one to the right.

    Parameters
    ----------
    height
        [m]
    bank
        [rad]
    speed
        [m s⁻¹]
    """
    return [
        Turn(-full_turn, bank, speed, height=height),
        Straight(height, speed, seconds=8.0),
        Turn(full_turn, bank, speed, height=height),
        Straight(height, speed, seconds=15.0),
    ]


def thermal_climb(
    *,
    turns: float = 10.0,
    side: float = 1.0,
    bank: float = radians(40),
    rising_air: float = 2.8,
    speed: float = 45 * knot,
) -> list[Leg]:
    """Return a sailplane's circling in rising air; for the airplane ``GLIDER``.

    Parameters
    ----------
    turns
        Times round.
    side
        +1 right, −1 left.
    bank
        [rad]
    rising_air
        [m s⁻¹]
    speed
        [m s⁻¹]
    """
    return [Turn(side * turns * full_turn, bank, speed, rising_air=rising_air)]


def sightseeing(height: float, *, speed: float = 85 * knot) -> list[Leg]:
    """Return long shallow arcs one way and the other, as flown to look at things.

    Parameters
    ----------
    height
        [m]
    speed
        [m s⁻¹]
    """
    return [
        Turn(radians(220), radians(9), speed, height=height),
        Straight(height, speed, seconds=40.0),
        Turn(radians(-300), radians(12), speed, height=height),
        Straight(height, speed, seconds=30.0),
    ]


def procedure_turn(outbound: float, height: float, *, speed: float = 90 * knot) -> list[Leg]:
    """Return a procedure turn: 45° off the outbound track for a minute, then 180° the other way.

    Parameters
    ----------
    outbound
        Outbound track [rad]
    height
        [m]
    speed
        [m s⁻¹]
    """
    bank = atan(speed * _STANDARD_RATE / standard_gravity)
    off = outbound + radians(45)
    return [
        Straight(height, speed, course=outbound, seconds=60.0),
        Turn(radians(45), bank, speed, height=height),
        Straight(height, speed, course=off, seconds=60.0),
        Turn(-half_turn, bank, speed, height=height),
        Straight(height, speed, course=off + half_turn, seconds=50.0),
        Turn(radians(45), bank, speed, height=height),
        Straight(height, speed, course=outbound + half_turn, seconds=60.0),
    ]
