"""An airplane flown by hand, a step at a time: the bank is asked for, height and airspeed hold themselves.

Only what relates bank to ground speed is left: a point mass in level, coordinated flight at a constant true
airspeed V in steady, uniform wind w, that rolls toward the bank asked for at a constant rate p.

    φ' = ±p until the bank asked for is reached, then 0
    ψ' = g tan φ / V
    x' = V (sin ψ, cos ψ) + w

Every step solves these equations rather than integrating them, so its length hardly matters. While the bank
changes at φ' = s p, ψ' has the antiderivative −(g / (V s p)) ln cos φ, even in φ, so that it holds through
wings level too; with the load factor n = 1/cos φ

    ψ₁ − ψ₀ = s (g / (V p)) (ln n₁ − ln n₀).

With the bank held the path is that of `trochoid.ground_path`. Only the place while rolling has no closed
form: it is the integral of V (sin ψ, cos ψ) by Simpson's rule over exact headings. Over a time h it is off by
at most V h⁵/2880 times the fourth derivative of the direction, which is below 1 s⁻⁴ up to 60° of bank at
90 kt and 15°/s: less than a micrometer in 0.1 s.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import copysign, cos, hypot, sin
from typing import Final

from groundref.angles import difference, direction_of
from groundref.mechanics.circle import bank_from_ground_speed
from groundref.mechanics.steep import heading_while_rolling
from groundref.mechanics.trochoid import ground_path
from groundref.mechanics.turn import rate_of_turn

START: Final = 8.0  # [s] before the point is abeam


@dataclass(frozen=True, slots=True)
class Try:
    """What does not change while flying: airplane, air and the circle wanted about the origin.

    Attributes
    ----------
    true_airspeed
        V, greater than the wind [m s⁻¹]
    wind_east, wind_north
        w, velocity of the air, where it moves *to* [m s⁻¹]
    roll_rate
        p [rad s⁻¹]
    radius
        Of the circle wanted [m]
    side
        +1 for turns to the right, −1 to the left.
    downwind
        Direction of the downwind track, told apart from the wind so that still air has one too [rad]
    """

    true_airspeed: float
    wind_east: float
    wind_north: float
    roll_rate: float
    radius: float
    side: float
    downwind: float


@dataclass(frozen=True, slots=True)
class Flying:
    """The airplane at one moment.

    Attributes
    ----------
    time
        Since the start [s]
    east, north
        Of the point [m]
    heading
        Unwrapped [rad]
    bank
        Right positive [rad]
    """

    time: float
    east: float
    north: float
    heading: float
    bank: float


@dataclass(frozen=True, slots=True)
class Seen:
    """What follows from where the airplane is and how it moves.

    Attributes
    ----------
    ground_speed
        [m s⁻¹]
    track, crab
        True [rad], heading less track, nose right positive [rad]
    distance
        From the point [m]
    position
        How far the track is past straight downwind in the direction flown, [−π, π) [rad]
    bank_needed
        That turns with the radius wanted at this ground speed and crab, right positive [rad]
    """

    ground_speed: float
    track: float
    crab: float
    distance: float
    position: float
    bank_needed: float


def start(task: Try) -> Flying:
    """Return the beginning: downwind, wings level, some seconds before the point is abeam at its distance.

    Parameters
    ----------
    task
        What is flown.
    """
    along = (sin(task.downwind), cos(task.downwind))
    away = -task.side * task.radius
    east, north = away * along[1], -away * along[0]
    over_ground = task.true_airspeed + hypot(task.wind_east, task.wind_north)
    back = over_ground * START
    return Flying(0.0, east - back * along[0], north - back * along[1], task.downwind, 0.0)


def step(now: Flying, bank: float, time: float, task: Try) -> Flying:
    """Return the airplane a little later: first rolling toward the bank asked for, then holding it.

    Parameters
    ----------
    now
        The airplane.
    bank
        Asked for, right positive, less than π/2 either way [rad]
    time
        How much later [s]
    task
        What is flown.

    Notes
    -----
    Source: own derivation, at the top of this module.
    """
    rolling = min(abs(bank - now.bank) / task.roll_rate, time)
    if rolling > 0.0:
        now = _rolled(now, copysign(1.0, bank - now.bank), bank, rolling, task)
    return _held(now, time - rolling, task) if rolling < time else now


def _rolled(now: Flying, sign: float, bank: float, time: float, task: Try) -> Flying:
    """Return the airplane after a time of rolling, at most until the bank asked for is there."""
    banks = [now.bank + sign * task.roll_rate * part * time for part in (0.5, 1.0)]
    if abs(bank - banks[1]) < 1e-12:
        banks[1] = bank
    speed, rate = task.true_airspeed, task.roll_rate
    turned = heading_while_rolling(speed, [now.bank, *banks], rate)
    first, middle, last = (now.heading + sign * float(each - turned[0]) for each in turned)
    sixth = speed * time / 6.0
    return Flying(
        time=now.time + time,
        east=now.east + sixth * (sin(first) + 4.0 * sin(middle) + sin(last)) + task.wind_east * time,
        north=now.north + sixth * (cos(first) + 4.0 * cos(middle) + cos(last)) + task.wind_north * time,
        heading=last,
        bank=banks[1],
    )


def _held(now: Flying, time: float, task: Try) -> Flying:
    """Return the airplane after a time at its bank."""
    speed = task.true_airspeed
    east, north = ground_path(speed, now.bank, now.heading, task.wind_east, task.wind_north, time)
    return Flying(
        time=now.time + time,
        east=now.east + float(east),
        north=now.north + float(north),
        heading=now.heading + float(rate_of_turn(speed, now.bank)) * time,
        bank=now.bank,
    )


def seen(now: Flying, task: Try) -> Seen:
    """Return what follows from a moment.

    Parameters
    ----------
    now
        The airplane.
    task
        What is flown.
    """
    east = task.true_airspeed * sin(now.heading) + task.wind_east
    north = task.true_airspeed * cos(now.heading) + task.wind_north
    ground_speed, track = hypot(east, north), float(direction_of(east, north))
    crab = float(difference(now.heading, track))
    return Seen(
        ground_speed=ground_speed,
        track=track,
        crab=crab,
        distance=hypot(now.east, now.north),
        position=float(task.side * difference(track, task.downwind)),
        bank_needed=task.side * float(bank_from_ground_speed(ground_speed, crab, task.radius)),
    )
