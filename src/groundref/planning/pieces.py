"""The pieces that a maneuver's path over the ground is made of, in steady wind, in closed form.

A piece is flown from its fraction 0 to its fraction 1, evenly in the angle that it turns, or in the way of a
straight leg. It tells all that is to be known at any fractions of it, and at which fractions ground speed,
bank and crab are extreme. Every kind of maneuver is a row of such pieces.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, cos, sin
from typing import Final, Protocol

import numpy as np
from numpy.typing import NDArray

from groundref.angles import full_turn, quarter_turn, wrap
from groundref.mechanics import arc, circle
from groundref.mechanics.wind_triangle import crab_on_track, ground_speed_on_track
from groundref.planning.air import Air
from groundref.units import degree

Floats = NDArray[np.float64]
Place = tuple[float, float]

STEP: Final = 10.0 * degree  # largest turn between two positions of a schedule


@dataclass(frozen=True, slots=True)
class Mark:
    """A position with a name.

    Attributes
    ----------
    fraction
        Of the piece, 0 to 1.
    name
        Such as `downwind entry`.
    """

    fraction: float
    name: str


@dataclass(frozen=True, slots=True)
class Samples:
    """What is flown at some positions of a piece, each (n,), SI, true.

    Attributes
    ----------
    time
        Since the piece began [s]
    east, north
        Of the plan's origin [m]
    track, heading
        True [rad]
    ground_speed, true_airspeed
        [m s⁻¹]
    crab, bank
        Right positive [rad]
    height
        Above the ground [m]
    """

    time: Floats
    east: Floats
    north: Floats
    track: Floats
    heading: Floats
    ground_speed: Floats
    true_airspeed: Floats
    crab: Floats
    bank: Floats
    height: Floats


class Piece(Protocol):
    """A piece of the path."""

    @property
    def name(self) -> str:
        """In plain words, such as `downwind leg` or `first half circle`."""
        ...

    @property
    def about(self) -> int | None:
        """Which of the plan's reference places it is flown about; None for none."""
        ...

    @property
    def side(self) -> float:
        """+1 for a right turn, −1 for a left turn, 0 straight."""
        ...

    @property
    def marks(self) -> tuple[Mark, ...]:
        """Positions with a name."""
        ...

    def at(self, air: Air, fraction: Floats) -> Samples:
        """Return what is flown at some fractions of it."""
        ...

    def spread(self) -> Floats:
        """Return the fractions that a schedule shows, from 0 to 1."""
        ...

    def critical(self, air: Air) -> Floats:
        """Return the fractions among which ground speed, bank and crab are extreme."""
        ...

    def steepest(self, air: Air) -> float:
        """Return its steepest bank, its size [rad]."""
        ...


@dataclass(frozen=True, slots=True)
class Leg:
    """A straight leg over the ground.

    Attributes
    ----------
    start
        Where it begins, east and north [m]
    track
        True [rad]
    length
        [m]
    height
        Above the ground [m]
    name, about, marks
        As in `Piece`.
    airspeed
        True airspeed on it; that of the plan when None [m s⁻¹]
    """

    start: Place
    track: float
    length: float
    height: float
    name: str
    about: int | None = None
    marks: tuple[Mark, ...] = ()
    airspeed: float | None = None

    @property
    def side(self) -> float:
        """It does not turn."""
        return 0.0

    def at(self, air: Air, fraction: Floats) -> Samples:
        """Return what is flown at some fractions of its length."""
        way = np.asarray(fraction, dtype=np.float64) * self.length
        angle = air.downwind - self.track
        airspeed = air.true_airspeed if self.airspeed is None else self.airspeed
        speed = float(ground_speed_on_track(airspeed, air.wind_speed, angle))
        crab = float(crab_on_track(airspeed, air.wind_speed, angle))
        same = np.ones_like(way)
        return Samples(
            time=way / speed,
            east=self.start[0] + way * sin(self.track),
            north=self.start[1] + way * cos(self.track),
            track=wrap(self.track * same),
            heading=wrap((self.track + crab) * same),
            ground_speed=speed * same,
            true_airspeed=airspeed * same,
            crab=crab * same,
            bank=0.0 * same,
            height=self.height * same,
        )

    def spread(self) -> Floats:
        """Return its begin, middle and end."""
        return np.array([0.0, 0.5, 1.0])

    def critical(self, air: Air) -> Floats:
        """Return its begin: all of it is alike."""
        return np.array([0.0])

    def steepest(self, air: Air) -> float:
        """Return 0: the wings are level."""
        return 0.0


@dataclass(frozen=True, slots=True)
class Arc:
    """An arc of one radius over the ground.

    Attributes
    ----------
    center
        East and north [m]
    radius
        [m]
    side
        +1 for a right turn, −1 for a left turn.
    begin
        Track at its begin, true [rad]
    turn
        How far the track turns, its size [rad]
    height
        Above the ground [m]
    name, about, marks
        As in `Piece`.
    """

    center: Place
    radius: float
    side: float
    begin: float
    turn: float
    height: float
    name: str
    about: int | None = None
    marks: tuple[Mark, ...] = ()

    def at(self, air: Air, fraction: Floats) -> Samples:
        """Return what is flown at some fractions of its turn."""
        first = float(arc.position(self.begin, air.downwind, self.side))
        position = first + np.asarray(fraction, dtype=np.float64) * self.turn
        speed, wind = air.true_airspeed, air.wind_speed
        track = air.downwind + self.side * position
        crab = circle.crab(speed, wind, position, self.side)
        time = circle.time_from_downwind(speed, wind, self.radius, np.append(position, first))
        same = np.ones_like(position)
        return Samples(
            time=time[:-1] - time[-1],
            east=self.center[0] - self.side * self.radius * np.cos(track),
            north=self.center[1] + self.side * self.radius * np.sin(track),
            track=wrap(track),
            heading=wrap(track + crab),
            ground_speed=circle.ground_speed(speed, wind, position),
            true_airspeed=speed * same,
            crab=crab,
            bank=self.side * circle.required_bank(speed, wind, self.radius, position),
            height=self.height * same,
        )

    def spread(self) -> Floats:
        """Return fractions no more than `STEP` apart, those with a name among them."""
        return spread_by_angle(self.turn, self.marks)

    def critical(self, air: Air) -> Floats:
        """Return its ends, and where it is flown straight downwind, upwind and across the wind."""
        first = float(arc.position(self.begin, air.downwind, self.side))
        return quarters_between(first, self.turn)

    def steepest(self, air: Air) -> float:
        """Return its steepest bank: where it is flown downwind, else at the end that is nearer to that."""
        first = float(arc.position(self.begin, air.downwind, self.side))
        position = first + quarters_between(first, self.turn) * self.turn
        banks = circle.required_bank(air.true_airspeed, air.wind_speed, self.radius, position)
        return float(banks.max())


def spread_by_angle(turn: float, marks: tuple[Mark, ...]) -> Floats:
    """Return fractions of a turn no more than `STEP` apart, those of the marks among them."""
    even = np.linspace(0.0, 1.0, max(ceil(round(turn / STEP, 9)), 1) + 1)
    extra = [m.fraction for m in marks if np.abs(even - m.fraction).min() > 1e-9]
    return np.sort(np.concatenate((even, np.array(extra))))


def quarters_between(first: float, turn: float) -> Floats:
    """Return the ends of a turn, and the fractions at whole quarter turns of the angle inside it.

    Parameters
    ----------
    first
        The angle at its begin [rad]
    turn
        How far it turns [rad]
    """
    quarters = quarter_turn * np.arange(
        np.ceil(first / quarter_turn), np.floor((first + turn) / quarter_turn) + 1
    )
    inside = np.clip((quarters - first) / max(turn, full_turn * 1e-12), 0.0, 1.0)
    return np.concatenate(([0.0], inside, [1.0]))
