"""What is flown in which air: airplane types of the independent flight dynamics model, winds, beginnings."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin
from typing import Final

from .autopilot import Gains

KNOT: Final = 1852.0 / 3600.0
FOOT: Final = 0.3048


@dataclass(frozen=True, slots=True)
class Type:
    """An airplane type of the library.

    Attributes
    ----------
    gains
        Of the inner loops.
    speeds_kt
        Slowest and fastest true airspeed it practises at.
    climb
        Rate of climb it is asked for at most [m s⁻¹]
    """

    gains: Gains
    speeds_kt: tuple[float, float]
    climb: float


def _gains(speed_kt: float) -> Gains:
    """Return gains that bring a bank without overshooting it."""
    return Gains(speed=speed_kt * KNOT, aileron=2.0, aileron_integral=0.15)


TYPES: Final = {
    "c172p": Type(_gains(95.0), (80.0, 105.0), 3.5),
    "c172r": Type(_gains(95.0), (80.0, 105.0), 3.0),
    "c172x": Type(_gains(95.0), (85.0, 105.0), 3.0),
    "c182": Type(_gains(95.0), (90.0, 120.0), 4.0),
    "J3Cub": Type(_gains(62.0), (58.0, 68.0), 1.8),
}
"""Those of the library's light airplanes that have the power to hold height and speed in a steep turn."""


@dataclass(frozen=True, slots=True)
class Air:
    """What the air does.

    Attributes
    ----------
    wind_kt, wind_from_deg
        Wind at the start.
    shift_east_kt, shift_north_kt, shift_time
        How far its velocity moves, evenly, over a time [kt], [s]
    gust_kt
        Standard deviation of slow gusts of each horizontal component, remembered for some six seconds.
    turbulence_kt
        Wind at 20 ft that the library's turbulence of MIL-F-8785C takes its strength from; 0 for none.
    """

    wind_kt: float = 0.0
    wind_from_deg: float = 0.0
    shift_east_kt: float = 0.0
    shift_north_kt: float = 0.0
    shift_time: float = 1500.0
    gust_kt: float = 0.0
    turbulence_kt: float = 0.0

    @property
    def east(self) -> float:
        """Velocity of the air to the east at the start [m s⁻¹]."""
        return -self.wind_kt * KNOT * sin(radians(self.wind_from_deg))

    @property
    def north(self) -> float:
        """The same to the north [m s⁻¹]."""
        return -self.wind_kt * KNOT * cos(radians(self.wind_from_deg))


@dataclass(frozen=True, slots=True)
class Sortie:
    """All of a flight but its legs.

    Attributes
    ----------
    airplane
        One of `TYPES`.
    air
        What the air does.
    east, north, height
        Where it begins: from the frame's origin and above the ground [m]
    course
        Track at the beginning [rad]
    speed
        True airspeed at the beginning [m s⁻¹]
    number
        Number of the draws: the pilot's unsteadiness and the air.
    unsteadiness
        How much the pilot wanders; 1 a careful student, 0 a steady hand.
    roll_rate
        What the legs are told about how quickly the airplane rolls [rad s⁻¹]
    """

    airplane: str
    air: Air
    east: float
    north: float
    height: float
    course: float
    speed: float
    number: int = 0
    unsteadiness: float = 1.0
    roll_rate: float = radians(12.0)
