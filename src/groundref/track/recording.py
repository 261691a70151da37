"""A recording: what the file said, sample by sample, in SI, with what is missing left missing."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from datetime import UTC, datetime
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Rejection:
    """A sample or a row that was not used, and why.

    Attributes
    ----------
    time
        Seconds from the epoch of the recording; None where the row had no readable time [s]
    why
        The reason, as a short clause.
    """

    time: float | None
    why: str


@dataclass(frozen=True, slots=True)
class Recording:
    """Samples of one flight as its file states them.

    All arrays have one length and are read-only. A channel that the file does not have is None; a cell
    that is missing in a channel is NaN. The three altitudes are different things and are never mixed.

    Attributes
    ----------
    source
        Name of the file, for messages and reports.
    format
        `gpx`, `csv`, `adsb` or `simulated`.
    epoch
        Moment from which ``time`` counts, in UTC.
    time
        Time of each sample, in the file's own order [s]
    latitude, longitude
        Position on WGS 84 [rad]
    altitude_msl
        Altitude above mean sea level [m]
    altitude_ellipsoid
        Altitude above the WGS 84 ellipsoid [m]
    altitude_pressure
        Pressure altitude, in the standard atmosphere from 1013.25 hPa [m]
    ground_speed
        Speed over the ground as the recorder measured it [m s⁻¹]
    track
        True direction of the motion over the ground as measured [rad]
    vertical_speed
        Rate of climb, up positive [m s⁻¹]
    true_airspeed, indicated_airspeed
        Airspeeds as measured [m s⁻¹]
    heading, heading_magnetic
        Direction of the nose, from true or from magnetic north [rad]
    bank
        Bank, right wing down positive [rad]
    pitch
        Pitch, nose up positive [rad]
    lateral_acceleration
        Specific force along the right wing, as an accelerometer shows it; zero when coordinated [m s⁻²]
    normal_acceleration
        Specific force along the airplane's upward axis; one g in level flight [m s⁻²]
    temperature
        Outside air temperature [K]
    on_ground
        Whether the recorder said that the airplane was on the ground.
    part
        Number of the piece of the file (track segment, file) that the sample came from.
    rejected
        Rows that could not be read.
    notes
        What a reader should know about how the file was understood, one plain sentence each.
    """

    source: str
    format: str
    epoch: datetime
    time: Floats
    latitude: Floats
    longitude: Floats
    altitude_msl: Floats | None = None
    altitude_ellipsoid: Floats | None = None
    altitude_pressure: Floats | None = None
    ground_speed: Floats | None = None
    track: Floats | None = None
    vertical_speed: Floats | None = None
    true_airspeed: Floats | None = None
    indicated_airspeed: Floats | None = None
    heading: Floats | None = None
    heading_magnetic: Floats | None = None
    bank: Floats | None = None
    pitch: Floats | None = None
    lateral_acceleration: Floats | None = None
    normal_acceleration: Floats | None = None
    temperature: Floats | None = None
    on_ground: Bools | None = None
    part: NDArray[np.int64] | None = None
    rejected: tuple[Rejection, ...] = ()
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Freeze the arrays and check that they belong together."""
        if self.epoch.tzinfo is None:
            raise ValueError("the epoch of a recording needs a time zone")
        for name in CHANNELS:
            values = getattr(self, name)
            if values is None:
                continue
            if values.shape != self.time.shape:
                raise ValueError(f"{name} has {values.shape} samples, time has {self.time.shape}")
            values.setflags(write=False)

    def __len__(self) -> int:
        """Return the number of samples."""
        return int(self.time.size)

    @property
    def measured(self) -> tuple[str, ...]:
        """Names of the channels that hold at least one value, in the order of the attributes."""
        return tuple(
            name
            for name in CHANNELS
            if name not in _NOT_MEASUREMENTS
            and (values := getattr(self, name)) is not None
            and (values.dtype == np.bool_ or bool(np.isfinite(values).any()))
        )

    def take(self, index: NDArray[np.int64] | Bools | slice) -> Recording:
        """Return the recording with only the samples at ``index``, in that order."""
        picked: dict[str, Any] = {
            name: np.array(values[index]) for name in CHANNELS if (values := getattr(self, name)) is not None
        }
        return replace(self, **picked)


CHANNELS: Final = tuple(
    field.name
    for field in fields(Recording)
    if field.name not in {"source", "format", "epoch", "rejected", "notes"}
)
_NOT_MEASUREMENTS: Final = frozenset({"time", "part"})


def from_posix(seconds: float) -> datetime:
    """Return the UTC moment that lies ``seconds`` after 1970-01-01 [s]."""
    return datetime.fromtimestamp(seconds, tz=UTC)
