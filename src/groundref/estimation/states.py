"""States: the airplane's motion at every sample of a track, each quantity with its standard deviation."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class States:
    """What the airplane did, at the track's times; arrays of one length, SI, radians, true north.

    A quantity that cannot be told at a sample is NaN there; one that cannot be told at all is None.

    Attributes
    ----------
    time
        From the recording's epoch [s]
    piece
        Number of the gapless piece.
    east, north
        Smoothed position in the track's frame [m]
    velocity_east, velocity_north
        Smoothed velocity over the ground [m s⁻¹]
    acceleration_east, acceleration_north
        Smoothed acceleration [m s⁻²]
    position_sd, velocity_sd, acceleration_sd
        Standard deviation per axis from moment to moment [m], [m s⁻¹], [m s⁻²]; the slow wander of satellite
        positions, some metres over minutes, comes on top of the first
    ground_speed
        Speed over the ground [m s⁻¹]
    track
        Direction of motion over the ground, unwrapped within each piece (continuous) [rad]
    track_rate
        Its rate, clockwise positive [rad s⁻¹]
    altitude
        Smoothed altitude; its datum is ``altitude_datum`` [m]
    altitude_sd
        Standard deviation of the altitude *changes* within minutes (a common offset excluded) [m]
    altitude_datum
        `msl`, `ellipsoid`, `pressure`, `indicated` (pressure altitude read with an altimeter setting), or
        None when no altitude was recorded.
    vertical_speed
        Rate of climb [m s⁻¹]
    height
        Height above the ground, None without a ground elevation [m]
    height_sd
        Its standard deviation, common offset included [m]
    height_source
        How the ground elevation was found, as a plain clause; empty when it was not.
    wind_east, wind_north
        Velocity of the air, the direction it moves *to* [m s⁻¹]
    wind_east_sd, wind_north_sd, wind_covariance
        Standard deviations and east-north covariance [m s⁻¹], [m² s⁻²]
    true_airspeed, true_airspeed_sd
        True airspeed [m s⁻¹]
    airspeed_source
        `measured` or `derived`.
    airspeed_wander
        How much the airspeed wandered about its trim within seconds, gusts included [m s⁻¹]
    heading
        Direction of the nose, [0, 2π) [rad]
    crab
        Heading minus track, nose to the right positive [rad]
    bank, bank_sd
        Bank, right positive [rad]
    bank_source
        `measured` or `derived`.
    lateral_acceleration
        As recorded; None when it was not [m s⁻²]
    notes
        What was found and decided, one plain sentence each.
    """

    time: Floats
    piece: NDArray[np.int64]
    east: Floats
    north: Floats
    velocity_east: Floats
    velocity_north: Floats
    acceleration_east: Floats
    acceleration_north: Floats
    position_sd: Floats
    velocity_sd: Floats
    acceleration_sd: Floats
    ground_speed: Floats
    track: Floats
    track_rate: Floats
    altitude: Floats | None
    altitude_sd: Floats | None
    altitude_datum: str | None
    vertical_speed: Floats | None
    height: Floats | None
    height_sd: Floats | None
    height_source: str
    wind_east: Floats
    wind_north: Floats
    wind_east_sd: Floats
    wind_north_sd: Floats
    wind_covariance: Floats
    true_airspeed: Floats
    true_airspeed_sd: Floats
    airspeed_source: str
    airspeed_wander: float
    heading: Floats
    crab: Floats
    bank: Floats
    bank_sd: Floats
    bank_source: str
    lateral_acceleration: Floats | None
    notes: tuple[str, ...] = ()

    def __len__(self) -> int:
        """Return the number of samples."""
        return int(self.time.size)

    def part(self, first: int, last: int) -> States:
        """Return the states of a part of the flight, ``last`` inclusive."""
        inner = slice(first, last + 1)
        values: dict[str, Any] = {
            one.name: value[inner]
            for one in fields(self)
            for value in (getattr(self, one.name),)
            if isinstance(value, np.ndarray)
        }
        return replace(self, **values)
