"""A wind with its covariance and the true airspeed that was found with it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from groundref.angles import direction_of

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Wind:
    """Mean wind over a stretch of time, and the true airspeed flown in it.

    Attributes
    ----------
    start, end
        The stretch, from the recording's epoch [s]
    east, north
        Velocity of the air, the direction it moves *to* [m s⁻¹]
    east_sd, north_sd, covariance
        Standard deviations and east-north covariance [m s⁻¹], [m² s⁻²]
    true_airspeed, true_airspeed_sd
        Mean true airspeed over the stretch [m s⁻¹]
    """

    start: float
    end: float
    east: float
    north: float
    east_sd: float
    north_sd: float
    covariance: float
    true_airspeed: float
    true_airspeed_sd: float

    @property
    def speed(self) -> float:
        """Wind speed [m s⁻¹]."""
        return float(np.hypot(self.east, self.north))

    @property
    def direction_from(self) -> float:
        """Direction the wind blows *from*, true, [0, 2π) [rad]."""
        return float(direction_of(-self.east, -self.north))

    @property
    def direction_to(self) -> float:
        """Direction the air moves to, true, [0, 2π) [rad]."""
        return float(direction_of(self.east, self.north))

    @property
    def speed_sd(self) -> float:
        """Standard deviation of a component in the direction of the wind [m s⁻¹]."""
        to = self.direction_to
        s, c = np.sin(to), np.cos(to)
        variance = (s * self.east_sd) ** 2 + (c * self.north_sd) ** 2 + 2 * s * c * self.covariance
        return float(np.sqrt(max(variance, 0.0)))

    @property
    def direction_sd(self) -> float:
        """Standard deviation of the direction, π when the wind is too light for one [rad]."""
        to = self.direction_to
        s, c = np.sin(to), np.cos(to)
        across = (c * self.east_sd) ** 2 + (s * self.north_sd) ** 2 - 2 * s * c * self.covariance
        if self.speed <= 0.0:
            return float(np.pi)
        return float(min(np.arctan2(np.sqrt(max(across, 0.0)), self.speed) * 1.0, np.pi))


def largest_sd(variance_east: Floats, variance_north: Floats, covariance: Floats) -> Floats:
    """Return the standard deviation along the worst direction of a 2 × 2 covariance."""
    mean, half = 0.5 * (variance_east + variance_north), 0.5 * (variance_east - variance_north)
    return np.sqrt(mean + np.hypot(half, covariance))
