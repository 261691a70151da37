"""The air that a maneuver is planned in: steady and uniform."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, sin


@dataclass(frozen=True, slots=True)
class Air:
    """Airspeed and wind at the maneuver's height.

    Attributes
    ----------
    true_airspeed
        V [m s⁻¹]
    wind_speed
        W, less than V [m s⁻¹]
    downwind
        Track straight downwind, true; any in a calm [rad]
    """

    true_airspeed: float
    wind_speed: float
    downwind: float

    @property
    def east(self) -> float:
        """Velocity of the air to the east [m s⁻¹]."""
        return self.wind_speed * sin(self.downwind)

    @property
    def north(self) -> float:
        """Velocity of the air to the north [m s⁻¹]."""
        return self.wind_speed * cos(self.downwind)
