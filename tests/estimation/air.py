"""Flights with known wind, made straight from the equations of motion, apart from the project's simulator."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from groundref.estimation.estimate import Given, estimate
from groundref.estimation.states import States
from groundref.geo.frame import LocalFrame
from groundref.track.clean import clean
from groundref.track.recording import Recording

Floats = NDArray[np.float64]
EPOCH = datetime(2026, 5, 1, 14, 0, tzinfo=UTC)
HOME = LocalFrame(np.radians(40.1), np.radians(-90.2))
G = 9.80665
KT = 1852.0 / 3600.0


class Flown:
    """An airplane that turns at given rates through moving air: v = V (sin ψ, cos ψ) + w, integrated finely.

    Parameters
    ----------
    legs
        Seconds and rate of turn of each leg [s], [rad s⁻¹]
    airspeed
        V as a number or a function of time and heading [m s⁻¹]
    wind
        East and north, or a function of time that returns them [m s⁻¹]
    heading
        At the start [rad]
    """

    def __init__(
        self,
        legs: list[tuple[float, float]],
        airspeed: Any = 46.3,
        wind: Any = (5.0, -4.0),
        heading: float = 0.3,
    ) -> None:
        step = 0.05
        rates = np.concatenate([np.full(round(seconds / step), rate) for seconds, rate in legs])
        kernel = np.hanning(int(3.0 / step))  # an airplane takes some seconds to roll
        rates = np.convolve(np.pad(rates, kernel.size, mode="edge"), kernel / kernel.sum(), "same")
        rates = rates[kernel.size : -kernel.size]
        self.time = np.arange(rates.size) * step
        self.heading = heading + np.concatenate([[0.0], np.cumsum(0.5 * (rates[1:] + rates[:-1]) * step)])
        flat = np.zeros_like(self.time)
        self.airspeed = flat + (airspeed(self.time, self.heading) if callable(airspeed) else airspeed)
        wind_east, wind_north = wind(self.time) if callable(wind) else wind
        self.wind_east, self.wind_north = flat + wind_east, flat + wind_north
        self.velocity_east = self.airspeed * np.sin(self.heading) + self.wind_east
        self.velocity_north = self.airspeed * np.cos(self.heading) + self.wind_north
        self.bank = np.arctan(self.airspeed * rates / G)
        self.east = np.concatenate(
            [[0.0], np.cumsum(0.5 * (self.velocity_east[1:] + self.velocity_east[:-1]) * step)]
        )
        self.north = np.concatenate(
            [[0.0], np.cumsum(0.5 * (self.velocity_north[1:] + self.velocity_north[:-1]) * step)]
        )

    def at(self, name: str, time: Floats) -> Floats:
        return np.interp(time, self.time, getattr(self, name))

    def recording(
        self,
        noise: float = 0.5,
        interval: float = 1.0,
        seed: int = 0,
        altitude: float | None = 500.0,
        frame: LocalFrame = HOME,
        turned: float = 0.0,
        mirrored: bool = False,
        later: float = 0.0,
        **channels: Any,
    ) -> Recording:
        """Record positions with white noise; the flight turned clockwise [rad], mirrored, or later [s]."""
        chance = np.random.default_rng(seed)
        time = np.arange(0.0, self.time[-1], interval)
        east = self.at("east", time) + chance.normal(0.0, noise, time.size)
        north = self.at("north", time) + chance.normal(0.0, noise, time.size)
        if mirrored:
            east = -east
        s, c = np.sin(turned), np.cos(turned)
        latitude, longitude = frame.to_geographic(c * east + s * north, c * north - s * east)
        if altitude is not None and "altitude_msl" not in channels:
            channels["altitude_msl"] = np.full(time.size, altitude)
        return Recording("flown", "simulated", EPOCH, time + later, latitude, longitude, **channels)


def states(recording: Recording, given: Given | None = None) -> States:
    return estimate(clean(recording), given)


def lap_rate(bank_degrees: float = 25.0, airspeed: float = 46.3) -> float:
    """Return the rate of turn at a bank, g tan φ/V [rad s⁻¹]."""
    return float(G * np.tan(np.radians(bank_degrees)) / airspeed)


def laps(count: float, bank_degrees: float = 25.0, straight: float = 40.0) -> list[tuple[float, float]]:
    """Return straight flight, so many laps at constant bank, and straight flight."""
    rate = lap_rate(bank_degrees)
    return [(straight, 0.0), (count * 2 * np.pi / abs(rate), rate), (straight, 0.0)]
