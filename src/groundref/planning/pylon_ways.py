"""The ways across between the pylons of an eight on pylons.

Each is flown on one heading: with r to the right of the nose, s = ±1 for the side that the next pylon is on,
and d and d' the distances of the two pylons when abeam,

    next − last pylon = (V h + w) T + s (d + d') r.

V, d and d' hang on both headings and the headings on them; both settle together.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import asin, atan2, cos, hypot, sin, sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import half_turn, wrap_signed
from groundref.errors import NoSolutionError
from groundref.mechanics import pylon_traded
from groundref.planning.air import Air
from groundref.units import foot

Floats = NDArray[np.float64]

SECONDS: Final = 4.0
"""Straight between the pylons: 3 to 5 s (handbook, read in a secondary copy) [s]."""
_SHORTEST, _LONGEST = 1.0, 60.0  # [s]
_ROUNDS: Final = 40
_SETTLED: Final = 1e-10  # [rad], a tenth of a micrometre across a loop


@dataclass(frozen=True, slots=True)
class Way:
    """A way across.

    Attributes
    ----------
    heading
        True [rad]
    seconds
        It is flown for [s]
    spacing
        Distance between the pylons that it spans [m]
    """

    heading: float
    seconds: float
    spacing: float


def ways(air: Air, side: float, axis: float, radius: float, spacing: float | None) -> tuple[Way, Way]:
    """Return the ways to the second pylon and back.

    Parameters
    ----------
    air
        True airspeed where the wind is square to the heading, and the wind.
    side
        Of the first pylon's turn: +1 right, −1 left.
    axis
        From the first pylon to the second, true [rad]
    radius
        Distance from a pylon at which its turn begins [m]
    spacing
        Of the pylons; None takes what a way there of `SECONDS` spans [m]

    Raises
    ------
    NoSolutionError
        When there is no straight way of some seconds between the pylons.

    Notes
    -----
    Source: Broyden's method (C. G. Broyden, A class of methods for solving nonlinear simultaneous equations,
    1965), whose first step is a whole step of the plain iteration; in a strong wind that alone goes to and
    fro.
    """
    off_axis = side * _in_calm(air, radius, spacing)
    headings = np.array([axis + off_axis, axis + half_turn - off_axis])
    there, back = _again(air, side, axis, radius, spacing, headings)
    off = _moved(there, back, headings)
    inverse = -np.eye(2)
    for _ in range(_ROUNDS):
        if np.abs(off).max() < _SETTLED:
            _check(spacing or there.spacing, there, back)
            return there, back
        step = -inverse @ off
        headings = headings + step
        there, back = _again(air, side, axis, radius, spacing, headings)
        before, off = off, _moved(there, back, headings)
        seen = inverse @ (off - before)
        inverse += np.outer(step - seen, step @ inverse) / (step @ seen)
    raise NoSolutionError(
        "there is no way between the pylons in this wind",
        "wind",
        "wait for less wind, or set them further apart",
    )


def _in_calm(air: Air, radius: float, spacing: float | None) -> float:
    """Return how far the headings are off the line of the pylons in still air, the first guess [rad]."""
    if spacing is None:
        return atan2(2.0 * radius, air.true_airspeed * SECONDS)
    return asin(min(2.0 * radius / spacing, 1.0))


def _again(
    air: Air, side: float, axis: float, radius: float, spacing: float | None, headings: Floats
) -> tuple[Way, Way]:
    """Return the ways that follow from the speeds and distances on these headings."""
    speeds, _heights, ratios = pylon_traded.on_heading(
        air.true_airspeed, air.wind_speed, headings - air.downwind
    )
    (speed_there, speed_back), (ratio_there, ratio_back) = speeds.tolist(), ratios.tolist()
    out_first, out_second = radius * ratio_there / ratio_back, radius * ratio_back / ratio_there
    there = _way(air, axis, -side, out_first + radius, speed_there, spacing)
    return there, _way(air, axis + half_turn, side, out_second + radius, speed_back, spacing or there.spacing)


def _moved(there: Way, back: Way, headings: Floats) -> Floats:
    """Return by how much headings are off those of the ways that follow from them [rad]."""
    return wrap_signed(np.array([there.heading, back.heading]) - headings)


def _check(spacing: float, *flown: Way) -> None:
    """Refuse ways that are no straight flight of some seconds."""
    shortest = min(way.seconds for way in flown)
    if shortest < _SHORTEST or max(way.seconds for way in flown) > _LONGEST:
        closer = "further apart" if shortest < _SHORTEST else "closer together"
        raise NoSolutionError(
            f"between pylons {spacing / foot:,.0f} ft apart there is no straight way of a few seconds",
            "spacing",
            f"set them {closer}",
        )


def _way(air: Air, bearing: float, side: float, apart: float, speed: float, spacing: float | None) -> Way:
    """Return the way toward a bearing at an airspeed: of the usual time, or between pylons of a spacing.

    With t and c the wind along the bearing and across it, the spacing is S = t T + √((V T)² + a² − (c T)²), a
    the two distances together; so T is the positive root of (V² − W²) T² + 2 S t T + a² − S² = 0.
    """
    if spacing is None:
        return _spanned(air, bearing, side, apart, speed, SECONDS)
    toward = air.east * sin(bearing) + air.north * cos(bearing)
    square = speed**2 - air.wind_speed**2
    under = (spacing * toward) ** 2 + square * (spacing**2 - apart**2)
    seconds = (sqrt(under) - spacing * toward) / square if under >= 0.0 else 0.0
    return _spanned(air, bearing, side, apart, speed, seconds)


def _spanned(air: Air, bearing: float, side: float, apart: float, speed: float, seconds: float) -> Way:
    """Return the way of a time: heading and side are one vector of fixed length, V T h + s (d + d') r.

    So the heading is that of a wind triangle with this length for the airspeed and w T for the wind.
    """
    toward = air.east * sin(bearing) + air.north * cos(bearing)
    across = air.east * cos(bearing) - air.north * sin(bearing)
    length = hypot(speed * seconds, apart)
    drift = max(min(across * seconds / length, 1.0), -1.0)
    heading = bearing - asin(drift) - atan2(side * apart, speed * seconds)
    return Way(heading, seconds, length * sqrt(1.0 - drift**2) + toward * seconds)
