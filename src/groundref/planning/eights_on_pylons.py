"""Eights on pylons: the wing held on each pylon by bank and height, a straight way of some seconds between.

Height is traded for speed, as at one power setting (`mechanics.pylon_traded`). The radius asked for is the
distance from a pylon at which its turn begins; it follows from a bank where none is asked for. `pylon_ways`
finds the ways from one pylon to the other.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import atan2, cos, hypot, remainder, sin

import numpy as np
from numpy.typing import NDArray

from groundref.angles import full_turn, quarter_turn, wrap, wrap_signed
from groundref.mechanics import pylon_traded
from groundref.mechanics.arc import most_upwind_and_downwind
from groundref.mechanics.wind_triangle import crab_on_track, require_wind_below_airspeed
from groundref.planning.across_wind import with_wind
from groundref.planning.air import Air
from groundref.planning.inputs import Inputs
from groundref.planning.layout import Entry, Layout
from groundref.planning.pieces import Leg, Mark, Piece, Place, Samples, quarters_between, spread_by_angle
from groundref.planning.pylon_ways import Way, ways
from groundref.planning.steepest import Steepest
from groundref.units import foot

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class PylonLoop:
    """A turn about a pylon that stays on the wing line.

    Attributes
    ----------
    pylon
        East and north [m]
    square
        Distance of the pylon where the wind is square to the heading [m]
    side
        +1 for a right turn, −1 for a left turn.
    heading
        At its begin, true [rad]
    turn
        Of the heading, its size [rad]
    name, about, marks
        As in `Piece`.
    """

    pylon: Place
    square: float
    side: float
    heading: float
    turn: float
    name: str
    about: int | None
    marks: tuple[Mark, ...] = ()

    def at(self, air: Air, fraction: Floats) -> Samples:
        """Return what is flown at some fractions of its turn."""
        begin = self._from_downwind(air)
        angle = begin + np.asarray(fraction, dtype=np.float64) * self.turn
        still, wind = air.true_airspeed, air.wind_speed
        speed, height, distance = self._flown(air, angle)
        heading = air.downwind + self.side * angle
        east, north = self._place(heading, distance)
        over_east = speed * np.sin(heading) + air.east
        over_north = speed * np.cos(heading) + air.north
        track = np.arctan2(over_east, over_north)
        return Samples(
            time=pylon_traded.time_between(still, wind, self.square, begin, angle),
            east=east,
            north=north,
            track=wrap(track),
            heading=wrap(heading),
            ground_speed=np.hypot(over_east, over_north),
            true_airspeed=speed,
            crab=crab_on_track(speed, wind, air.downwind - track),
            bank=self.side * np.arctan(height / distance),
            height=height,
        )

    def end(self, air: Air) -> tuple[Place, float, float]:
        """Return where it ends, and the airspeed [m s⁻¹] and height [m] there."""
        angle = np.array([self._from_downwind(air) + self.turn])
        speed, height, distance = self._flown(air, angle)
        east, north = self._place(air.downwind + self.side * angle, distance)
        return (float(east[0]), float(north[0])), float(speed[0]), float(height[0])

    def spread(self) -> Floats:
        """Return fractions no more than a step apart."""
        return spread_by_angle(self.turn, self.marks)

    def critical(self, air: Air) -> Floats:
        """Return its ends, where it heads straight down- and upwind, and where the crab is largest."""
        begin = self._from_downwind(air)
        widest = pylon_traded.widest_crab(air.true_airspeed, air.wind_speed)
        laps = full_turn * np.arange(-1, 2)
        crabbed = (np.concatenate((widest + laps, laps - widest)) - begin) / self.turn
        inside = crabbed[(crabbed >= 0.0) & (crabbed <= 1.0)]
        return np.concatenate((quarters_between(begin, self.turn), inside))

    def steepest(self, air: Air) -> float:
        """Return its steepest bank: heading downwind, else at the end that is nearer to that."""
        begin = self._from_downwind(air)
        angle = begin + quarters_between(begin, self.turn) * self.turn
        speed, height, distance = self._flown(air, angle)
        # With the wind behind the airspeed falls, and may fall to that of the wind.
        require_wind_below_airspeed(speed, air.wind_speed)
        return float(np.arctan(height / distance).max())

    def _flown(self, air: Air, angle: Floats) -> tuple[Floats, Floats, Floats]:
        """Return airspeed [m s⁻¹], height and distance [m] on headings from downwind."""
        speed, height, ratio = pylon_traded.on_heading(air.true_airspeed, air.wind_speed, angle)
        return speed, height, self.square * ratio

    def _place(self, heading: Floats, distance: Floats) -> tuple[Floats, Floats]:
        return (
            self.pylon[0] - self.side * distance * np.cos(heading),
            self.pylon[1] + self.side * distance * np.sin(heading),
        )

    def _from_downwind(self, air: Air) -> float:
        return self.side * remainder(self.heading - air.downwind, full_turn)


def layout(inputs: Inputs, radius: float) -> Layout:
    """Return the eight about the origin, the first pylon's turn first, begun into the wind.

    Parameters
    ----------
    inputs
        Of the plan.
    radius
        Distance from a pylon at which its turn begins [m]

    Raises
    ------
    NoSolutionError
        When there is no straight way of some seconds between the pylons.
    """
    air, side = inputs.air, inputs.side
    axis = _axis(inputs)
    there, back = ways(air, side, axis, radius, inputs.spacing)
    half = (0.5 * there.spacing * sin(axis), 0.5 * there.spacing * cos(axis))
    pylons: tuple[Place, Place] = ((-half[0], -half[1]), half)
    first = _loop(air, pylons[0], radius, side, back.heading, there.heading, 0)
    second = _loop(air, pylons[1], radius, -side, there.heading, back.heading, 1)
    pieces: tuple[Piece, ...] = (
        first,
        _across(air, first, there, 1),
        second,
        _across(air, second, back, 0),
    )
    start = first.at(air, np.array([0.0]))
    return Layout(
        reference="pylons",
        places=pylons,
        pieces=pieces,
        entry=Entry(
            place=(float(start.east[0]), float(start.north[0])),
            track=float(start.track[0]),
            distance=radius,
            bank=float(start.bank[0]),
            how=f"On the diagonal between the pylons {with_wind(air, float(start.track[0]))} at the pivotal "
            "height; roll in when the pylon is just ahead of the wing.",
        ),
        radius=radius,
        notes=(
            f"Pylons {there.spacing / foot:,.0f} ft apart leave {there.seconds:.1f} and {back.seconds:.1f} s "
            "straight between them.",
            "Height is traded for speed, the throttle left alone: climb as the ground speed grows, and "
            "descend as it falls.",
        ),
    )


def steepest_of(inputs: Inputs) -> Steepest:
    """Return the steepest bank of the eight, without the rest of its layout.

    It goes as V² (V + w_h)³ (`mechanics.pylon_traded`) and so is where a turn heads nearest to downwind.

    Parameters
    ----------
    inputs
        Of the plan; its airspeed, wind speed and radius do not count.
    """
    axis, sides = _axis(inputs), np.array([inputs.side, -inputs.side])

    def steepest(air: Air, radius: float) -> float:
        there, back = ways(air, inputs.side, axis, radius, inputs.spacing)
        headings = np.array([back.heading, there.heading])
        begin = sides * wrap_signed(headings - air.downwind)
        turn = wrap(sides * (headings[::-1] - headings))
        _, downwind = most_upwind_and_downwind(begin, begin + turn)
        _, _, at_begin = pylon_traded.on_heading(air.true_airspeed, air.wind_speed, begin)
        speed, height, ratio = pylon_traded.on_heading(air.true_airspeed, air.wind_speed, downwind)
        # With the wind behind the airspeed falls, and may fall to that of the wind.
        require_wind_below_airspeed(speed, air.wind_speed)
        return float(np.arctan(height * at_begin / (radius * ratio)).max())

    return cache(steepest)


def _axis(inputs: Inputs) -> float:
    """Return the direction from the first pylon to the second, true [rad]."""
    if inputs.course is not None:
        return inputs.course
    return inputs.air.downwind - inputs.side * quarter_turn


def _loop(
    air: Air, pylon: Place, radius: float, side: float, begin: float, end: float, number: int
) -> PylonLoop:
    """Return the turn about a pylon from one heading to another."""
    turn = float(wrap(side * (end - begin)))
    pylon_named = f"{('first', 'second')[number]} pylon"
    name = f"turn about the {pylon_named}"
    words = ("turn begins", "a quarter", "half way", "three quarters", "turn ends")
    marks = tuple(Mark(0.25 * quarter, f"{pylon_named}, {word}") for quarter, word in enumerate(words))
    _, _, ratio = pylon_traded.on_heading(air.true_airspeed, air.wind_speed, begin - air.downwind)
    return PylonLoop(pylon, radius / float(ratio), side, begin, turn, name, number, marks)


def _across(air: Air, after: PylonLoop, way: Way, to: int) -> Leg:
    """Return the way across that follows a turn."""
    place, airspeed, height = after.end(air)
    east, north = airspeed * sin(way.heading) + air.east, airspeed * cos(way.heading) + air.north
    name = f"straight to the {('first', 'second')[to]} pylon"
    return Leg(
        start=place,
        track=atan2(east, north),
        length=hypot(east, north) * way.seconds,
        height=height,
        name=name,
        about=to,
        marks=(Mark(0.5, name),),
        airspeed=airspeed,
    )
