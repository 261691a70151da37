"""Motion of a point-mass airplane in moving air, one short step at a time.

Velocity over the ground is what is integrated, so a gust or a change of wind with height acts as it does on
a real airplane: inertia keeps the ground velocity, the airspeed and the heading take the change. With h the
unit vector of the air velocity v − w (the nose, in coordinated flight) and r the one to its right,

    v' = [(T − D)/m − g (c − u)/V] h + [g tan(bank) + a_y/cos(bank)] r,

where T is thrust, D drag (rising with the load factor), c the rate of climb, u rising air and V the airspeed:
height is paid for with speed. The last term is a side force a_y (specific force along the right wing) of
uncoordinated flight: level flight needs L cos φ − Y sin φ = m g, and L sin φ + Y cos φ turns the flight path,
which together give m (g tan φ + a_y/cos φ). Climb angles are taken as small: V is the horizontal airspeed.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, cos, hypot, remainder, sin, tan

from groundref.angles import full_turn
from groundref.simulation.airplane import Airplane
from groundref.units import standard_gravity

_ROLL_GAIN = 2.5  # [s⁻¹] roll rate asked for per error of bank
_ROLL_LAG = 0.15  # [s]
_CLIMB_LAG = 1.2  # [s]
_CLIMB_ACCELERATION = 2.0  # [m s⁻²] about 0.2 g
_THRUST_LAG = 1.5  # [s]
_WHEEL_TURN = 0.35  # [rad s⁻¹] largest rate of turn when taxiing


@dataclass(slots=True)
class Motion:
    """The airplane now; the only mutable thing, kept so for speed.

    Attributes
    ----------
    time
        Since the start of the flight [s]
    east, north
        Position [m]
    height
        Above the airfield, which lies as high as the practice area [m]
    velocity_east, velocity_north
        Over the ground [m s⁻¹]
    heading
        Direction of the nose, true [rad]
    bank, roll_rate
        Right positive [rad], [rad s⁻¹]
    climb
        Rate of climb [m s⁻¹]
    climb_rate
        Its change [m s⁻²]
    thrust
        Over mass [m s⁻²]
    wind_east, wind_north
        Velocity of the air here [m s⁻¹]
    side_force
        Specific force along the right wing [m s⁻²]
    on_ground
        Whether the wheels carry it.
    airspeed, ground_speed, track
        Follow from the above [m s⁻¹], [m s⁻¹], [rad]
    """

    time: float
    east: float
    north: float
    height: float
    velocity_east: float
    velocity_north: float
    heading: float
    bank: float = 0.0
    roll_rate: float = 0.0
    climb: float = 0.0
    climb_rate: float = 0.0
    thrust: float = 0.0
    wind_east: float = 0.0
    wind_north: float = 0.0
    side_force: float = 0.0
    on_ground: bool = False
    airspeed: float = 0.0
    ground_speed: float = 0.0
    track: float = 0.0

    def derive(self) -> None:
        """Bring airspeed, ground speed, track and (in the air) heading in line with the velocities."""
        air_east = self.velocity_east - self.wind_east
        air_north = self.velocity_north - self.wind_north
        self.ground_speed = hypot(self.velocity_east, self.velocity_north)
        if self.on_ground:
            # Parked or rolling the nose is where the wheels point; the airspeed is the part from ahead.
            self.track = self.heading
            self.airspeed = max(air_east * sin(self.heading) + air_north * cos(self.heading), 0.0)
            return
        self.track = atan2(self.velocity_east, self.velocity_north)
        self.heading = atan2(air_east, air_north)
        self.airspeed = hypot(air_east, air_north)


@dataclass(slots=True)
class Command:
    """What hands and feet ask of the airplane during one step.

    Attributes
    ----------
    bank
        Bank asked for [rad]
    climb
        Rate of climb asked for [m s⁻¹]
    thrust
        Thrust over mass asked for [m s⁻²]
    side_force
        Specific force along the right wing that the feet make [m s⁻²]
    rising_air
        Speed of rising air here [m s⁻¹]
    """

    bank: float
    climb: float
    thrust: float
    side_force: float = 0.0
    rising_air: float = 0.0


Rates = tuple[float, float, float, float, float, float]


def _clip(value: float, limit: float) -> float:
    return -limit if value < -limit else limit if value > limit else value


def _rates(state: Rates, air_east: float, air_north: float, order: Command, airplane: Airplane) -> Rates:
    """Return the time derivatives of (velocity east, north, bank, roll rate, climb, thrust)."""
    velocity_east, velocity_north, bank, roll_rate, climb, thrust = state
    through_east, through_north = velocity_east - air_east, velocity_north - air_north
    airspeed = hypot(through_east, through_north)
    nose_east, nose_north = through_east / airspeed, through_north / airspeed
    cosine = cos(bank)
    drag = airplane.drag(airspeed, 1.0 / cosine)
    along = thrust - drag - standard_gravity * (climb - order.rising_air) / airspeed
    across = standard_gravity * tan(bank) + order.side_force / cosine
    wanted_roll = _clip(_ROLL_GAIN * (order.bank - bank), airplane.roll_rate)
    return (
        along * nose_east + across * nose_north,
        along * nose_north - across * nose_east,
        roll_rate,
        _clip((wanted_roll - roll_rate) / _ROLL_LAG, airplane.roll_acceleration),
        _clip((order.climb - climb) / _CLIMB_LAG, _CLIMB_ACCELERATION),
        (order.thrust - thrust) / _THRUST_LAG,
    )


def _moved(state: Rates, rates: Rates, by: float) -> Rates:
    a, b, c, d, e, f = state
    u, v, w, x, y, z = rates
    return (a + by * u, b + by * v, c + by * w, d + by * x, e + by * y, f + by * z)


def fly(now: Motion, order: Command, airplane: Airplane, wind: tuple[float, float], step: float) -> None:
    """Advance an airplane in the air by one step of the classical Runge–Kutta method.

    Parameters
    ----------
    now
        The airplane, changed in place.
    order
        What is asked of it, constant over the step.
    airplane
        Its polar and limits.
    wind
        Velocity of the air at the end of the step, east and north; it changes evenly over the step [m s⁻¹]
    step
        [s]
    """
    if now.on_ground:  # it lifts off at full power
        now.thrust = airplane.largest_thrust(now.airspeed)
    air_e, air_n = now.wind_east, now.wind_north
    mid_e, mid_n = 0.5 * (air_e + wind[0]), 0.5 * (air_n + wind[1])
    s1 = (now.velocity_east, now.velocity_north, now.bank, now.roll_rate, now.climb, now.thrust)
    k1 = _rates(s1, air_e, air_n, order, airplane)
    s2 = _moved(s1, k1, 0.5 * step)
    k2 = _rates(s2, mid_e, mid_n, order, airplane)
    s3 = _moved(s1, k2, 0.5 * step)
    k3 = _rates(s3, mid_e, mid_n, order, airplane)
    s4 = _moved(s1, k3, step)
    k4 = _rates(s4, wind[0], wind[1], order, airplane)
    sixth = step / 6.0
    now.east += sixth * (s1[0] + 2.0 * (s2[0] + s3[0]) + s4[0])
    now.north += sixth * (s1[1] + 2.0 * (s2[1] + s3[1]) + s4[1])
    now.height += sixth * (s1[4] + 2.0 * (s2[4] + s3[4]) + s4[4])
    ends = [s + sixth * (a + 2.0 * (b + c) + d) for s, a, b, c, d in zip(s1, k1, k2, k3, k4, strict=True)]
    now.velocity_east, now.velocity_north, now.bank, now.roll_rate, now.climb, now.thrust = ends
    now.climb_rate = k1[4]
    now.wind_east, now.wind_north = wind
    now.side_force = order.side_force
    now.on_ground = False
    now.time += step
    now.derive()


def roll(
    now: Motion,
    speed: float,
    heading: float,
    acceleration: float,
    wind: tuple[float, float],
    step: float,
) -> None:
    """Advance an airplane on its wheels by one step.

    Parameters
    ----------
    now
        The airplane, changed in place.
    speed, heading
        Asked for [m s⁻¹], [rad]
    acceleration
        Largest change of speed [m s⁻²]
    wind
        Velocity of the air at the end of the step [m s⁻¹]
    step
        [s]
    """
    turn = _clip(remainder(heading - now.heading, full_turn), _WHEEL_TURN * step)
    if now.ground_speed > 0.2:  # the nose wheel steers only a rolling airplane
        now.heading += turn
    fast = max(0.0, now.ground_speed + _clip(speed - now.ground_speed, acceleration * step))
    now.velocity_east, now.velocity_north = fast * sin(now.heading), fast * cos(now.heading)
    now.east += step * now.velocity_east
    now.north += step * now.velocity_north
    now.bank = now.roll_rate = now.climb = now.climb_rate = now.height = now.side_force = 0.0
    now.wind_east, now.wind_north = wind
    now.on_ground = True
    now.time += step
    now.derive()
