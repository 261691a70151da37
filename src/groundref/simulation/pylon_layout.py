"""Where two pylons stand and how one is left for the other, with wind.

Leaving one pylon abeam on one side and meeting the other abeam on the other side, each at the distance d,
with the same heading ψ held for the time T between: with r to the right of the nose and s = ±1 for the side
that the second pylon is on,

    second − first pylon = (V h + w) T + 2 s d r.

Heading and side are one vector V T h + 2 s d r of fixed length, so the heading that makes the sum point along
the line of the pylons is that of a wind triangle with this length for the airspeed and w T for the wind.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import asin, atan2, cos, hypot, sin, tan

from groundref.errors import NoSolutionError
from groundref.mechanics.pylon import height_with_speed_traded
from groundref.units import foot

_ROUNDS = 60  # of bisection and of settling: more than double precision needs


@dataclass(frozen=True, slots=True)
class Crossing:
    """The straight way from one pylon to the other.

    Attributes
    ----------
    heading, track
        [rad]
    airspeed, height
        True airspeed and pivotal height on it [m s⁻¹], [m]
    distance
        Of each pylon when it is abeam [m]
    seconds
        From the one abeam to the other [s]
    spacing
        Between the pylons [m]
    """

    heading: float
    track: float
    airspeed: float
    height: float
    distance: float
    seconds: float
    spacing: float


def crossing(
    airspeed: float, wind: tuple[float, float], bearing: float, side: float, bank: float, seconds: float
) -> Crossing:
    """Return the way across that lasts a time.

    Parameters
    ----------
    airspeed
        True airspeed where the wind is square to the heading [m s⁻¹]
    wind
        Velocity of the air, east and north [m s⁻¹]
    bearing
        From the pylon left to the one ahead [rad]
    side
        +1 when the one ahead is passed on the right, −1 on the left.
    bank
        Bank that holds each pylon when it is abeam [rad]
    seconds
        From the one abeam to the other [s]
    """
    toward = wind[0] * sin(bearing) + wind[1] * cos(bearing)
    across = wind[0] * cos(bearing) - wind[1] * sin(bearing)
    heading = bearing
    for _ in range(_ROUNDS):  # the speed depends on the heading, but little: this settles in a few rounds
        along = wind[0] * sin(heading) + wind[1] * cos(heading)
        speed, height = (float(x) for x in height_with_speed_traded(airspeed, along))
        distance = height / tan(bank)
        length = hypot(speed * seconds, 2.0 * distance)
        drift = max(min(across * seconds / length, 1.0), -1.0)
        heading = bearing - asin(drift) - atan2(2.0 * side * distance, speed * seconds)
    over_east, over_north = speed * sin(heading) + wind[0], speed * cos(heading) + wind[1]
    spacing = length * (1.0 - drift**2) ** 0.5 + toward * seconds
    track = atan2(over_east, over_north)
    return Crossing(heading, track, speed, height, distance, seconds, spacing)


def crossing_between(
    airspeed: float, wind: tuple[float, float], bearing: float, side: float, bank: float, spacing: float
) -> Crossing:
    """Return the way across between pylons whose distance from one another is given.

    Parameters
    ----------
    airspeed, wind, bearing, side, bank
        As in ``crossing``.
    spacing
        Between the pylons [m]

    Raises
    ------
    NoSolutionError
        When they stand so close that there is no straight way between, or so far that it takes minutes.
    """
    shortest, longest = 1.0, 120.0
    least = crossing(airspeed, wind, bearing, side, bank, shortest).spacing
    most = crossing(airspeed, wind, bearing, side, bank, longest).spacing
    if not least <= spacing <= most:
        raise NoSolutionError(
            f"between pylons {spacing / foot:,.0f} ft apart there is no straight way of a few seconds",
            "spacing",
            f"choose {least / foot:,.0f} ft or somewhat more",
        )
    for _ in range(_ROUNDS):
        middle = 0.5 * (shortest + longest)
        if crossing(airspeed, wind, bearing, side, bank, middle).spacing < spacing:
            shortest = middle
        else:
            longest = middle
    return crossing(airspeed, wind, bearing, side, bank, 0.5 * (shortest + longest))
