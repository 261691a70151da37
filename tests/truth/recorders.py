"""What a phone or a panel would have recorded of a flight of known truth.

Sizes of errors: position of a phone under open sky is commonly given as about 5 m (two standard deviations
of 2.5 m) and its error changes over minutes; altitude is two to three times worse. No single source prints
the whole set: the numbers are common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from math import exp, radians, sqrt
from typing import Final, Protocol

import numpy as np
from numpy.typing import NDArray

from groundref.track.recording import Recording

from .flights import KNOT, TruthFlight

Floats = NDArray[np.float64]

EPOCH: Final = datetime(2026, 5, 1, 12, 0, tzinfo=UTC)
_EARTH: Final = 6.371e6
PHONE_SD: Final = 2.5
MEMORY: Final = 120.0
"""Slowly changing position error of a phone per axis [m], and the time it is remembered for [s]."""


class Numbered(Protocol):
    """What was ordered, as far as a recorder asks: the number that draws its errors."""

    @property
    def number(self) -> int: ...


class Flown(Protocol):
    """A flight as it was, as far as a phone can see it; see ``TruthFlight``."""

    @property
    def order(self) -> Numbered: ...

    @property
    def time(self) -> Floats: ...

    @property
    def latitude(self) -> Floats: ...

    @property
    def longitude(self) -> Floats: ...


def gauss_markov(rng: np.random.Generator, time: Floats, sd: float, correlation: float) -> Floats:
    """Return a stationary error of standard deviation `sd` that is forgotten over `correlation` [s]."""
    value, values = rng.normal(0.0, sd), np.empty_like(time)
    draws = rng.normal(size=time.size)
    for i, step in enumerate(np.diff(time, prepend=time[0])):
        kept = exp(-step / correlation)
        value = kept * value + sqrt(1.0 - kept * kept) * sd * draws[i]
        values[i] = value
    return values


def _clock(rng: np.random.Generator, truth: Flown, interval: float) -> Floats:
    return np.arange(rng.uniform(0.0, interval), float(truth.time[-1]), interval)


def _at(truth: Flown, name: str, time: Floats) -> Floats:
    values: Floats = getattr(truth, name)
    return np.interp(time, truth.time, values)


def _angle_at(truth: Flown, name: str, time: Floats) -> Floats:
    angles: Floats = getattr(truth, name)
    return np.asarray(np.interp(time, truth.time, np.unwrap(angles)) % (2 * np.pi), dtype=np.float64)


def _position(
    truth: Flown, rng: np.random.Generator, time: Floats, sd: float, white: float
) -> tuple[Floats, Floats]:
    north = gauss_markov(rng, time, sd, MEMORY) + rng.normal(0.0, white, time.size)
    east = gauss_markov(rng, time, sd, MEMORY) + rng.normal(0.0, white, time.size)
    latitude, longitude = _at(truth, "latitude", time), _at(truth, "longitude", time)
    return latitude + north / _EARTH, longitude + east / (_EARTH * np.cos(latitude))


def phone(
    truth: Flown,
    draw: int,
    interval: float = 1.0,
    sd: float = PHONE_SD,
    white: float = 0.4,
    velocity: bool = False,
) -> Recording:
    """Return what a phone recorded: positions and altitude, a few fixes missing.

    Parameters
    ----------
    truth
        The flight.
    draw
        Number of the draw of the errors.
    interval
        Time between fixes [s]
    sd, white
        Slowly changing and white position error per axis [m]
    velocity
        Whether ground speed and track were recorded too, with 0.1 m/s of error per axis.
    """
    rng = np.random.default_rng([draw, truth.order.number, 11])
    time = _clock(rng, truth, interval)
    latitude, longitude = _position(truth, rng, time, sd, white)
    altitude = _at(truth, "altitude", time) + gauss_markov(rng, time, 5.0, 120.0)
    recording = Recording(
        source="phone.gpx",
        format="gpx",
        epoch=EPOCH,
        time=time,
        latitude=latitude,
        longitude=longitude,
        altitude_msl=altitude + rng.normal(0.0, 0.5, time.size),
    )
    if velocity:
        recording = _with_velocity(recording, truth, rng)
    return recording.take(_kept(rng, time.size))


def _with_velocity(recording: Recording, truth: Flown, rng: np.random.Generator) -> Recording:
    east = _at(truth, "velocity_east", recording.time) + rng.normal(0.0, 0.1, len(recording))
    north = _at(truth, "velocity_north", recording.time) + rng.normal(0.0, 0.1, len(recording))
    return replace(recording, ground_speed=np.hypot(east, north), track=np.arctan2(east, north) % (2 * np.pi))


def _kept(rng: np.random.Generator, size: int) -> NDArray[np.bool_]:
    """Drop one to three fixes in a row, three times."""
    kept = np.ones(size, dtype=bool)
    for first in rng.integers(5, size - 10, 3):
        kept[first : first + rng.integers(1, 4)] = False
    return kept


def with_airspeed(truth: Flown, draw: int, interval: float = 1.0) -> Recording:
    """Return a phone's recording to which the true airspeed was logged: bias sd 0.7 kt, 0.5 kt of noise."""
    recording = phone(truth, draw, interval)
    rng = np.random.default_rng([draw, truth.order.number, 13])
    airspeed = _at(truth, "true_airspeed", recording.time) + rng.normal(0.0, 0.7 * KNOT)
    return replace(recording, true_airspeed=airspeed + rng.normal(0.0, 0.5 * KNOT, len(recording)))


def avionics(truth: TruthFlight, draw: int, interval: float = 1.0) -> Recording:
    """Return what a panel recorded: position, ground velocity, airspeeds, heading, attitude, accelerations.

    Biases (standard deviations): airspeed 0.7 kt, heading 1°, bank and pitch 0.5°.
    """
    rng = np.random.default_rng([draw, truth.order.number, 17])
    time = _clock(rng, truth, interval)
    latitude, longitude = _position(truth, rng, time, sd=1.0, white=0.2)
    airspeed_bias = rng.normal(0.0, 0.7 * KNOT)

    def noisy(values: Floats, bias: float, noise: float) -> Floats:
        return values + bias + rng.normal(0.0, noise, time.size)

    recording = Recording(
        source="panel.csv",
        format="csv",
        epoch=EPOCH,
        time=time,
        latitude=latitude,
        longitude=longitude,
        altitude_msl=_at(truth, "altitude", time) + gauss_markov(rng, time, 2.0, 120.0),
        true_airspeed=noisy(_at(truth, "true_airspeed", time), airspeed_bias, 0.3 * KNOT),
        indicated_airspeed=noisy(_at(truth, "calibrated_airspeed", time), airspeed_bias, 0.3 * KNOT),
        heading=noisy(_angle_at(truth, "heading", time), rng.normal(0.0, radians(1.0)), radians(0.3))
        % (2 * np.pi),
        bank=noisy(_at(truth, "bank", time), rng.normal(0.0, radians(0.5)), radians(0.2)),
        pitch=noisy(_at(truth, "pitch", time), rng.normal(0.0, radians(0.5)), radians(0.2)),
        lateral_acceleration=noisy(_at(truth, "lateral_acceleration", time), 0.0, 0.1),
    )
    return _with_velocity(recording, truth, rng)
