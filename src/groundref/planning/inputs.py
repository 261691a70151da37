"""All that a plan is made from, in SI, with what was asked for kept apart from what follows from it."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime
from math import pi

import numpy as np
from numpy.typing import NDArray

from groundref.aircraft.aircraft import Aircraft
from groundref.planning.air import Air
from groundref.planning.around import Surrounded

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Inputs:
    """Everything that was used, defaults filled in.

    Attributes
    ----------
    kind
        Such as `turns-around-a-point`.
    aircraft
        What is flown.
    calibrated_airspeed, true_airspeed
        To hold; the true one is that of this day's air at the maneuver's height [m s⁻¹]
    wind_speed, wind_from
        At the maneuver's height: [m s⁻¹], true [rad]
    gust
        By how much the gusts exceed the wind [m s⁻¹]
    wind_how
        Where the wind is from, in plain words, such as `as given`.
    wind_sd
        Standard deviation of each of its components; None when unknown, which is not zero [m s⁻¹]
    height
        Above the ground; of eights on pylons it follows from the speed [m]
    elevation
        Of the ground above mean sea level [m]
    temperature
        Of the air at the maneuver's height [K]
    altimeter
        Altimeter setting [Pa]
    side
        Of the first turn: +1 right, −1 left.
    laps
        Laps, half circles, eights of two loops, circuits or turns.
    bank_limit
        Bank that the plan should not exceed; of steep turns the bank to hold [rad]
    radius
        Asked for; None where it is to be found [m]
    bank_limit_given
        Whether the bank limit was asked for; else it is the handbook's or the standard's.
    course
        Direction of the line or road, of the first leg, of the line from the first pylon to the second, or on
        which steep turns begin, true; None takes the usual one in this wind [rad]
    spacing
        Distance between pylons or centers, or the rectangle's longer side; None takes the usual one [m]
    latitude, longitude
        Of the plan's origin: the point, or the middle of line, rectangle or pylons; None where not said [rad]
    variation
        Magnetic variation there, east positive; None where not known [rad]
    when
        Moment planned for, UTC; None where not said, or only the day.
    day
        Planned for, UTC; None where not said.
    standard
        Name of the standard it is planned by.
    assumptions
        What was assumed where nothing was said, one plain sentence each.
    around
        What lies around, and how the glide with a stopped engine is flown.
    """

    kind: str
    aircraft: Aircraft
    calibrated_airspeed: float
    true_airspeed: float
    wind_speed: float
    wind_from: float
    height: float
    elevation: float
    temperature: float
    altimeter: float
    side: float
    laps: float
    bank_limit: float
    radius: float | None = None
    gust: float = 0.0
    wind_how: str = "as given"
    wind_sd: float | None = None
    bank_limit_given: bool = False
    course: float | None = None
    spacing: float | None = None
    latitude: float | None = None
    longitude: float | None = None
    variation: float | None = None
    when: datetime | None = None
    day: date | None = None
    standard: str = "private-pilot"
    assumptions: tuple[str, ...] = field(default=())
    around: Surrounded = field(default=Surrounded())

    @property
    def air(self) -> Air:
        """The air it is planned in."""
        return Air(self.true_airspeed, self.wind_speed, self.wind_from + pi)


def geographic(inputs: Inputs, east: Floats, north: Floats) -> tuple[Floats, Floats] | None:
    """Return latitudes and longitudes of places about the plan's origin; None where that is not known [rad].

    Parameters
    ----------
    inputs
        Of the plan.
    east, north
        Of the origin [m]
    """
    if inputs.latitude is None or inputs.longitude is None:
        return None
    from groundref.geo.frame import LocalFrame

    latitude, longitude = LocalFrame(inputs.latitude, inputs.longitude).to_geographic(east, north)
    return latitude, longitude
