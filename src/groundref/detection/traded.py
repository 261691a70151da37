"""Wind, airspeed and heading over a maneuver in which height is traded for speed.

Eights on pylons are flown at one throttle setting: the airplane climbs as the tailwind grows and slows. That
airspeed goes once round with the heading, just as a wind does in the ground speed, and with a steady airspeed
taken for granted a third of the wind is lost in it. The altitude tells it: along the flight path the energy
of the motion through the air stays, V²/2 + g h, but for what thrust and drag differ by, so

    |v − w| = V₀ − κ g (h − h̄) / V₀,    κ about 1,

is fitted by Gauss and Newton to the ground velocities v for the wind w and V₀. κ cannot be told from the same
motion, so its standard deviation widens that of the wind. Where airspeed was recorded, or the wind was given,
nothing of this is needed.

This is how a stretch looks *if* it was flown so, which is what detection asks. Once it is known, the whole
flight is estimated anew with that known (`estimation.height_trade`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.estimation.mean_wind import wind_over
from groundref.estimation.states import States
from groundref.estimation.wind_value import Wind
from groundref.mechanics.wind_triangle import air_velocity
from groundref.units import knot, standard_gravity

Floats = NDArray[np.float64]

# What the throttle and the drag in turns leave of the trade, and its standard deviation: common practice, no
# source. The recording cannot tell it: height goes with the heading as the wind does.
SHARE: Final = 0.75
SHARE_SD: Final = 0.3
STEADY: Final = 1.5 * knot  # [m s⁻¹] how much an airspeed wanders besides
STEADY_TIME: Final = 20.0  # [s] and for how long the same way
HIDDEN: Final = 0.7 * knot  # [m s⁻¹] of that once round, on each axis: it looks like wind
GIVEN: Final = 0.01  # [m s⁻¹] a wind that changes less all through a flight was given
ROUNDS: Final = 8


@dataclass(frozen=True, slots=True)
class AirMotion:
    """Motion through the air over the samples of a maneuver.

    Attributes
    ----------
    wind_east, wind_north
        Velocity of the air [m s⁻¹]
    airspeed
        True airspeed [m s⁻¹]
    heading
        [0, 2π) [rad]
    covariance
        Of wind east and north, one for all samples [m² s⁻²]
    wind
        Its mean; None where it cannot be told.
    """

    wind_east: Floats
    wind_north: Floats
    airspeed: Floats
    heading: Floats
    covariance: Floats
    wind: Wind | None

    @property
    def known(self) -> bool:
        """Whether wind and heading can be told."""
        return bool(np.isfinite(self.heading).all())


def air_motion(states: States, first: int, last: int) -> AirMotion:
    """Return the motion through the air over samples ``first`` to ``last``.

    Parameters
    ----------
    states
        The flight.
    first, last
        Samples of the maneuver, ``last`` inclusive.
    """
    part, wind = slice(first, last + 1), wind_over(states, first, last)
    if wind is not None and _needs_altitude(states, part):
        return _fitted(states, part, wind)
    return as_estimated(states, first, last)


def as_estimated(states: States, first: int, last: int) -> AirMotion:
    """Return the motion through the air over samples ``first`` to ``last`` as it stands in the states.

    Parameters
    ----------
    states
        The flight, estimated with the throttle left alone in the maneuver.
    first, last
        Samples of the maneuver, ``last`` inclusive.
    """
    part, wind = slice(first, last + 1), wind_over(states, first, last)
    covariance = np.zeros((2, 2))
    if wind is not None:
        covariance = np.array([[wind.east_sd**2, wind.covariance], [wind.covariance, wind.north_sd**2]])
    return AirMotion(
        wind_east=states.wind_east[part],
        wind_north=states.wind_north[part],
        airspeed=states.true_airspeed[part],
        heading=states.heading[part],
        covariance=covariance,
        wind=wind,
    )


def _needs_altitude(states: States, part: slice) -> bool:
    if states.airspeed_source == "measured" or states.altitude is None:
        return False
    known = np.isfinite(states.wind_east)
    given = np.ptp(states.wind_east[known]) + np.ptp(states.wind_north[known]) < GIVEN
    return not given and bool(np.isfinite(states.altitude[part]).all())


def _fitted(states: States, part: slice, start: Wind) -> AirMotion:
    """Fit wind and airspeed."""
    east, north = states.velocity_east[part], states.velocity_north[part]
    altitude = np.zeros(east.size) if states.altitude is None else states.altitude[part]
    time = states.time[part]
    climbed = altitude - altitude.mean()
    unknown = np.array([start.east, start.north, start.true_airspeed])
    weight = np.gradient(time) / STEADY_TIME / STEADY**2  # samples within the wander's memory count as one
    for _ in range(ROUNDS):
        air_east, air_north = east - unknown[0], north - unknown[1]
        speed = np.hypot(air_east, air_north)
        slower = standard_gravity * climbed / unknown[2]
        misfit = speed - (unknown[2] - SHARE * slower)
        slope = np.column_stack([-air_east / speed, -air_north / speed, -np.ones(speed.size)])
        inverse = np.linalg.inv(slope.T @ (weight[:, None] * slope))
        unknown = unknown - inverse @ (slope.T @ (weight * misfit))
    by_share = inverse @ (slope.T @ (weight * slower)) * SHARE_SD
    covariance = inverse + np.outer(by_share, by_share)
    own = covariance[:2, :2] + HIDDEN**2 * np.eye(2)
    speed, heading = air_velocity(east, north, unknown[0], unknown[1])
    wind = Wind(
        start=float(time[0]),
        end=float(time[-1]),
        east=float(unknown[0]),
        north=float(unknown[1]),
        east_sd=float(np.sqrt(own[0, 0])),
        north_sd=float(np.sqrt(own[1, 1])),
        covariance=float(own[0, 1]),
        true_airspeed=float(speed.mean()),
        true_airspeed_sd=float(np.sqrt(covariance[2, 2])),
    )
    return AirMotion(
        wind_east=np.full(east.size, wind.east),
        wind_north=np.full(east.size, wind.north),
        airspeed=speed,
        heading=heading,
        covariance=own,
        wind=wind,
    )
