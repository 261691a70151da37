"""S-turns across a line as a leg: half circles on alternating sides, level where the line is crossed.

A roll takes time, and while it lasts the track turns only half as much as it will: level *at* the line and
square to it means that each half circle is flown about a center a little beyond the line, by the way made
during half of a roll. A center that is nearer to the line where the half circle ends than where it began
moves while it is flown; relative to that center, at distance d and with the part u of the velocity along
the circle, the airplane is led as around a point (`around_point`),

    tan(bank) = (u²/d + ω² (d − R) + 2 ζ ω d') / (g cos(crab)).

Where a fault is committed the correction is faded out and the needed bank is missed by the fault's size.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import atan, ceil, cos, hypot, nan, pi, radians, remainder, sin, tan
from typing import Final

import numpy as np

from groundref.angles import full_turn, half_turn, quarter_turn, unwrap, wrap
from groundref.errors import NoSolutionError
from groundref.mechanics import arc, s_turns
from groundref.simulation.around_point import STEEPEST, fading
from groundref.simulation.exercise import Exercise, Shape
from groundref.simulation.fly import Motion
from groundref.simulation.legs import Line, course_bank
from groundref.simulation.maneuver_leg import Columns, Floats, roll_in
from groundref.simulation.pilot import Pilot, Wish
from groundref.simulation.truth import TrueManeuver
from groundref.standards.lie import s_turn_bearing
from groundref.units import degree, foot, standard_gravity

KIND: Final = "s-turns"
FAULTS_THAT_APPLY: Final = frozenset(
    {
        "bank-held-constant",
        "overbanked-upwind",
        "underbanked-downwind",
        "unequal-half-circles",
        "not-level-at-line",
        "entry-not-downwind",
        "bank-over-limit",
        "altitude-not-held",
        "airspeed-not-held",
        "outside-height-band",
        "uncoordinated",
    }
)
_STIFFNESS: Final = 0.18  # [rad s⁻¹]
_DAMPING: Final = 0.9
_STRONGEST: Final = 6.0  # [m s⁻²] of correction
# Straight down- and upwind the wings roll through level: an error of bank there is made all through the third
# flown down- or upwind, and fades out beyond it.
_FAULT_FULL: Final = radians(45)
_FAULT_WIDTH: Final = radians(60)
_OVER_LIMIT_PLACE: Final = radians(40)  # after rolling in
_OVER_LIMIT_WIDTH: Final = radians(45)
_SPEED_PERIOD: Final = 80.0  # [s]
_MARGIN: Final = radians(5)
_STEEPEST_CORRECTED: Final = radians(65)
_LEVEL_BANK: Final = radians(3)  # what is banked to correct the track, wings level at the line
_EASED: Final = 0.5  # [s] by which a roll is level before the time that a pilot allows for it
_FULL_FEET: Final = radians(10)  # of bank, from which on the feet are as wrong as they get


def shape(exercise: Exercise) -> Shape:
    """Return S-turns, the first crossing with the wind behind.

    Raises
    ------
    NoSolutionError
        When a half circle needs more bank than anyone flies.
    """
    bearing, entry_track = progress(exercise)
    _check_bank(exercise, bearing)
    flown = STurns(exercise, bearing)
    east, north = exercise.east, exercise.north
    back = -exercise.laps * exercise.radius
    entry = (east + back * sin(bearing), north + back * cos(bearing))
    halves = ceil(exercise.laps - 1e-9)
    turned = exercise.laps - (halves - 1)
    return Shape(
        exercise=exercise,
        entry=entry,
        course=entry_track,
        approach=Line(*entry, entry_track, exercise.height, exercise.speed),
        maneuver=flown,
        after=flown.square(halves - 1) + flown.direction(halves - 1) * turned * half_turn,
    )


def progress(exercise: Exercise) -> tuple[float, float]:
    """Return the direction in which the line is worked along, and the track on which it is first crossed.

    Of the two senses of the line the one is taken in which the first turn begins with the wind behind; an
    entry more than 90° off that takes the other.

    Parameters
    ----------
    exercise
        What is to be flown.
    """
    side, missed = exercise.side, exercise.faults.entry_not_downwind
    bearing = s_turn_bearing(exercise.downwind, side, exercise.course)
    entry = bearing - side * quarter_turn + missed
    if abs(missed) > quarter_turn:
        bearing += half_turn
    return float(wrap(bearing)), float(wrap(entry))


def _check_bank(exercise: Exercise, bearing: float) -> None:
    angle = exercise.downwind - bearing
    start, end = s_turns.position(0.0, angle, 1.0), s_turns.position(half_turn, angle, 1.0)
    smallest = float(arc.smallest_radius(exercise.speed, exercise.wind_speed, start, end, STEEPEST))
    if exercise.radius < smallest:
        _, steepest = s_turns.bank_extremes(exercise.speed, exercise.wind_speed, exercise.radius, angle)
        raise NoSolutionError(
            f"these half circles need {float(steepest) / degree:.0f}° of bank at their steepest, more than "
            f"{STEEPEST / degree:.0f}°",
            "radius",
            f"choose {ceil(smallest / foot / 10.0) * 10:,} ft or more, or less wind or airspeed",
        )


@dataclass(frozen=True, slots=True)
class _Half:
    """One half circle: its number from 0, side, place along the line and center beyond it, when begun."""

    number: int
    direction: float
    radius: float
    along: float  # [m] of its middle, from the middle of the line
    beyond: float  # [m] of the center beyond the line where the half circle begins
    nearer: float  # [m] by which the center is nearer to the line where it ends
    begun: float  # [s]

    def center(self, turned: float, turning: float) -> tuple[float, float]:
        """Return how far beyond the line the center is after an angle turned, and how fast it moves."""
        angle = min(max(turned, 0.0), pi)
        out = self.beyond - 0.5 * self.nearer * (1.0 - cos(angle))
        return out, -0.5 * self.nearer * sin(angle) * turning


@dataclass(frozen=True, slots=True)
class STurns:
    """The S-turns themselves, from the first crossing to the last.

    Attributes
    ----------
    exercise
        What was asked for.
    bearing
        Direction in which the line is worked along [rad]
    """

    exercise: Exercise
    bearing: float

    def direction(self, number: int) -> float:
        """Return the direction of a half circle, from 0: +1 right, −1 left."""
        return self.exercise.side * (1.0 if number % 2 == 0 else -1.0)

    def square(self, number: int) -> float:
        """Return the track square to the line with which a half circle begins [rad]."""
        return self.bearing - self.direction(number) * quarter_turn

    def steer(self, now: Motion, pilot: Pilot) -> Iterator[Wish]:
        """Yield what is wanted."""
        begin = now.time
        along, _ = self._place(now)
        for number in range(ceil(self.exercise.laps - 1e-9)):
            part = min(self.exercise.laps - number, 1.0)
            half = self._half(now, pilot, number, along)
            yield from self._fly(now, pilot, half, part, begin)
            along, _ = self._place(now)

    def _half(self, now: Motion, pilot: Pilot, number: int, along: float) -> _Half:
        """Lay out a half circle from where the line was crossed."""
        exercise, direction, square = self.exercise, self.direction(number), self.square(number)
        downwind_side = cos(square - exercise.downwind) > 0.0
        uneven = exercise.faults.unequal_half_circles if exercise.faults.made_in(number + 1) else 0.0
        radius = exercise.radius + (-0.5 if downwind_side else 0.5) * uneven
        # Ground speed square to the line, out and back: what a roll takes of the way.
        tail = now.wind_east * sin(square) + now.wind_north * cos(square)
        cross = now.wind_east * cos(square) - now.wind_north * sin(square)
        still = max(exercise.speed**2 - cross**2, 100.0) ** 0.5
        level = [pilot.half_roll_time(_bank_at(still + w, radius)) for w in (tail, -tail)]
        out = (still + tail) * (level[0] + self._late(number))
        back = (still - tail) * (level[1] - self._late(number + 1))
        return _Half(number, direction, radius, along + radius, out, out - back, now.time)

    def _late(self, crossing: int) -> float:
        """Return by how much the wings are level after a crossing rather than at it; not at the ends [s]."""
        faults = self.exercise.faults
        if not faults.made_in(crossing) or not 0 < crossing < self.exercise.laps:
            return 0.0
        size = faults.not_level_at_line
        return size / self.exercise.airplane.roll_rate + _EASED if size else 0.0

    def _fly(self, now: Motion, pilot: Pilot, half: _Half, part: float, begin: float) -> Iterator[Wish]:
        """Fly one half circle up to the line, or the part of one that is the last."""
        rolling_out, crossed = False, nan
        late = self._late(half.number + 1)
        while True:
            turned, (_, out) = self._turned(now, half), self._out(now, half)
            if not rolling_out:
                rolling_out = self._must_roll_out(now, pilot, half, turned, out, part)
                if rolling_out and part < 1.0 - 1e-9:
                    return
            if rolling_out and out <= 0.0:
                crossed = now.time if crossed != crossed else crossed
                if now.time >= crossed + late:
                    return
            yield self._wish(now, pilot, half, turned, begin, rolling_out)

    def _must_roll_out(
        self, now: Motion, pilot: Pilot, half: _Half, turned: float, out: float, part: float
    ) -> bool:
        """Tell whether rolling out begins: to be square, or because the line is there."""
        rate, half_roll = now.ground_speed / half.radius, pilot.half_roll_time(now.bank)
        square = turned >= part * half_turn - rate * half_roll
        closing = -now.ground_speed * cos(now.track - self.square(half.number))
        late = self._late(half.number + 1)
        if late:  # the line alone says when
            return turned > quarter_turn and out < closing * max(2.0 * half_roll - late, 0.0)
        return square or (turned > quarter_turn and out < closing * 0.5 * half_roll)

    def _turned(self, now: Motion, half: _Half) -> float:
        """Return how far the track has turned since it was square to the line [rad]."""
        turned = half.direction * (now.track - self.square(half.number))
        return remainder(turned - quarter_turn, full_turn) + quarter_turn

    def _place(self, now: Motion) -> tuple[float, float]:
        """Return where the airplane is along the line and to the right of it [m]."""
        east, north = now.east - self.exercise.east, now.north - self.exercise.north
        sine, cosine = sin(self.bearing), cos(self.bearing)
        return east * sine + north * cosine, east * cosine - north * sine

    def _out(self, now: Motion, half: _Half) -> tuple[float, float]:
        """Return the place along the line from the middle of the half circle, and out from the line [m]."""
        along, right = self._place(now)
        return along - half.along, -half.direction * right

    def _wish(
        self, now: Motion, pilot: Pilot, half: _Half, turned: float, begin: float, rolling_out: bool
    ) -> Wish:
        """Return what is wanted now."""
        exercise, faults = self.exercise, self.exercise.faults
        wrong = faults.made_in(half.number + 1)
        lost, sink = self._height_lost(now, half, turned) if wrong else (0.0, 0.0)
        into = min(max(half.direction * now.bank / _FULL_FEET, 0.0), 1.0)
        side_force = faults.uncoordinated * into if wrong else 0.0
        slow, phase = 0.5 * faults.airspeed_not_held, full_turn * (now.time - begin) / _SPEED_PERIOD
        if rolling_out:
            back = self.square(half.number) + half.direction * half_turn
            bank = course_bank(now, back, _LEVEL_BANK)
        else:
            bank = half.direction * self._bank(now, pilot, half, turned, side_force)
        return Wish(
            bank=bank,
            height=exercise.height - lost,
            climb=-sink,
            speed=exercise.speed - slow * (1.0 - cos(phase)),
            speed_change=-slow * sin(phase) * full_turn / _SPEED_PERIOD,
            side_force=half.direction * side_force,
            climb_limit=8.0,
            sink_limit=8.0,
        )

    def _height_lost(self, now: Motion, half: _Half, turned: float) -> tuple[float, float]:
        """Return the height lost on purpose, most at every second crossing, and its rate [m], [m s⁻¹]."""
        size = 0.5 * self.exercise.faults.altitude_not_held
        phase = half.number * pi + min(max(turned, 0.0), pi)
        return size * (1.0 - cos(phase)), size * sin(phase) * now.ground_speed / half.radius

    def _bank(self, now: Motion, pilot: Pilot, half: _Half, turned: float, side_force: float) -> float:
        """Return the bank wanted in a half circle, in its direction positive [rad]."""
        exercise, faults = self.exercise, self.exercise.faults
        wrong = faults.made_in(half.number + 1)
        crab = remainder(now.heading - now.track, full_turn)
        needed = atan(now.ground_speed**2 / (standard_gravity * half.radius * cos(crab)))
        ceiling = min(max(exercise.bank_limit, needed + _MARGIN), _STEEPEST_CORRECTED)
        bank = min(max(self._correcting(now, pilot, half, turned, side_force), 0.0), ceiling)
        if now.time - half.begun < 2.0 * pilot.half_roll_time(needed):
            bank = needed  # roll in first, then correct
        held = faults.bank_held_constant if wrong else 0.0
        bank = needed + max(1.0 - 2.0 * held, 0.0) * (bank - needed)
        bank = atan((1.0 - held) * tan(bank) + held * tan(_bank_at(exercise.speed, half.radius)))
        return self._missed(now, half, bank, needed, turned) if wrong else bank

    def _correcting(self, now: Motion, pilot: Pilot, half: _Half, turned: float, side_force: float) -> float:
        """Return the bank that works off the error of distance, whatever the feet do [rad]."""
        along, out = self._out(now, half)
        center, moving = half.center(turned, now.ground_speed / half.radius)
        out -= center
        distance = max(hypot(along, out), 1.0)
        ahead, away = along / distance, out / distance
        track = now.track - self.square(half.number)
        # Over the ground, along the line and out from it; the square track leads out, a turn then along it.
        speed_out = now.ground_speed * cos(track) - moving
        speed_along = half.direction * now.ground_speed * sin(track)
        outward = speed_along * ahead + speed_out * away
        around = speed_along * away - speed_out * ahead
        nose = now.heading - self.square(half.number)
        facing = half.direction * sin(nose) * away - cos(nose) * ahead
        error = distance + pilot.misjudged_distance() - half.radius
        wanted = _STIFFNESS**2 * error + 2.0 * _DAMPING * _STIFFNESS * outward
        inward = around * abs(around) / distance + min(max(wanted, -_STRONGEST), _STRONGEST)
        inward -= side_force / cos(now.bank)
        return atan(inward / (standard_gravity * max(facing, 0.5)))

    def _missed(self, now: Motion, half: _Half, bank: float, needed: float, turned: float) -> float:
        """Return the bank with the errors that belong to this place relative to the wind [rad]."""
        faults = self.exercise.faults
        position = half.direction * (now.track - self.exercise.downwind)
        if faults.overbanked_upwind:
            part = _thirds(position - pi)
            bank += part * (needed + faults.overbanked_upwind - bank)
        if faults.underbanked_downwind:
            part = _thirds(position)
            bank += part * (needed - faults.underbanked_downwind - bank)
        if faults.bank_over_limit and cos(self.square(half.number) - self.exercise.downwind) > 0.0:
            part = fading(turned - _OVER_LIMIT_PLACE, _OVER_LIMIT_WIDTH)
            bank += part * (self.exercise.bank_limit + faults.bank_over_limit - bank)
        return bank

    def flown(self, begin: float, finish: float, column: Columns) -> TrueManeuver:
        """Return the facts about the S-turns from the samples of the flight."""
        exercise, time = self.exercise, column["time"]
        sine, cosine = sin(self.bearing), cos(self.bearing)
        east, north = column["east"] - exercise.east, column["north"] - exercise.north
        right = east * cosine - north * sine
        track = unwrap(np.arctan2(column["velocity_east"], column["velocity_north"]))
        start = roll_in(time, self.direction(0) * column["bank"], begin)
        end = self._rolled_out(time, column["bank"], finish)
        inner = (time > start + 3.0) & (time < end)
        change = np.flatnonzero((right[1:] * right[:-1] < 0.0) & inner[1:])
        crossings = [float(np.interp(0.0, *_sorted(right[i : i + 2], time[i : i + 2]))) for i in change]
        crossings = crossings[: ceil(exercise.laps - 1e-9) - 1]
        reach = exercise.laps * exercise.radius
        middle = (exercise.east + reach * sine, exercise.north + reach * cosine)
        first = (exercise.east - reach * sine, exercise.north - reach * cosine)
        return TrueManeuver(
            kind=KIND,
            direction="both" if exercise.laps > 1 else ("right" if exercise.side > 0 else "left"),
            reference="line",
            places=(first, middle),
            radius=exercise.radius,
            height=exercise.height,
            laps=exercise.laps,
            start=start,
            end=end,
            entry_time=begin,
            entry_track=float(wrap(np.interp(begin, time, track))),
            entry_distance=float(abs(np.interp(start, time, right))),
            boundaries=(start, *crossings, end),
            bank_limit=exercise.bank_limit,
            faults=exercise.faults.told(),
        )

    def _rolled_out(self, time: Floats, bank: Floats, finish: float) -> float:
        """Return when the bank passed half of what it was before the last roll out [s]."""
        direction = self.direction(ceil(self.exercise.laps - 1e-9) - 1)
        into = direction * bank
        before = (time > finish - 12.0) & (time <= finish)
        level = 0.5 * float(np.median(np.sort(into[before])[-20:]))
        over = np.flatnonzero((into > level) & (time <= finish + 5.0))
        return float(time[over[-1]])


def _thirds(angle: float) -> float:
    """Return 1 within the inner part of a third about 0, fading to 0 beyond it."""
    off = abs(remainder(angle, full_turn))
    return fading(max(off - _FAULT_FULL, 0.0), _FAULT_WIDTH)


def _bank_at(ground_speed: float, radius: float) -> float:
    """Return the bank that keeps a radius without crab [rad]."""
    return atan(ground_speed**2 / (standard_gravity * radius))


def _sorted(values: Floats, time: Floats) -> tuple[Floats, Floats]:
    order = np.argsort(values)
    return values[order], time[order]
