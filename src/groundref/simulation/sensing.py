"""What all simulated recorders share: the day, the clock, wandering errors and rounding."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from groundref.mechanics import atmosphere
from groundref.simulation.truth import Truth
from groundref.units import degree, hectopascal

Floats = NDArray[np.float64]
Chance = np.random.Generator


@dataclass(frozen=True, slots=True)
class Day:
    """The day's air and magnetism.

    Attributes
    ----------
    altimeter_setting
        QNH [Pa]
    warmer
        Temperature above the standard one at each height [K]
    variation
        Magnetic variation, east positive; an invented round value near that of the practice area [rad]
    geoid
        Height of mean sea level above the WGS 84 ellipsoid there, from memory [m]
    """

    altimeter_setting: float = 1004.6 * hectopascal
    warmer: float = 7.0
    variation: float = -1.5 * degree
    geoid: float = -33.0

    def temperature(self, truth: Truth, time: Floats) -> Floats:
        """Return the outside air temperature [K]."""
        return atmosphere.temperature(truth.at("altitude", time)) + self.warmer

    def pressure_altitude(self, truth: Truth, time: Floats) -> Floats:
        """Return the pressure altitude; in warm air the levels of pressure lie further apart [m]."""
        field = float(
            atmosphere.pressure_altitude_from_indicated(truth.ground_elevation, self.altimeter_setting)
        )
        standard = atmosphere.temperature(truth.at("altitude", time))
        return field + truth.at("height", time) * standard / (standard + self.warmer)


def wandering(time: Floats, sd: float, correlation_time: float, chance: Chance) -> Floats:
    """Return a first-order Gauss–Markov error at any increasing times.

    x(t₂) = a x(t₁) + sd √(1−a²) ξ with a = exp(−(t₂−t₁)/τ), exact for any spacing.

    Parameters
    ----------
    time
        [s]
    sd
        Standard deviation, in the unit of the error.
    correlation_time
        τ [s]
    chance
        Source of chance.
    """
    draws = chance.standard_normal(time.size)
    keep = np.exp(-np.diff(time) / correlation_time)
    kicks = sd * np.sqrt(1.0 - keep**2) * draws[1:]
    value = sd * float(draws[0])
    values = [value]
    for factor, kick in zip(keep.tolist(), kicks.tolist(), strict=True):
        value = factor * value + kick
        values.append(value)
    return np.array(values)


def clock(truth: Truth, interval: float) -> Floats:
    """Return even times to the millisecond, as receivers sample on the whole second [s]."""
    return stepped(np.arange(0.0, truth.time[-1], interval), 0.001)


def place(truth: Truth, time: Floats, off_east: Floats, off_north: Floats) -> tuple[Floats, Floats]:
    """Return latitude and longitude with an error east and north of the true place [rad]."""
    return truth.frame.to_geographic(truth.at("east", time) + off_east, truth.at("north", time) + off_north)


def stepped(values: Floats, step: float | Floats) -> Floats:
    """Round to whole steps."""
    return np.asarray(np.round(values / step) * step, dtype=np.float64)
