"""A summer of lessons of three invented students, who get better at different rates."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from math import radians
from typing import Final

from groundref.simulation.asked import asked, spread
from groundref.simulation.lesson import simulate_many
from groundref.simulation.wind_field import Weather
from groundref.track.recording import Recording
from groundref.units import knot

_FIRST_DAY: Final = datetime(2026, 6, 1, 13, 30, tzinfo=UTC)
_SPEED: Final = 90 * knot
# Wind of each week, from [deg true] and [kt]; every student flies in all sorts.
_WINDS: Final = ((240, 8), (200, 14), (290, 6), (250, 17), (180, 10), (310, 12), (230, 20), (260, 9))

Sizes = Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Student:
    """An invented student.

    Attributes
    ----------
    name, instructor
        Who learns from whom.
    weekday, weeks
        Days after the Monday, and the weeks with a lesson, from 0.
    kept
        Share of an error that is left after a lesson.
    unsteadiness
        At the beginning; it shrinks by the same share towards 0.8.
    maneuvers
        Kinds practiced, and the errors made in the first lesson with their sizes (see ``faults``); the lesson
        of an even week takes the first two, that of an odd week the last two.
    """

    name: str
    instructor: str
    weekday: int
    weeks: tuple[int, ...]
    kept: float
    unsteadiness: float
    maneuvers: tuple[tuple[str, Sizes], ...]


STUDENTS: Final = (
    Student(
        "Jo Brandt",
        "Ines Okafor",
        0,
        (0, 1, 2, 3, 4, 5, 6),
        0.68,
        1.5,
        (
            ("s-turns", {"not-level-at-line": 20.0, "altitude-not-held": 140.0}),
            ("turns-around-a-point", {"overbanked-upwind": 11.0, "altitude-not-held": 190.0}),
            ("rectangular-course", {"wrong-crab": 9.0}),
        ),
    ),
    Student(
        "Sam Reyes",
        "Ines Okafor",
        2,
        (0, 1, 2, 4, 5, 7),
        0.85,
        1.8,
        (
            ("rectangular-course", {"wrong-crab": 12.0, "altitude-not-held": 160.0}),
            ("turns-around-a-point", {"late-turn-entry": 5.0, "airspeed-not-held": 13.0}),
            ("s-turns", {"unequal-half-circles": 420.0}),
        ),
    ),
    Student(
        "Mika Laine",
        "Tom Adler",
        4,
        (1, 2, 3, 4, 5, 6, 7),
        0.6,
        1.2,
        (
            ("steep-turns", {"altitude-not-held": 260.0, "rollout-heading-missed": 22.0}),
            ("turns-around-a-point", {"underbanked-downwind": 9.0}),
            ("steep-turns", {"bank-not-held": 9.0, "altitude-not-held": 210.0}),
        ),
    ),
)


@dataclass(frozen=True, slots=True)
class SummerLesson:
    """One lesson of the summer.

    Attributes
    ----------
    student
        Who flies.
    start
        Of the flight.
    number
        Among the student's, from 0.
    week
        Of the summer, from 0.
    """

    student: Student
    start: datetime
    number: int
    week: int

    @property
    def name(self) -> str:
        """Name of its recording, without an ending."""
        return f"{self.start:%Y-%m-%d}-{self.student.name.lower().replace(' ', '-')}"

    @property
    def wind(self) -> tuple[int, int]:
        """Where the wind is from and how strong [deg true, kt]."""
        return _WINDS[(self.week + self.student.weekday) % len(_WINDS)]

    def fly(self) -> Recording:
        """Fly it, and return the recording of a phone; the same each time."""
        student, left = self.student, self.student.kept**self.number
        wind_from, wind = radians(self.wind[0]), self.wind[1] * knot
        first = self.week % 2
        direction = "left" if self.number % 3 else "right"
        exercises = [
            asked(
                kind,
                true_airspeed=_SPEED,
                wind_speed=wind,
                wind_from=wind_from,
                direction=direction,
                faults={name: size * left for name, size in errors.items()},
                place=spread(part),
            )
            for part, (kind, errors) in enumerate(student.maneuvers[first : first + 2])
        ]
        recording, _ = simulate_many(
            exercises,
            Weather.blowing(wind, wind_from, gust_sd=0.05 * wind, height=exercises[0].height),
            epoch=self.start,
            seed=1 + self.week + 100 * student.weekday,
            unsteadiness=0.8 + (student.unsteadiness - 0.8) * left,
        )
        return recording


def summer() -> Iterator[SummerLesson]:
    """Yield the lessons of the summer, earliest first."""
    lessons = [
        SummerLesson(student, _FIRST_DAY + timedelta(weeks=week, days=student.weekday), number, week)
        for student in STUDENTS
        for number, week in enumerate(student.weeks)
    ]
    yield from sorted(lessons, key=lambda lesson: lesson.start)
