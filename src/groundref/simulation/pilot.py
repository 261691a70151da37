"""The simulated pilot: turns what a leg wants into what hands and feet do, with a human's unsteadiness."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi

import numpy as np

from groundref.simulation.airplane import Airplane
from groundref.simulation.fly import Command, Motion
from groundref.simulation.wind_field import Wander
from groundref.units import degree, foot, foot_per_minute, knot, standard_gravity

_HEIGHT_GAIN = 0.18  # [s⁻¹]
_SPEED_GAIN = 0.15  # [s⁻¹]
_SPEED_FIRST = 0.2  # climb given up per airspeed that is missing
_CLOSE_TO_GROUND = 60.0  # [m] below it height is watched the more closely
_PITCH_GAIN = 0.4  # change of climb per error of airspeed, without power
# A pilot sets power for a climb or a descent, but not for a correction of less than this.
_UNPOWERED_CLIMB = 200 * foot_per_minute
# Part of the extra drag in a turn that the throttle makes good; the rest costs a knot or two.
_TURN_POWER = 0.5


@dataclass(frozen=True, slots=True)
class Skill:
    """How unsteady the pilot is; standard deviation and correlation time of each wander.

    Round figures for a careful student (common practice, no source).

    Attributes
    ----------
    bank, bank_time
        Wander of the bank held about the bank meant [rad], [s]
    distance, distance_time
        Error in judging the distance from the point [m], [s]
    height, height_time
        Wander of the height held [m], [s]
    speed, speed_time
        Wander of the airspeed held [m s⁻¹], [s]
    """

    bank: float = 0.8 * degree
    bank_time: float = 3.0
    distance: float = 5.0
    distance_time: float = 12.0
    height: float = 14 * foot
    height_time: float = 30.0
    speed: float = 0.8 * knot
    speed_time: float = 40.0

    def times(self, factor: float) -> Skill:
        """Return a pilot who wanders ``factor`` times as much; 0 is a perfectly steady one."""
        return Skill(
            bank=self.bank * factor,
            bank_time=self.bank_time,
            distance=self.distance * factor,
            distance_time=self.distance_time,
            height=self.height * factor,
            height_time=self.height_time,
            speed=self.speed * factor,
            speed_time=self.speed_time,
        )


@dataclass(slots=True)
class Wish:
    """What a leg wants of the flight during the next step.

    Attributes
    ----------
    bank
        [rad]
    height
        Height to hold or to reach above the airfield [m]
    speed
        True airspeed [m s⁻¹]
    climb
        Rate of climb that belongs to the wanted height, when that moves [m s⁻¹]
    speed_change
        Rate at which the wanted airspeed moves [m s⁻²]
    climb_limit, sink_limit
        Largest rates used to reach the height [m s⁻¹]
    side_force, rising_air
        As in a command [m s⁻²], [m s⁻¹]
    wheels
        Speed and heading on the ground and largest change of speed; None in the air.
    """

    bank: float
    height: float
    speed: float
    climb: float = 0.0
    speed_change: float = 0.0
    climb_limit: float = 650 * foot_per_minute
    sink_limit: float = 650 * foot_per_minute
    side_force: float = 0.0
    rising_air: float = 0.0
    wheels: tuple[float, float, float] | None = None


class Pilot:
    """One pilot in one airplane on one flight."""

    __slots__ = ("_airplane", "_bank", "_distance", "_height", "_speed")

    def __init__(self, airplane: Airplane, skill: Skill, step: float, generator: np.random.Generator) -> None:
        chance = generator.spawn(4)
        self._airplane = airplane
        self._bank = Wander(skill.bank, skill.bank_time, step, chance[0])
        self._distance = Wander(skill.distance, skill.distance_time, step, chance[1])
        self._height = Wander(skill.height, skill.height_time, step, chance[2])
        self._speed = Wander(skill.speed, skill.speed_time, step, chance[3])

    def half_roll_time(self, bank: float) -> float:
        """Return how long before its middle a roll must begin [s].

        Parameters
        ----------
        bank
            Change of bank [rad]
        """
        return self._airplane.half_roll_time(bank)

    def misjudged_distance(self) -> float:
        """Return the error with which the distance to the point is seen now [m]."""
        return self._distance.advance()

    def command(self, wish: Wish, now: Motion) -> Command:
        """Return what hands and feet ask of the airplane.

        Parameters
        ----------
        wish
            What the leg wants.
        now
            The airplane.
        """
        climb = self._climb(wish, now)
        bank = wish.bank + self._bank.advance()
        return Command(
            bank=min(max(bank, -0.42 * pi), 0.42 * pi),
            climb=climb,
            thrust=self._thrust(wish, now, climb - wish.rising_air),
            side_force=wish.side_force,
            rising_air=wish.rising_air,
        )

    def _climb(self, wish: Wish, now: Motion) -> float:
        """Return the rate of climb asked for: to hold the height, or, without power, the airspeed [m s⁻¹]."""
        if self._airplane.full_thrust == 0.0:
            sink = self._airplane.drag(wish.speed, 1.0 / cos(now.bank)) * wish.speed / standard_gravity
            return wish.rising_air - sink + _PITCH_GAIN * (now.airspeed - wish.speed - self._speed.advance())
        attention = min(max(now.height, 0.0) / _CLOSE_TO_GROUND, 1.0)
        wanted = wish.height + attention * self._height.advance()
        climb = wish.climb + _HEIGHT_GAIN * (wanted - now.height)
        # At full power the airspeed comes before the climb.
        possible = self._airplane.steepest_climb(now.airspeed, 1.0 / cos(now.bank))
        possible += _SPEED_FIRST * (now.airspeed - wish.speed)
        return max(min(climb, wish.climb_limit, possible), -wish.sink_limit)

    def _thrust(self, wish: Wish, now: Motion, climb: float) -> float:
        """Return thrust over mass: what level flight needs here, the climb, and the speed error."""
        speed = wish.speed + self._speed.advance()
        load_factor = 1.0 + _TURN_POWER * (1.0 / cos(now.bank) - 1.0)
        powered = climb - min(max(climb, -_UNPOWERED_CLIMB), _UNPOWERED_CLIMB)
        wanted = (
            self._airplane.drag(wish.speed, load_factor)
            + standard_gravity * powered / now.airspeed
            + wish.speed_change
            + _SPEED_GAIN * (speed - now.airspeed)
        )
        return min(max(wanted, 0.0), self._airplane.largest_thrust(now.airspeed))
