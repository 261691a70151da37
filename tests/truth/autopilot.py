"""An autopilot for the independent flight dynamics model: it flies lines and circles over the ground.

The inner loops (bank by aileron, height by elevator, sideslip by rudder, airspeed by throttle) are plain
proportional-integral loops. The guidance asks for the horizontal acceleration that brings the airplane onto
its line or circle and turns it into a bank: lift tilted by the bank accelerates the airplane by
g·tan(bank) at right angles to its heading, so a demand along a direction that is not square to the heading
is divided by the cosine between the two.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import atan, atan2, cos, hypot, radians, sin, tan
from typing import Final

GRAVITY: Final = 9.80665
_MAX_ROLL_RATE: Final = radians(15.0)


def clip(value: float, limit: float) -> float:
    """Return the value within ±limit."""
    return max(-limit, min(limit, value))


@dataclass(frozen=True, slots=True)
class Gains:
    """Gains of the inner loops for one airplane type, at the speed they were found at [m s⁻¹].

    `rudder_sign` is +1 where a positive rudder command turns the nose to the right.
    """

    speed: float
    aileron: float = 1.2
    aileron_integral: float = 0.6
    elevator: float = 2.5
    elevator_integral: float = 2.0
    pitch: float = 0.9
    rudder: float = 1.0
    rudder_integral: float = 0.6
    rudder_sign: float = -1.0


@dataclass(slots=True)
class Motion:
    """What the autopilot sees of the airplane: SI, radians, east and north of the point."""

    east: float
    north: float
    velocity_east: float
    velocity_north: float
    height: float
    climb: float
    airspeed: float
    heading: float
    bank: float
    pitch: float
    roll_rate: float
    pitch_rate: float
    yaw_rate: float
    sideslip: float


@dataclass(slots=True)
class Controls:
    """Commands to the airplane: aileron right, elevator nose up, rudder nose right, throttle 0 to 1."""

    aileron: float
    elevator: float
    rudder: float
    throttle: float


def bank_onto_line(at: Motion, bearing: float, offset_east: float, offset_north: float) -> float:
    """Return the bank that brings the airplane onto a line over the ground, at most 25° [rad].

    The line runs along `bearing` through the given place. The rate of closing asked for falls with the
    distance, so that the capture is smooth.
    """
    right_east, right_north = cos(bearing), -sin(bearing)
    distance = (at.east - offset_east) * right_east + (at.north - offset_north) * right_north
    closing = at.velocity_east * right_east + at.velocity_north * right_north
    speed = hypot(at.velocity_east, at.velocity_north)
    wanted = 0.5 * (clip(-0.1 * distance, 0.95 * speed) - closing)
    square = cos(at.heading) * right_east - sin(at.heading) * right_north
    return clip(atan(wanted / (GRAVITY * max(square, 0.3))), radians(25.0))


def bank_on_circle(at: Motion, radius: float, turn: float) -> float:
    """Return the bank that keeps the airplane at `radius` from the point, at most 60° [rad].

    `turn` is +1 to the right and -1 to the left. In polar coordinates r'' = r·θ'² - a, so the inward
    acceleration a = (transverse speed)²/r + stiffness·(r - radius) + damping·r' brings r to the radius as
    a critically damped second-order system.
    """
    distance = hypot(at.east, at.north)
    out_east, out_north = at.east / distance, at.north / distance
    outward = at.velocity_east * out_east + at.velocity_north * out_north
    transverse_2 = at.velocity_east**2 + at.velocity_north**2 - outward**2
    wanted = transverse_2 / distance + 0.06 * clip(distance - radius, 60.0) + 0.49 * outward
    lift_east, lift_north = turn * cos(at.heading), -turn * sin(at.heading)
    square = -(lift_east * out_east + lift_north * out_north)
    return turn * clip(atan(wanted / (GRAVITY * max(square, 0.3))), radians(60.0))


@dataclass(slots=True)
class Autopilot:
    """The inner loops, with their memory.

    Attributes
    ----------
    gains
        For the airplane type.
    interval
        Time from one call to the next [s]
    throttle
        Throttle that holds the airspeed in level flight.
    tends_power
        Whether the throttle follows the airspeed, slowly, or stays as it was set.
    power, power_integral
        Throttle moved for each metre a second of missing airspeed, and for each metre.
    """

    gains: Gains
    interval: float
    pitch: float
    throttle: float
    tends_power: bool
    power: float = 0.06
    power_integral: float = 0.0015
    _aileron: float = field(default=0.0, init=False)
    _elevator: float = field(default=0.0, init=False)
    _rudder: float = field(default=0.0, init=False)
    _climb: float = field(default=0.0, init=False)
    _throttle: float = field(default=0.0, init=False)
    _slip: float = field(default=0.0, init=False)

    def steer(self, at: Motion, bank: float, height: float, airspeed: float, power: float) -> Controls:
        """Return the commands that bring the airplane to this bank, height and airspeed."""
        return self.command(at, bank, clip(0.25 * (height - at.height), 4.0), airspeed, power)

    def command(
        self, at: Motion, bank: float, climb: float, airspeed: float, power: float, slip: float = 0.0
    ) -> Controls:
        """Return the commands that bring the airplane to this bank, rate of climb, airspeed and sideslip."""
        scale = min((self.gains.speed / max(at.airspeed, 10.0)) ** 2, 2.0)
        return Controls(
            aileron=self._roll(at, bank) * scale,
            elevator=self._pitch(at, climb) * scale,
            rudder=self._coordinate(at, slip) * scale,
            throttle=self._power(at, airspeed) + power,
        )

    def _roll(self, at: Motion, bank: float) -> float:
        missing = clip(1.6 * (bank - at.bank), _MAX_ROLL_RATE) - at.roll_rate
        self._aileron = clip(self._aileron + self.gains.aileron_integral * missing * self.interval, 0.5)
        return clip(self.gains.aileron * missing + self._aileron, 1.0)

    def sideslip_for(self, side_force: float, felt: float) -> float:
        """Return the sideslip that brings the specific force along the right wing to the one wanted [rad].

        Air from the right pushes to the left; how much sideslip a force takes is found by feeling for it.
        """
        self._slip = clip(self._slip - 0.03 * (side_force - felt) * self.interval, radians(14.0))
        return self._slip

    def _pitch(self, at: Motion, climb: float) -> float:
        """The climb asks for a pitch rate on top of that of the turn."""
        missing = (climb - at.climb) / max(at.airspeed, 10.0)
        self._climb = clip(self._climb + 0.15 * missing * self.interval, 0.3)
        turning = GRAVITY / at.airspeed * tan(at.bank) * sin(at.bank)
        # in a bank only part of the pitch rate raises the flight path
        rate = turning + self.gains.pitch * (self.pitch + self._climb + 1.2 * missing - at.pitch) / max(
            cos(at.bank), 0.5
        )
        error = rate - at.pitch_rate
        self._elevator = clip(self._elevator + self.gains.elevator_integral * error * self.interval, 0.8)
        return clip(self.gains.elevator * error + self._elevator, 1.0)

    def _coordinate(self, at: Motion, slip: float) -> float:
        """More sideslip from the right than is wanted asks for right rudder."""
        missing = at.sideslip - slip
        self._rudder = clip(self._rudder + self.gains.rudder_integral * missing * self.interval, 0.9)
        turning = GRAVITY / at.airspeed * sin(at.bank)
        damper = 0.3 * (turning - at.yaw_rate)
        return self.gains.rudder_sign * clip(self.gains.rudder * missing + self._rudder + damper, 1.0)

    def _power(self, at: Motion, airspeed: float) -> float:
        """Full throttle is worth some 1.2 m s⁻²: these gains make a well damped loop of some 15 s.

        A weaker proportional part would ring at about the time of a lap, which no attentive pilot does.
        """
        if not self.tends_power:
            return self.throttle
        missing = airspeed - at.airspeed
        self._throttle = clip(self._throttle + self.power_integral * missing * self.interval, 0.3)
        return self.throttle + self.power * missing + self._throttle


def bearing(east: float, north: float) -> float:
    """Return the direction of a vector, clockwise from north [rad]."""
    return atan2(east, north)
