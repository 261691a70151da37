"""The moving air of a simulated flight: steady wind, its growth with height, a slow shift and gusts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, exp, sin, sqrt

import numpy as np

_BLOCK = 4096


def normal_draws(generator: np.random.Generator) -> Iterator[float]:
    """Yield standard normal numbers as plain floats, which are quicker than numpy scalars in a loop."""
    while True:
        yield from generator.standard_normal(_BLOCK).tolist()


class Wander:
    """A first-order Gauss–Markov (Ornstein–Uhlenbeck) process, one value a step.

    x(t+Δt) = a x(t) + sd √(1−a²) ξ with a = exp(−Δt/τ), which is exact for any Δt.

    Parameters
    ----------
    sd
        Standard deviation, in the unit of the value.
    correlation_time
        Time τ after which the correlation has fallen to 1/e [s]
    step
        Time between values [s]
    generator
        Source of chance, used by this process alone.
    """

    __slots__ = ("_draws", "_keep", "_kick", "value")

    def __init__(self, sd: float, correlation_time: float, step: float, generator: np.random.Generator):
        self._keep = exp(-step / correlation_time)
        self._kick = sd * sqrt(1.0 - self._keep**2)
        self._draws = normal_draws(generator)
        self.value = sd * next(self._draws)

    def advance(self) -> float:
        """Move one step on and return the new value."""
        self.value = self._keep * self.value + self._kick * next(self._draws)
        return self.value


@dataclass(frozen=True, slots=True)
class Weather:
    """What the air does, before chance.

    Attributes
    ----------
    east, north
        Velocity of the air at the maneuver's height at the start, the direction it moves *to* [m s⁻¹]
    shift_east, shift_north
        Change of that velocity over ``shift_time``, made evenly and then kept [m s⁻¹]
    shift_time
        [s]
    gust_sd
        Standard deviation of the gusts on each axis [m s⁻¹]
    gust_time
        Correlation time of the gusts [s]
    full_height
        Height above the ground from which the wind no longer grows [m]
    shear_exponent
        Below it the wind is (height/full height) to this power; 1/7 is the usual figure over open farmland
        by day (common practice, no source).
    """

    east: float
    north: float
    shift_east: float = 0.0
    shift_north: float = 0.0
    shift_time: float = 1500.0
    gust_sd: float = 0.0
    gust_time: float = 6.0
    full_height: float = 120.0
    shear_exponent: float = 1.0 / 7.0

    @classmethod
    def blowing(
        cls,
        speed: float,
        wind_from: float,
        *,
        shift: tuple[float, float] = (0.0, 0.0),
        gust_sd: float = 0.0,
        height: float = 200.0,
    ) -> Weather:
        """Return the air for a wind as aviators state it.

        Parameters
        ----------
        speed, wind_from
            Wind at the height of the maneuver [m s⁻¹], [rad]
        shift
            Change of the air's velocity, east and north [m s⁻¹]
        gust_sd
            [m s⁻¹]
        height
            Of the maneuver, well above that up to which the wind grows [m]
        """
        return cls(
            east=-speed * sin(wind_from),
            north=-speed * cos(wind_from),
            shift_east=shift[0],
            shift_north=shift[1],
            gust_sd=gust_sd,
            full_height=min(0.6 * height, 120.0),
        )


class WindField:
    """The air along one flight; asked once a step, in order."""

    __slots__ = ("_gust_east", "_gust_north", "weather")

    def __init__(self, weather: Weather, step: float, generator: np.random.Generator) -> None:
        east, north = generator.spawn(2)
        self.weather = weather
        self._gust_east = Wander(weather.gust_sd, weather.gust_time, step, east)
        self._gust_north = Wander(weather.gust_sd, weather.gust_time, step, north)

    def at(self, time: float, height: float) -> tuple[float, float]:
        """Return the air's velocity, east and north, one step after the last call [m s⁻¹].

        Parameters
        ----------
        time
            Since the start of the flight [s]
        height
            Above the ground [m]
        """
        weather = self.weather
        part = min(time / weather.shift_time, 1.0)
        growth = min(1.0, (max(height, 2.0) / weather.full_height) ** weather.shear_exponent)
        return (
            growth * (weather.east + part * weather.shift_east + self._gust_east.advance()),
            growth * (weather.north + part * weather.shift_north + self._gust_north.advance()),
        )
