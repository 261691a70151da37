"""The simulated airplane: a drag polar, a power limit and how quickly it rolls."""

from __future__ import annotations

from dataclasses import dataclass
from math import radians
from typing import Final

from groundref.units import knot, standard_gravity

# What building up and stopping the roll adds to half of the time at full roll rate.
_ROLL_DELAY: Final = 0.4  # [s]


@dataclass(frozen=True, slots=True)
class Airplane:
    """A light airplane as a point mass.

    Drag per unit of weight is p (V/V₀)² + i n² (V₀/V)²: parasitic and induced part at the trim speed V₀ in
    level flight, n the load factor. The defaults give a best glide ratio of 1/(2√(p i)) = 9.6 at 0.83 V₀,
    and a power that climbs about 1,000 ft/min; both are round figures of a four-seat trainer (common
    practice, no source).

    Attributes
    ----------
    trim_speed
        True airspeed the polar is scaled to [m s⁻¹]
    parasitic, induced
        Drag over weight at the trim speed, each part.
    full_thrust
        Largest thrust over weight at the trim speed; thrust goes with 1/V at constant power.
    static_thrust
        Largest thrust over weight at low speed.
    roll_rate
        Largest roll rate the pilot uses [rad s⁻¹]
    roll_acceleration
        Largest change of it [rad s⁻²]
    """

    trim_speed: float = 90 * knot
    parasitic: float = 0.075
    induced: float = 0.036
    full_thrust: float = 0.20
    static_thrust: float = 0.30
    roll_rate: float = radians(12)
    roll_acceleration: float = radians(30)

    def drag(self, airspeed: float, load_factor: float) -> float:
        """Return drag over mass [m s⁻²]."""
        ratio = (airspeed / self.trim_speed) ** 2
        return standard_gravity * (self.parasitic * ratio + self.induced * load_factor**2 / ratio)

    def largest_thrust(self, airspeed: float) -> float:
        """Return the largest thrust over mass at an airspeed [m s⁻²]."""
        at_full_power = self.full_thrust * self.trim_speed / max(airspeed, 1.0)
        return standard_gravity * min(at_full_power, self.static_thrust)

    def steepest_climb(self, airspeed: float, load_factor: float) -> float:
        """Return the rate of climb that full thrust sustains at an airspeed [m s⁻¹]."""
        spare = self.largest_thrust(airspeed) - self.drag(airspeed, load_factor)
        return spare * airspeed / standard_gravity

    def half_roll_time(self, bank: float) -> float:
        """Return the time from the first movement to half of a bank, rolling in or out [s]."""
        return 0.5 * abs(bank) / self.roll_rate + _ROLL_DELAY


# A sailplane: best glide about 34, no power; round figures (common practice, no source).
GLIDER: Final = Airplane(
    trim_speed=50 * knot,
    parasitic=0.0145,
    induced=0.0150,
    full_thrust=0.0,
    static_thrust=0.0,
    roll_rate=radians(15),
)
