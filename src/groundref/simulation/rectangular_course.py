"""The rectangular course as a leg: entry at 45°, straight legs, corners, and the errors made in them.

An airplane off its line by e to the outside and with the part u of its ground velocity along an arc of radius
d about a centre is led as around a point (`around_point`): toward the inside it wants

    a = u²/d + ω² e + 2 ζ ω e',    tan(bank) = a / (g cos(crab)),

on a straight leg without the first term. Where an error is committed on a straight leg the line to follow, or
the track, is what is wrong, so that the path suffers as it would.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import atan, cos, hypot, nan, radians, remainder, sin, tan
from typing import Final

import numpy as np

from groundref.angles import full_turn, quarter_turn, unwrap, wrap
from groundref.errors import NoSolutionError
from groundref.mechanics import boundary, rectangle
from groundref.simulation import legs
from groundref.simulation.course import Course, Line, laid_out
from groundref.simulation.exercise import Exercise, Shape
from groundref.simulation.faults import Faults
from groundref.simulation.fly import Motion
from groundref.simulation.legs import course_bank
from groundref.simulation.maneuver_leg import Columns, roll_out
from groundref.simulation.pilot import Pilot, Wish
from groundref.simulation.truth import TrueManeuver
from groundref.standards.usual import ENTRY_ANGLE
from groundref.units import standard_gravity

KIND: Final = "rectangular-course"
FAULTS_THAT_APPLY: Final = frozenset(
    {
        "leg-distance-uneven",
        "wrong-crab",
        "straight-legs-not-straight",
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
_STRAIGHT_BANK: Final = radians(20)  # for corrections on a leg
_MARGIN: Final = radians(6)  # of bank for corrections in a corner
_SPEED_PERIOD: Final = 80.0  # [s]
_WEAVE_TIME: Final = 24.0  # [s] about how long once to and fro takes
_BEFORE_ENTRY: Final = 3.0  # [s] before the turn onto the first leg where the way in ends


def shape(exercise: Exercise) -> Shape:
    """Return the rectangular course, entered at 45° to its first leg, flown downwind.

    Raises
    ------
    NoSolutionError
        When the field is too small, or the entry would come from inside.
    """
    course = laid_out(exercise)
    entry_track = course.bearing + course.side * ENTRY_ANGLE + exercise.faults.entry_not_downwind
    off = course.side * remainder(entry_track - course.bearing, full_turn)
    if not -0.02 <= off <= radians(100):
        raise NoSolutionError(
            "this entry would come from inside of the rectangle", "entry", "choose a smaller angle"
        )
    corners = max(round(4.0 * exercise.laps), 1)
    flown = RectangularCourse(exercise, course, corners, entry_track)
    rolling = exercise.airplane.half_roll_time(radians(30))
    rounding = course.corner_radius * tan(0.5 * off) / max(exercise.speed - exercise.wind_speed, 10.0)
    return Shape(
        exercise=exercise,
        entry=course.entry,
        course=entry_track,
        approach=legs.Line(
            *course.entry,
            entry_track,
            exercise.height,
            exercise.speed,
            lead=rolling + rounding + _BEFORE_ENTRY,
        ),
        maneuver=flown,
        after=course.track(corners),
    )


@dataclass(slots=True)
class _Progress:
    """How far the course is flown; changed as it is flown: when begun [s], way made good [m], corners."""

    begun: float
    before: float
    way: float = 0.0
    corners: int = 0
    in_turn: float = nan  # since when [s]


@dataclass(frozen=True, slots=True)
class RectangularCourse:
    """The course itself, from the turn onto the first leg to the start of rolling out of the last corner.

    Attributes
    ----------
    exercise
        What was asked for.
    course
        Where it is flown.
    corners
        How many.
    entry_track
        Track on which it is entered [rad]
    """

    exercise: Exercise
    course: Course
    corners: int
    entry_track: float

    @property
    def faults(self) -> Faults:
        """How badly."""
        return self.exercise.faults

    def steer(self, now: Motion, pilot: Pilot) -> Iterator[Wish]:
        """Yield what is wanted."""
        progress = _Progress(now.time, now.time)
        way_in = (*self.course.entry, self.entry_track)
        if abs(remainder(self.entry_track - self.course.bearing, full_turn)) > radians(10):
            yield from self._straight(now, pilot, progress, way_in, 0, -self.course.side)
            yield from self._corner(now, pilot, progress, 0, -self.course.side)
        for leg in range(self.corners):
            line = self.course.line(leg)
            yield from self._straight(now, pilot, progress, line, leg + 1, self.course.side)
            yield from self._corner(now, pilot, progress, leg + 1, self.course.side)

    def flown(self, begin: float, finish: float, column: Columns) -> TrueManeuver:
        """Return the facts about the flown course from the samples of the flight."""
        course, time = self.course, column["time"]
        track = unwrap(np.arctan2(column["velocity_east"], column["velocity_north"]))
        at_begin = float(np.interp(begin, time, track))
        turned = course.side * (track - at_begin + remainder(at_begin - course.bearing, full_turn))
        start = self._joined(begin, column, turned)
        rolled = [
            _rolled_out(time, course.side * column["bank"], turned, start, k * quarter_turn)
            for k in range(4, self.corners, 4)
        ]
        end = roll_out(time, course.side * column["bank"], finish)
        whole = self.corners // 4
        bounds = (start, *rolled[: max(whole - 1, 0)], end)
        outside = boundary.outside(
            np.interp(start, time, column["east"]),
            np.interp(start, time, column["north"]),
            course.east,
            course.north,
            course.bearing,
            course.length,
            course.width,
        )
        return TrueManeuver(
            kind=KIND,
            direction="right" if course.side > 0 else "left",
            reference="rectangle",
            places=course.field,
            radius=course.outside,
            height=self.exercise.height,
            laps=0.25 * self.corners,
            start=start,
            end=end,
            entry_time=begin,
            entry_track=float(wrap(at_begin)),
            entry_distance=float(outside),
            boundaries=bounds,
            bank_limit=self.exercise.bank_limit,
            faults=self.faults.told(),
        )

    def _joined(self, begin: float, column: Columns, turned: np.ndarray) -> float:
        """Return when the first leg began: rolled out of the turn onto it, or abeam its beginning [s]."""
        time, course = column["time"], self.course
        if turned[int(np.searchsorted(time, begin))] > radians(15):
            nearly = (time > begin) & (turned < radians(8))
            return roll_out(time, -course.side * column["bank"], float(time[int(np.argmax(nearly))]))
        along, _ = boundary.along_and_right(
            column["east"] - course.entry[0], column["north"] - course.entry[1], course.bearing
        )
        return float(time[int(np.argmax((time > begin) & (along > 0.0)))])

    def _straight(
        self, now: Motion, pilot: Pilot, progress: _Progress, line: Line, leg: int, side: float
    ) -> Iterator[Wish]:
        """Follow a line until the turn onto a leg must begin."""
        progress.in_turn = nan
        own = leg - 1  # number of the leg that is flown here; −1 on the way in
        while not self._must_turn(now, pilot, leg, side):
            made = own >= 0 and self.faults.made_in(1 + progress.corners // 4)
            if made and self.faults.wrong_crab:
                # Too little crab, the more so the more crab is needed: the track turns toward where the wind
                # blows by the error of heading times V/G.
                across = sin(self.exercise.downwind - line[2])
                off = self.faults.wrong_crab * across * now.airspeed / max(now.ground_speed, 10.0)
                yield self._wish(now, progress, course_bank(now, line[2] + off))
            else:
                weave = self.faults.straight_legs_not_straight if made else 0.0
                yield self._wish(now, progress, self._following(now, pilot, line, own, weave))

    def _following(self, now: Motion, pilot: Pilot, line: Line, leg: int, weave: float) -> float:
        """Return the bank that follows a line, or goes to and fro about it [rad]."""
        along, right = boundary.along_and_right(now.east - line[0], now.north - line[1], line[2])
        _, drift = boundary.along_and_right(now.velocity_east, now.velocity_north, line[2])
        off, rate, wanted = float(right) + pilot.misjudged_distance(), float(drift), 0.0
        if weave:
            span = self.course.span(leg)
            turns = max(round(span / (_WEAVE_TIME * self.exercise.speed)), 1)
            wave = full_turn * turns / span
            size, phase = tan(weave) / wave, wave * (float(along) + 0.5 * span)
            speed = now.ground_speed
            off -= size * sin(phase)
            rate -= size * wave * speed * cos(phase)
            wanted = -size * (wave * speed) ** 2 * sin(phase)
        wanted += legs.line_correction(off, rate, now.ground_speed)
        bank = atan(wanted / (standard_gravity * cos(now.heading - now.track)))
        return min(max(bank, -_STRAIGHT_BANK), _STRAIGHT_BANK)

    def _must_turn(self, now: Motion, pilot: Pilot, leg: int, side: float) -> bool:
        """Return whether the turn onto a leg must begin, to be on the leg at its end."""
        rolling = now.ground_speed * pilot.half_roll_time(self._entry_bank(now, leg))
        if self._over_limit(leg):
            east, north, track = self.course.line(leg)
            before = self.course.track(leg - 1)
            lead, _, _ = rectangle.corner_at_constant_bank(
                now.airspeed,
                self.exercise.wind_speed,
                self.exercise.downwind - before,
                self.course.side,
                self._entry_bank(now, leg),
            )
            _, right = boundary.along_and_right(now.east - east, now.north - north, track)
            return side * float(right) <= float(lead) + rolling
        center = self._center(now, leg, side)
        east, north = center[0] - now.east, center[1] - now.north
        return east * sin(now.track) + north * cos(now.track) <= rolling

    def _center(self, now: Motion, leg: int, side: float) -> tuple[float, float]:
        """Return the centre of the arc that touches the track flown now and a leg: east, north [m]."""
        east, north, track = self.course.line(leg)
        radius = side * self.course.corner_radius
        # n·C = n·P + side R for both, n the unit vector to the right of each.
        a, b = (cos(now.track), -sin(now.track)), (cos(track), -sin(track))
        p = a[0] * now.east + a[1] * now.north + radius
        q = b[0] * east + b[1] * north + radius
        # Never less than a turn of 20°: nearly along the leg already, the arc would be far away.
        determinant = a[0] * b[1] - a[1] * b[0]
        determinant = -side * max(-side * determinant, sin(radians(20)))
        return (p * b[1] - q * a[1]) / determinant, (a[0] * q - b[0] * p) / determinant

    def _corner(
        self, now: Motion, pilot: Pilot, progress: _Progress, leg: int, side: float
    ) -> Iterator[Wish]:
        """Turn onto a leg, to the start of rolling out."""
        progress.in_turn = now.time
        center, track = self._center(now, leg, side), self.course.track(leg)
        over = self._over_limit(leg)
        first = self._entry_bank(now, leg)
        while True:
            rate = standard_gravity * tan(abs(now.bank)) / max(now.ground_speed, 10.0)
            early = pilot.half_roll_time(now.bank) * rate
            left = side * remainder(track - now.track, full_turn)
            if left <= early and now.time > progress.in_turn + 1.0:
                break
            bank = first
            if not over and now.time > progress.in_turn + 2.0 * pilot.half_roll_time(first):
                bank = self._on_arc(now, pilot, center, side)
            yield self._wish(now, progress, side * bank, side)
        progress.corners += 1 if side == self.course.side else 0

    def _on_arc(self, now: Motion, pilot: Pilot, center: tuple[float, float], side: float) -> float:
        """Return the bank that keeps to an arc, toward its centre positive [rad]."""
        east, north = now.east - center[0], now.north - center[1]
        distance = max(hypot(east, north), 1.0)
        outward = (now.velocity_east * east + now.velocity_north * north) / distance
        along = side * (now.velocity_east * north - now.velocity_north * east) / distance
        crab = cos(remainder(now.heading - now.track, full_turn))
        radius = self.course.corner_radius
        needed = atan(now.ground_speed**2 / (standard_gravity * radius * crab))
        off = distance - radius + pilot.misjudged_distance()
        wanted = _STIFFNESS**2 * off + 2.0 * _DAMPING * _STIFFNESS * outward
        inward = along * abs(along) / distance + min(max(wanted, -4.0), 4.0) - side * now.side_force
        bank = atan(inward / (standard_gravity * crab))
        return min(max(bank, radians(3)), needed + _MARGIN)

    def _entry_bank(self, now: Motion, leg: int) -> float:
        """Return the bank with which the turn onto a leg begins [rad]."""
        if self._over_limit(leg):
            return self.exercise.bank_limit + self.faults.bank_over_limit
        crab = cos(remainder(now.heading - now.track, full_turn))
        return atan(now.ground_speed**2 / (standard_gravity * self.course.corner_radius * crab))

    def _over_limit(self, leg: int) -> bool:
        """Return whether the turn onto a leg, out of a downwind leg, is flown beyond the bank limit."""
        made = self.faults.made_in(1 + (leg - 1) // 4)
        return bool(self.faults.bank_over_limit) and leg % 4 == 1 and made

    def _wish(self, now: Motion, progress: _Progress, bank: float, side: float = 0.0) -> Wish:
        """Return what is wanted: a bank, with height and airspeed; ``side`` is that of a turn."""
        exercise, faults = self.exercise, self.faults
        progress.way += now.ground_speed * (now.time - progress.before)
        progress.before = now.time
        made = faults.made_in(1 + progress.corners // 4)
        round_once, since = full_turn / self.course.around, now.time - progress.begun
        half, phase = 0.5 * faults.altitude_not_held if made else 0.0, round_once * progress.way
        slow, beat = 0.5 * faults.airspeed_not_held, full_turn * since / _SPEED_PERIOD
        force = faults.uncoordinated * min((now.time - progress.in_turn) / 3.0, 1.0) if side and made else 0.0
        return Wish(
            bank=bank,
            height=exercise.height - half * (1.0 - cos(phase)),
            climb=-half * sin(phase) * round_once * now.ground_speed,
            speed=exercise.speed - slow * (1.0 - cos(beat)),
            speed_change=-slow * sin(beat) * full_turn / _SPEED_PERIOD,
            side_force=side * force,
            climb_limit=8.0,
            sink_limit=8.0,
        )


def _rolled_out(time: np.ndarray, bank: np.ndarray, turned: np.ndarray, start: float, angle: float) -> float:
    """Return when the roll out of a corner was half done that ends at an angle turned [s]."""
    near = (time > start) & (turned > angle - radians(12))
    return roll_out(time, bank, float(time[int(np.argmax(near))]))
