"""Elementary eights as a leg: loops of one radius, one way and then the other, and the way between them.

Each loop is flown as around a point (`around_point`), about the pylon or about the place beside the road that
is its center, until the track of the way to the next loop. That way is followed as a line; where it is
shorter than two rolls, as along a road, the airplane is rolled from one loop straight into the next, level
over the place where they touch.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from math import atan, cos, pi, radians, remainder, sin, tan
from typing import Final

import numpy as np

from groundref.angles import full_turn, unwrap, wrap
from groundref.mechanics import arc, boundary
from groundref.mechanics.wind_triangle import ground_speed_on_track
from groundref.simulation.around_point import AroundPoint, Circle
from groundref.simulation.eight_layout import Eight, between, laid_out, road
from groundref.simulation.exercise import Exercise, Shape
from groundref.simulation.faults import Faults
from groundref.simulation.fly import Motion
from groundref.simulation.legs import Line, course_bank, line_correction
from groundref.simulation.maneuver_leg import Columns, Floats, roll_in, roll_out
from groundref.simulation.pilot import Pilot, Wish
from groundref.simulation.truth import TrueManeuver
from groundref.standards.lie import ACROSS, ALONG, AROUND
from groundref.units import degree, standard_gravity

_IN_ALL: Final = frozenset(
    {
        "bank-held-constant",
        "overbanked-upwind",
        "underbanked-downwind",
        "radius-changed",
        "bank-over-limit",
        "altitude-not-held",
        "airspeed-not-held",
        "outside-height-band",
        "uncoordinated",
    }
)
_ON_LEGS: Final = frozenset({"straight-legs-not-straight", "wrong-crab"})
FAULTS_THAT_APPLY: Final[Mapping[str, frozenset[str]]] = {
    ALONG: _IN_ALL,
    ACROSS: _IN_ALL | _ON_LEGS,
    AROUND: _IN_ALL | _ON_LEGS | {"entry-not-downwind"},
}
_STRAIGHT_BANK: Final = radians(20)
_SPEED_PERIOD: Final = 80.0  # [s]
_LEVEL_BANK: Final = 6 * degree  # more is a loop


def shape(exercise: Exercise) -> Shape:
    """Return an elementary eight, entered on the way between the loops.

    Raises
    ------
    NoSolutionError
        When a loop needs more bank than anyone flies, or the pylons are too close together.
    """
    eight = laid_out(exercise)
    flown = Eights(exercise, eight)
    entry, course = flown.entry()
    bank = _needed(exercise.speed + exercise.wind_speed, 0.0, eight.radius(0))
    lead = exercise.airplane.half_roll_time(bank)
    return Shape(
        exercise=exercise,
        entry=entry,
        course=course,
        approach=Line(*entry, course, exercise.height, exercise.speed, lead=lead),
        maneuver=flown,
        after=eight.track(flown.loops),
    )


def _needed(ground_speed: float, crab: float, radius: float) -> float:
    """Return the bank that keeps a radius, unsigned [rad]."""
    return atan(ground_speed**2 / (standard_gravity * radius * cos(crab)))


@dataclass(frozen=True, slots=True)
class Eights:
    """The loops and the ways between them.

    Attributes
    ----------
    exercise
        What was asked for.
    eight
        Where it is flown.
    """

    exercise: Exercise
    eight: Eight

    @property
    def loops(self) -> int:
        """How many."""
        return max(round(2.0 * self.exercise.laps), 1)

    def entry(self) -> tuple[tuple[float, float], float]:
        """Return where the first loop begins, east and north, and the track there [m], [rad]."""
        missed = self.exercise.faults.entry_not_downwind
        if not missed:
            return self.eight.begin(0), self.eight.track(0)
        (east, north), track = self.eight.center(0), self.exercise.downwind + missed
        away = -self.eight.turn(0) * self.eight.radius(0)
        return (east + away * cos(track), north - away * sin(track)), track

    def steer(self, now: Motion, pilot: Pilot) -> Iterator[Wish]:
        """Yield what is wanted."""
        begin = now.time
        for loop in range(self.loops):
            if loop:
                for wish in self._between(now, pilot, loop):
                    yield self._timed(wish, now, begin)
            yield from self._loop(now, pilot, loop, begin)

    def _loop(self, now: Motion, pilot: Pilot, loop: int, begin: float) -> Iterator[Wish]:
        """Fly a loop up to the roll out onto the way to the next."""
        eight, exercise = self.eight, self.exercise
        side, made = eight.turn(loop), exercise.faults.made_in(loop + 1)
        turn = eight.loop_turn - side * remainder(now.track - eight.track(loop), full_turn)
        if loop == 0:
            turn = full_turn - (side * (now.track - eight.track(1))) % full_turn
            turn += full_turn if turn < pi else 0.0
        circle = Circle(
            east=eight.center(loop)[0],
            north=eight.center(loop)[1],
            radius=eight.radius(loop),
            side=side,
            downwind=exercise.downwind,
            laps=(turn - self._rolled_earlier(loop)) / full_turn,
            height=exercise.height,
            speed=exercise.speed,
            bank_limit=exercise.bank_limit,
        )
        faults = _of_the_bank(exercise.faults) if made else Faults()
        turned, before = 0.0, now.track
        for wish in AroundPoint(circle, faults, self._steepest(loop)).steer(now, pilot):
            lost, sink = self._height_lost(now, loop, turned / turn) if made else (0.0, 0.0)
            yield self._timed(wish, now, begin, lost, sink)
            turned += side * remainder(now.track - before, full_turn)
            before = now.track

    def _rolled_earlier(self, loop: int) -> float:
        """Return the angle before which a roll into the next loop begins than one to level would [rad].

        Where the way between is shorter than both rolls take they are one, its middle half way.
        """
        if loop + 1 >= self.loops:
            return 0.0
        exercise, radius = self.exercise, self.eight.radius(loop)
        speed = float(
            ground_speed_on_track(
                exercise.speed, exercise.wind_speed, exercise.downwind - self.eight.track(loop + 1)
            )
        )
        to_level = _needed(speed, 0.0, radius) / exercise.airplane.roll_rate
        return 0.5 * max(to_level - self._way(loop + 1) / speed, 0.0) * speed / radius

    def _way(self, loop: int) -> float:
        """Return the length of the way that leads into a loop [m]."""
        (east, north), track = self.eight.center(loop - 1), self.eight.track(loop)
        away = -self.eight.turn(loop - 1) * self.eight.radius(loop - 1)
        left = (east + away * cos(track), north - away * sin(track))
        return between(left, self.eight.begin(loop))

    def _steepest(self, loop: int) -> float:
        """Return how far from straight downwind a loop comes nearest to it [rad]."""
        side, downwind = self.eight.turn(loop), self.exercise.downwind
        start = float(arc.position(self.eight.track(loop), downwind, side))
        _, nearest = arc.most_upwind_and_downwind(start, start + self.eight.loop_turn)
        return float(nearest)

    def _between(self, now: Motion, pilot: Pilot, loop: int) -> Iterator[Wish]:
        """Follow the way to a loop until it is time to roll into it."""
        place, track, faults = self.eight.begin(loop), self.eight.track(loop), self.exercise.faults
        made, length = faults.made_in(loop), self._way(loop)
        wrong = made and bool(faults.wrong_crab)
        weave = faults.straight_legs_not_straight if made else 0.0
        while True:
            along, right = boundary.along_and_right(now.east - place[0], now.north - place[1], track)
            bank = _needed(now.ground_speed, 0.0, self.eight.radius(loop))
            if float(along) >= -pilot.half_roll_time(bank) * now.ground_speed:
                return
            if wrong:
                # Too little crab, the more so the more is needed: the track turns toward where the wind
                # blows by the error of heading times V/G.
                across = sin(self.exercise.downwind - track)
                off = faults.wrong_crab * across * now.airspeed / max(now.ground_speed, 10.0)
                yield self._wish(course_bank(now, track + off, _STRAIGHT_BANK))
            else:
                yield self._wish(
                    _following(now, pilot, float(along) + length, float(right), track, weave, length)
                )

    def _wish(self, bank: float) -> Wish:
        return Wish(bank, self.exercise.height, self.exercise.speed)

    def _timed(self, wish: Wish, now: Motion, begin: float, lost: float = 0.0, sink: float = 0.0) -> Wish:
        """Return a wish with the height lost on purpose and the airspeed of the moment."""
        slow = 0.5 * self.exercise.faults.airspeed_not_held
        phase = full_turn * (now.time - begin) / _SPEED_PERIOD
        return replace(
            wish,
            height=self.exercise.height - lost,
            climb=-sink,
            speed=self.exercise.speed - slow * (1.0 - cos(phase)),
            speed_change=-slow * sin(phase) * full_turn / _SPEED_PERIOD,
            climb_limit=8.0,
            sink_limit=8.0,
        )

    def _height_lost(self, now: Motion, loop: int, part: float) -> tuple[float, float]:
        """Return the height lost on purpose, most half way round a loop, and its rate [m], [m s⁻¹]."""
        half, phase = 0.5 * self.exercise.faults.altitude_not_held, full_turn * min(max(part, 0.0), 1.0)
        rate = now.ground_speed / self.eight.radius(loop) * full_turn / self.eight.loop_turn
        return half * (1.0 - cos(phase)), half * sin(phase) * rate

    def flown(self, begin: float, finish: float, column: Columns) -> TrueManeuver:
        """Return the facts about the flown eights from the samples of the flight."""
        eight, time, exercise = self.eight, column["time"], self.exercise
        starts = _starts(self, time, column["bank"], begin, finish)
        end = roll_out(time, eight.turn(self.loops - 1) * column["bank"], finish)
        track = unwrap(np.arctan2(column["velocity_east"], column["velocity_north"]))
        distance = np.hypot(column["east"] - eight.center(0)[0], column["north"] - eight.center(0)[1])
        pylons = exercise.kind == AROUND
        return TrueManeuver(
            kind=exercise.kind,
            direction="both" if self.loops > 1 else "right" if eight.side > 0 else "left",
            reference="pylons" if pylons else "line",
            places=eight.centers if pylons else self._road(),
            radius=exercise.radius,
            height=exercise.height,
            laps=self.loops,
            start=starts[0],
            end=end,
            entry_time=starts[0],
            entry_track=float(wrap(np.interp(begin, time, track))),
            entry_distance=float(np.interp(starts[0], time, distance)),
            boundaries=(*starts, end),
            bank_limit=exercise.bank_limit,
            faults=exercise.faults.told(),
        )

    def _road(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """Return the two ends of the part of the road that is drawn: two radii either way."""
        bearing, reach = road(self.exercise), 2.0 * self.exercise.radius
        east, north = self.eight.middle
        return (
            (east - reach * sin(bearing), north - reach * cos(bearing)),
            (east + reach * sin(bearing), north + reach * cos(bearing)),
        )


def _of_the_bank(faults: Faults) -> Faults:
    """Return the errors that are made by the bank and the feet in a loop."""
    return Faults(
        bank_held_constant=faults.bank_held_constant,
        overbanked_upwind=faults.overbanked_upwind,
        underbanked_downwind=faults.underbanked_downwind,
        bank_over_limit=faults.bank_over_limit,
        uncoordinated=faults.uncoordinated,
    )


def _following(
    now: Motion, pilot: Pilot, along: float, right: float, track: float, weave: float, length: float
) -> float:
    """Return the bank that follows a way, or goes to and fro about it once [rad]."""
    _, drift = boundary.along_and_right(now.velocity_east, now.velocity_north, track)
    off, rate, wanted = right + pilot.misjudged_distance(), float(drift), 0.0
    if weave:
        wave = full_turn / max(length, 1.0)
        size, phase, speed = tan(weave) / wave, wave * min(max(along, 0.0), length), now.ground_speed
        off -= size * sin(phase)
        rate -= size * wave * speed * cos(phase)
        wanted = -size * (wave * speed) ** 2 * sin(phase)
    wanted += line_correction(off, rate, now.ground_speed)
    bank = atan(wanted / (standard_gravity * cos(now.heading - now.track)))
    return min(max(bank, -_STRAIGHT_BANK), _STRAIGHT_BANK)


def _starts(leg: Eights, time: Floats, bank: Floats, begin: float, finish: float) -> tuple[float, ...]:
    """Return when each loop was rolled into: the bank passed half of what it then was [s]."""
    starts = [roll_in(time, leg.eight.side * bank, begin)]
    for loop in range(1, leg.loops):
        other = (time > starts[-1]) & (time <= finish) & (leg.eight.turn(loop) * bank > _LEVEL_BANK)
        first = int(np.argmax(other))
        starts.append(roll_in(time, leg.eight.turn(loop) * bank, float(time[first])))
    return tuple(starts)
