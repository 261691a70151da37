"""Steep turns: 360° at one bank, which the wind carries along; one turn each way."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from groundref.angles import full_turn, half_turn, wrap
from groundref.mechanics import trochoid
from groundref.mechanics.steep import heading_while_rolling
from groundref.mechanics.wind_triangle import crab_on_track, ground_speed_on_track
from groundref.planning.air import Air
from groundref.planning.inputs import Inputs
from groundref.planning.layout import Entry, Layout
from groundref.planning.pieces import Leg, Mark, Piece, Place, Samples, quarters_between, spread_by_angle
from groundref.standards.usual import DIRECTLY, PAUSE
from groundref.units import degree, foot

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class BankedTurn:
    """A turn of constant bank: a circle through the air.

    Attributes
    ----------
    start
        Where it begins, east and north [m]
    heading
        At its begin, true [rad]
    side
        +1 for a right turn, −1 for a left turn.
    turn
        Of the heading, its size [rad]
    bank
        Its size [rad]
    height
        Above the ground [m]
    name, about, marks
        As in `Piece`.
    """

    start: Place
    heading: float
    side: float
    turn: float
    bank: float
    height: float
    name: str
    about: int | None = None
    marks: tuple[Mark, ...] = ()

    def at(self, air: Air, fraction: Floats) -> Samples:
        """Return what is flown at some fractions of its turn."""
        part = np.asarray(fraction, dtype=np.float64)
        time = part * float(trochoid.lap_time(air.true_airspeed, self.bank)) * self.turn / full_turn
        bank = self.side * self.bank
        east, north = trochoid.ground_path(air.true_airspeed, bank, self.heading, air.east, air.north, time)
        heading = self.heading + self.side * part * self.turn
        over_east = air.true_airspeed * np.sin(heading) + air.east
        over_north = air.true_airspeed * np.cos(heading) + air.north
        track = np.arctan2(over_east, over_north)
        same = np.ones_like(part)
        return Samples(
            time=time,
            east=self.start[0] + east,
            north=self.start[1] + north,
            track=wrap(track),
            heading=wrap(heading),
            ground_speed=np.hypot(over_east, over_north),
            true_airspeed=air.true_airspeed * same,
            crab=crab_on_track(air.true_airspeed, air.wind_speed, air.downwind - track),
            bank=bank * same,
            height=self.height * same,
        )

    def spread(self) -> Floats:
        """Return fractions no more than a step apart."""
        return spread_by_angle(self.turn, self.marks)

    def critical(self, air: Air) -> Floats:
        """Return its ends, where it heads straight downwind and upwind, and where the crab is greatest.

        The crab is greatest with the track square to the wind, cos ν = −W/V with ν the heading from downwind.
        """
        first = self.side * (self.heading - air.downwind)
        widest = np.arccos(-air.wind_speed / air.true_airspeed)
        laps = full_turn * np.arange(-2, 3)
        crabbed = np.concatenate((widest + laps, -widest + laps))
        inside = (crabbed - first) / self.turn
        inside = inside[(inside >= 0.0) & (inside <= 1.0)]
        return np.concatenate((quarters_between(float(first), self.turn), inside))

    def steepest(self, air: Air) -> float:
        """Return its bank, which it holds."""
        return self.bank


def layout(inputs: Inputs, radius: float) -> Layout:
    """Return one turn each way, begun at the origin into the wind unless a course is given.

    Parameters
    ----------
    inputs
        Of the plan.
    radius
        Ignored: none is held over the ground.
    """
    air, bank = inputs.air, inputs.bank_limit
    track = air.downwind + half_turn if inputs.course is None else inputs.course
    heading = track + float(crab_on_track(air.true_airspeed, air.wind_speed, air.downwind - track))
    pieces: list[Piece] = []
    place: Place = (0.0, 0.0)
    for number in range(min(max(round(inputs.laps), 1), 2)):
        if number and bank < DIRECTLY:
            length = PAUSE * float(
                ground_speed_on_track(air.true_airspeed, air.wind_speed, air.downwind - track)
            )
            pieces.append(Leg(place, track, length, inputs.height, "straight between the turns"))
            place = _end(pieces[-1], air)
        turn = _turn(inputs, place, heading, inputs.side if number == 0 else -inputs.side)
        pieces.append(turn)
        place = _end(turn, air)
    lead = float(heading_while_rolling(air.true_airspeed, bank, inputs.aircraft.roll_rate))
    drift = float(trochoid.drift_per_lap(air.true_airspeed, air.wind_speed, bank))
    return Layout(
        reference="none",
        places=(),
        pieces=tuple(pieces),
        entry=Entry(
            place=(0.0, 0.0),
            track=track,
            distance=None,
            bank=inputs.side * bank,
            how="On a heading toward a far landmark, area cleared, at or below maneuvering speed.",
        ),
        radius=None,
        notes=(
            f"Begin to roll out {lead / degree:.0f}° before the heading; half of the bank is "
            f"{0.5 * bank / degree:.0f}° (common practice, no source).",
            f"The wind carries each turn {drift / foot:,.0f} ft ({drift:,.0f} m) along: that is right here, "
            "no radius is held.",
        ),
    )


def _turn(inputs: Inputs, place: Place, heading: float, side: float) -> BankedTurn:
    way = "right" if side > 0 else "left"
    marks = tuple(
        Mark(0.25 * quarter, f"{way} turn, {90 * quarter}°" if quarter else f"{way} turn begins")
        for quarter in range(5)
    )
    return BankedTurn(
        place, heading, side, full_turn, inputs.bank_limit, inputs.height, f"{way} turn", None, marks
    )


def _end(piece: Piece, air: Air) -> Place:
    ends = piece.at(air, np.array([1.0]))
    return float(ends.east[0]), float(ends.north[0])
