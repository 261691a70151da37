"""Eights on pylons: the wing held on each pylon by bank and height, a straight way of some seconds between.

Height is traded for speed, as at one power setting (`mechanics.pylon_traded`). The radius asked for is the
distance from a pylon at which its turn begins; it follows from a bank where none is asked for. The way from
one pylon to the other is flown on one heading: with r to the right of the nose, s = ±1 for the side that the
next pylon is on, and d and d' the distances of the two when abeam,

    next − last pylon = (V h + w) T + s (d + d') r.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import asin, atan2, cos, hypot, remainder, sin, sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import full_turn, quarter_turn, wrap
from groundref.errors import NoSolutionError
from groundref.mechanics import pylon_traded
from groundref.mechanics.wind_triangle import crab_on_track, require_wind_below_airspeed
from groundref.planning.across_wind import with_wind
from groundref.planning.air import Air
from groundref.planning.inputs import Inputs
from groundref.planning.layout import Entry, Layout
from groundref.planning.pieces import Leg, Mark, Piece, Place, Samples, quarters_between, spread_by_angle
from groundref.units import foot

Floats = NDArray[np.float64]

SECONDS: Final = 4.0
"""Straight between the pylons: 3 to 5 s (handbook, read in a secondary copy) [s]."""
_SHORTEST, _LONGEST = 1.0, 60.0  # [s]
_ROUNDS: Final = 160
_WHOLE_STEPS: Final = 12
_SETTLED: Final = 1e-10  # [rad], a tenth of a micrometre across a loop


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
        """Return its ends, where it heads straight down- and upwind, and a close row for the crab."""
        return np.concatenate((quarters_between(self._from_downwind(air), self.turn), np.linspace(0, 1, 73)))

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


@dataclass(frozen=True, slots=True)
class _Way:
    """A way across: its heading, time, and the distance between the pylons that it spans."""

    heading: float
    seconds: float
    spacing: float


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
    axis = air.downwind - side * quarter_turn if inputs.course is None else inputs.course
    there, back = _ways(inputs, axis, radius)
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


def _ways(inputs: Inputs, axis: float, radius: float) -> tuple[_Way, _Way]:
    """Return the ways to the second pylon and back; the headings of both settle together."""
    air, side = inputs.air, inputs.side
    headings = np.array([axis + side * 0.7, axis + 2 * quarter_turn - side * 0.7])
    there = back = _Way(axis, SECONDS, 0.0)
    for count in range(_ROUNDS):
        still, from_downwind = air.true_airspeed, headings - air.downwind
        speeds, _heights, ratios = pylon_traded.on_heading(still, air.wind_speed, from_downwind)
        ratio_there, ratio_back = ratios.tolist()
        out_first, out_second = radius * ratio_there / ratio_back, radius * ratio_back / ratio_there
        there = _way(air, axis, -side, out_first + radius, float(speeds[0]), inputs.spacing)
        back = _way(
            air,
            axis + 2 * quarter_turn,
            side,
            out_second + radius,
            float(speeds[1]),
            inputs.spacing or there.spacing,
        )
        settled = np.array([there.heading, back.heading])
        moved = float(np.abs(np.remainder(settled - headings + np.pi, full_turn) - np.pi).max())
        # In a strong wind whole steps go to and fro; a fifth of one then settles.
        share = 1.0 if count < _WHOLE_STEPS else 0.2
        headings = headings + share * (np.remainder(settled - headings + np.pi, full_turn) - np.pi)
        if moved < _SETTLED:
            _check(inputs.spacing or there.spacing, there, back)
            return there, back
    raise NoSolutionError(
        "there is no way between the pylons in this wind",
        "wind",
        "wait for less wind, or set them further apart",
    )


def _check(spacing: float, *ways: _Way) -> None:
    """Refuse ways that are no straight flight of some seconds."""
    shortest = min(way.seconds for way in ways)
    if shortest < _SHORTEST or max(way.seconds for way in ways) > _LONGEST:
        closer = "further apart" if shortest < _SHORTEST else "closer together"
        raise NoSolutionError(
            f"between pylons {spacing / foot:,.0f} ft apart there is no straight way of a few seconds",
            "spacing",
            f"set them {closer}",
        )


def _way(air: Air, bearing: float, side: float, apart: float, speed: float, spacing: float | None) -> _Way:
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


def _spanned(air: Air, bearing: float, side: float, apart: float, speed: float, seconds: float) -> _Way:
    """Return the way of a time: heading and side are one vector of fixed length, V T h + s (d + d') r.

    So the heading is that of a wind triangle with this length for the airspeed and w T for the wind.
    """
    toward = air.east * sin(bearing) + air.north * cos(bearing)
    across = air.east * cos(bearing) - air.north * sin(bearing)
    length = hypot(speed * seconds, apart)
    drift = max(min(across * seconds / length, 1.0), -1.0)
    heading = bearing - asin(drift) - atan2(side * apart, speed * seconds)
    return _Way(heading, seconds, length * sqrt(1.0 - drift**2) + toward * seconds)


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


def _across(air: Air, after: PylonLoop, way: _Way, to: int) -> Leg:
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
