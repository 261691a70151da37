"""Steep turns as a leg: full circles at one bank, one way and the other, rolled out on the heading before.

Nothing on the ground is watched: the bank and the height are held, and the air carries the turn along. The
roll out begins as far before the heading as rolling level still turns,

    Δψ = (g/V) ∫ tan φ dt = (g/(V p)) ln n    at a steady rate of roll p, with n = 1/cos φ,

(`mechanics.steep.heading_while_rolling`), written here with the pilot's own time to roll.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from math import atan, copysign, cos, log, pi, radians, remainder, sin
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import full_turn, half_turn, unwrap, wrap
from groundref.simulation.exercise import Exercise, Shape
from groundref.simulation.faults import Faults
from groundref.simulation.fly import Motion
from groundref.simulation.legs import Line
from groundref.simulation.maneuver_leg import Columns
from groundref.simulation.pilot import Pilot, Wish
from groundref.simulation.truth import TrueManeuver
from groundref.standards.usual import DIRECTLY, PAUSE
from groundref.units import degree, foot, standard_gravity

Floats = NDArray[np.float64]

KIND: Final = "steep-turns"
FAULTS_THAT_APPLY: Final = (
    "bank-not-held",
    "rollout-heading-missed",
    "altitude-not-held",
    "airspeed-not-held",
    "uncoordinated",
)
# [m] above the ground, for who says nothing else: common practice, no source; 1,500 ft is the usual floor.
USUAL_HEIGHT: Final = 2500 * foot
SETTLE: Final = 6.0  # [s] straight on the new heading after the last turn
_LEVEL: Final = 4 * degree
_HEADING_GAIN: Final = 0.25  # [s⁻¹] rate of turn asked for per error of heading, once nearly level
_HEADING_BANK: Final = radians(10)
_SPEED_PERIOD: Final = 80.0  # [s]


def shape(exercise: Exercise) -> Shape:
    """Return steep turns, begun over a place on a track into the wind unless another is given."""
    course = exercise.downwind + half_turn if exercise.course is None else exercise.course
    lead = exercise.airplane.half_roll_time(exercise.bank_limit)
    entry = (exercise.east, exercise.north)
    leg = SteepTurns(
        side=exercise.side,
        turns=max(round(exercise.laps), 1),
        bank=exercise.bank_limit,
        height=exercise.height,
        speed=exercise.speed,
        pause=0.0 if exercise.bank_limit >= DIRECTLY else PAUSE,
        faults=exercise.faults,
    )
    return Shape(
        exercise=exercise,
        entry=entry,
        course=course,
        approach=Line(*entry, course, exercise.height, exercise.speed, lead=lead),
        maneuver=leg,
        after=course,
    )


@dataclass(frozen=True, slots=True)
class SteepTurns:
    """Steep turns, from rolling into the first to straight flight after the last.

    Attributes
    ----------
    side
        +1 turns right first, −1 left.
    turns
        Number of full circles, each the other way than the one before.
    bank
        Bank to hold [rad]
    height, speed
        Height above the airfield and true airspeed to hold [m], [m s⁻¹]
    pause
        Straight flight between two turns; 0 rolls from one into the other [s]
    faults
        How badly.
    """

    side: float
    turns: int
    bank: float
    height: float
    speed: float
    pause: float = PAUSE
    faults: Faults = field(default_factory=Faults)

    def steer(self, now: Motion, pilot: Pilot) -> Iterator[Wish]:
        """Yield what is wanted."""
        side, heading, begin = self.side, now.heading, now.time
        for number in range(1, self.turns + 1):
            missed = self.faults.rollout_heading_missed if self.faults.made_in(number) else 0.0
            yield from self._turn(now, pilot, number, side, full_turn + missed, begin)
            heading += side * missed
            last = number == self.turns
            if last or self.pause > 0.0:
                yield from self._straight(now, heading, SETTLE if last else self.pause, begin)
            side = -side

    def flown(self, begin: float, finish: float, column: Columns) -> TrueManeuver:
        """Return the facts about the turns from the samples of the flight."""
        time = column["time"]
        turns = _turns_flown(time, column["bank"], 0.5 * self.bank, begin, finish)
        track = unwrap(np.arctan2(column["velocity_east"], column["velocity_north"]))
        return TrueManeuver(
            kind=KIND,
            direction="both" if len(turns) > 1 else "right" if self.side > 0 else "left",
            reference="none",
            places=(),
            radius=float("nan"),
            height=self.height,
            laps=self.turns,
            start=turns[0][0],
            end=turns[-1][1],
            entry_time=turns[0][0],
            entry_track=float(wrap(np.interp(begin, time, track))),
            entry_distance=float("nan"),
            boundaries=(*(start for start, _ in turns), turns[-1][1]),
            bank_limit=self.bank,
            faults=self.faults.told(),
        )

    def _turn(
        self, now: Motion, pilot: Pilot, number: int, side: float, angle: float, begin: float
    ) -> Iterator[Wish]:
        """Turn through an angle of heading, up to where rolling out begins [rad]."""
        turned, before = 0.0, now.heading
        wrong = self.faults.made_in(number)
        while turned < angle - _still_turned(now, pilot):
            side_force = self.faults.uncoordinated * min(turned / radians(30), 1.0) if wrong else 0.0
            yield self._wish(
                now, side * self._bank(turned, wrong), turned if wrong else 0.0, begin, side * side_force
            )
            turned = max(turned + side * remainder(now.heading - before, full_turn), 0.0)
            before = now.heading

    def _bank(self, turned: float, wrong: bool) -> float:
        """Return the bank after an angle turned: more in the first half than meant, less in the second."""
        off = self.faults.bank_not_held * sin(min(turned, full_turn)) if wrong else 0.0
        return self.bank + off

    def _straight(self, now: Motion, heading: float, seconds: float, begin: float) -> Iterator[Wish]:
        """Roll out, then hold a heading for some seconds."""
        while abs(now.bank) > _LEVEL:
            yield self._wish(now, 0.0, 0.0, begin, 0.0)
        until = now.time + seconds
        while now.time < until:
            error = remainder(heading - now.heading, full_turn)
            bank = atan(now.airspeed * _HEADING_GAIN * error / standard_gravity)
            yield self._wish(now, min(max(bank, -_HEADING_BANK), _HEADING_BANK), 0.0, begin, 0.0)

    def _wish(self, now: Motion, bank: float, turned: float, begin: float, side_force: float) -> Wish:
        """Return what is wanted with a bank, after an angle turned that height is lost by [rad]."""
        lost = 0.5 * self.faults.altitude_not_held
        rate = standard_gravity * abs(bank) / now.airspeed
        slow, phase = 0.5 * self.faults.airspeed_not_held, full_turn * (now.time - begin) / _SPEED_PERIOD
        return Wish(
            bank=bank,
            height=self.height - lost * (1.0 - cos(turned)),
            climb=-lost * sin(turned) * rate,
            speed=self.speed - slow * (1.0 - cos(phase)),
            speed_change=-slow * sin(phase) * full_turn / _SPEED_PERIOD,
            side_force=side_force,
            climb_limit=8.0,
            sink_limit=8.0,
        )


def _still_turned(now: Motion, pilot: Pilot) -> float:
    """Return the change of heading while rolling level from the bank held now [rad].

    Half of the time of the roll at the rate of the full bank would be right were tan φ to fall evenly; it
    falls faster, and leaves 2 ln n/(φ tan φ) of that.
    """
    bank = min(max(abs(now.bank), radians(1)), 0.45 * pi)
    even = standard_gravity / now.airspeed * pilot.half_roll_time(bank)
    return even * 2.0 * log(1.0 / cos(bank)) / bank


def _turns_flown(
    time: Floats, bank: Floats, half: float, begin: float, finish: float
) -> list[tuple[float, float]]:
    """Return when the bank of each turn passed half of the bank meant, first and last [s].

    Parameters
    ----------
    time, bank
        Samples of the flight [s], [rad]
    half
        Half of the bank meant [rad]
    begin, finish
        Of the leg [s]
    """
    inside = (time >= begin) & (time <= finish)
    side = np.where(inside & (np.abs(bank) > half), np.sign(bank), 0.0)
    turns: list[tuple[float, float]] = []
    last = 0.0
    for i in np.flatnonzero(side).tolist():
        if side[i] != last:
            turns.append((_crossed(time, bank, i, i - 1, half), 0.0))
            last = float(side[i])
        turns[-1] = (turns[-1][0], _crossed(time, bank, i, i + 1, half))
    return turns


def _crossed(time: Floats, bank: Floats, steep: int, shallow: int, half: float) -> float:
    """Return when the bank passed ``half`` between a steep sample and its neighbor [s]."""
    inner, outer = abs(bank[steep]), abs(bank[shallow])
    if copysign(1.0, bank[steep]) != copysign(1.0, bank[shallow]):
        outer = -outer
    part = (inner - half) / (inner - outer) if inner > outer else 0.0
    return float(time[steep] + min(part, 1.0) * (time[shallow] - time[steep]))
