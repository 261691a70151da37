"""Evidence as log-odds: how much likelier a figure is under one explanation than under another."""

from __future__ import annotations

from typing import Final

import numpy as np

from groundref.estimation.states import States
from groundref.estimation.wind_value import Wind
from groundref.units import foot, knot

# Keeps logarithms finite, and far below any density: of two that are both small the smaller one still tells.
_FLOOR: Final = 1e-300

FELT: Final = 3.0 * knot  # of wind, by which as many lay an eight or an entry as do not; own figure

# Heights above the ground that are usual, mean and spread [ft]: 600 to 1,000 ft for work about the ground
# (FAA-H-8083-3C, chapter 7), steep turns at 1,500 ft and more (FAA-H-8083-3C, chapter 10, from memory), and
# anything for ordinary flying.
LOW: Final = (850.0, 250.0)
HIGH: Final = (2500.0, 900.0)
ANY: Final = (1600.0, 1000.0)
# [m] above mean sea level, whatever its datum: no maneuver is practiced so high; own figure.
NO_GROUND: Final = 15_000 * foot


def density(value: float, mean: float, sd: float) -> float:
    """Return a normal density but for the common factor."""
    return float(np.exp(-0.5 * ((value - mean) / sd) ** 2) / sd)


def direction_density(off: float, sd: float) -> float:
    """Return a normal density of a direction, wrapped all the way round: of one full turn its area is 1.

    Parameters
    ----------
    off, sd
        From the usual direction, and its standard deviation [°]
    """
    if sd > 180.0:  # as good as any
        return 1.0 / 360.0
    turns = (off + 360.0 * np.arange(-2, 3)) / sd
    return float(np.sum(np.exp(-0.5 * turns**2))) / (sd * float(np.sqrt(2.0 * np.pi)))


def felt(wind: Wind) -> float:
    """Return the share of students who lay what they fly by so light a wind.

    Parameters
    ----------
    wind
        Half of them feel one of `FELT`.
    """
    return wind.speed**2 / (wind.speed**2 + FELT**2)


def log_ratio(one: float, other: float, least: float = -3.0, most: float = 3.0) -> float:
    """Return the logarithm of a ratio of two densities, kept within what one piece of evidence may weigh."""
    return float(np.clip(np.log((one + _FLOOR) / (other + _FLOOR)), least, most))


def height_evidence(
    states: States,
    first: int,
    last: int,
    usual: tuple[float, float],
    otherwise: tuple[float, float] = ANY,
) -> float:
    """Return what the height above the ground says for a maneuver; 0 where it is not known.

    Far above any land that is trained over it says no also without the ground's elevation.

    Parameters
    ----------
    states
        The flight.
    first, last
        Samples of the maneuver, ``last`` inclusive.
    usual, otherwise
        Mean and spread of the height in the maneuver and in ordinary flying [ft]
    """
    part = slice(first, last + 1)
    if states.altitude is not None and float(np.mean(states.altitude[part])) > NO_GROUND:
        return -3.0
    if states.height is None or states.height_sd is None:
        return 0.0
    height, sd = float(np.mean(states.height[part])) / foot, float(np.mean(states.height_sd[part])) / foot
    if not np.isfinite(height + sd):
        return 0.0
    here = density(height, usual[0], float(np.hypot(usual[1], sd)))
    there = density(height, otherwise[0], float(np.hypot(otherwise[1], sd)))
    return log_ratio(here, there, -3.0, 2.0)


def size_evidence(radius: float, wind: Wind | None, least: float) -> float:
    """Return what a wide circle says; one of a usual radius, some 1,200 ft, says nothing: others fly it too.

    Wind W makes it wider: at one steepest bank the radius goes with (V + W)².

    Parameters
    ----------
    radius, wind
        Of the circle [m], and over it.
    least
        Log-odds of the widest.
    """
    share = 0.0 if wind is None else wind.speed / wind.true_airspeed
    size = float(np.log(radius / (1.0 + share) ** 2 / foot))
    usual, wide = density(size, np.log(1200.0), 0.45), density(size, np.log(4000.0), 0.8)
    return log_ratio(usual, wide, least, 0.0)


def climb(states: States, first: int, last: int) -> float:
    """Return the mean rate of climb over a stretch; 0 where no altitude was recorded [m s⁻¹]."""
    if states.altitude is None or last <= first:
        return 0.0
    time = states.time[first : last + 1]
    return float(np.polyfit(time - time.mean(), states.altitude[first : last + 1], 1)[0])
