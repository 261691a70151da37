"""A maneuver to be flown, as asked for, and what a flight is composed of to fly it."""

from __future__ import annotations

from dataclasses import dataclass, field

from groundref.simulation.airplane import Airplane
from groundref.simulation.faults import Faults
from groundref.simulation.legs import Leg
from groundref.simulation.maneuver_leg import ManeuverLeg


@dataclass(frozen=True, slots=True)
class Exercise:
    """What is to be flown.

    Attributes
    ----------
    kind
        Such as `turns-around-a-point`.
    east, north
        The point, the middle of the line, of the rectangle, between the pylons, or of steep turns [m]
    radius
        Of the circles; half of the smaller side of a rectangle [m]
    side
        Direction of the first turn, of all turns where there is but one direction: +1 right, −1 left.
    wind_speed, downwind
        Wind at the maneuver's height at the start: its speed, and the track straight downwind [m s⁻¹], [rad]
    laps
        Times round, half circles, eights (two loops each), circuits, turns.
    height, speed
        Height above the airfield and true airspeed to hold [m], [m s⁻¹]
    bank_limit
        Bank the pilot does not go beyond to correct, unless the maneuver itself needs it; that of steep turns
        is the bank to hold [rad]
    faults
        How badly.
    airplane
        What is flown.
    course
        Direction of the line, of the first leg, or of the line from the first pylon to the second; None takes
        the usual one in this wind [rad]
    spacing
        Distance between the pylons, or the longer side of a rectangle; None takes the usual one [m]
    """

    kind: str
    east: float
    north: float
    radius: float
    side: float
    wind_speed: float
    downwind: float
    laps: float
    height: float
    speed: float
    bank_limit: float
    faults: Faults = field(default_factory=Faults)
    airplane: Airplane = field(default_factory=Airplane)
    course: float | None = None
    spacing: float | None = None


@dataclass(frozen=True, slots=True)
class Shape:
    """A maneuver ready to be flown, between a straight way in and a straight way out.

    Attributes
    ----------
    exercise
        What was asked for.
    entry
        Place that the straight way in leads to, east and north [m]
    course
        Its track [rad]
    approach
        The leg that follows the way in up to the maneuver.
    maneuver
        The maneuver itself.
    after
        Track to leave on [rad]
    """

    exercise: Exercise
    entry: tuple[float, float]
    course: float
    approach: Leg
    maneuver: ManeuverLeg
    after: float
