"""The summer of invented students: lessons in order, errors that shrink, recordings that read back."""

from __future__ import annotations

from io import BytesIO

from groundref.debriefing import debrief
from groundref.readers import read
from groundref.simulation.summer import STUDENTS, summer
from groundref.simulation.write import to_bytes


def test_three_students_fly_five_to_eight_lessons_each_on_days_of_their_own() -> None:
    lessons = list(summer())
    assert len(STUDENTS) == 3
    for student in STUDENTS:
        assert 5 <= sum(lesson.student is student for lesson in lessons) <= 8
    days = [lesson.start for lesson in lessons]
    assert days == sorted(set(days))
    assert len({lesson.name for lesson in lessons}) == len(lessons)
    assert len({lesson.wind for lesson in lessons}) > 5


def test_the_first_lesson_shows_more_than_the_last() -> None:
    jo = [lesson for lesson in summer() if lesson.student.name == "Jo Brandt"]
    found = []
    for lesson in (jo[0], jo[-1]):
        recording = read(BytesIO(to_bytes(lesson.fly(), "lesson.gpx")))
        maneuvers = debrief(recording).maneuvers
        assert [one.maneuver.kind for one in maneuvers] == ["s-turns", "turns-around-a-point"]
        found.append(sum(len(one.findings) for one in maneuvers))
    assert found[0] >= 3 > found[1]
