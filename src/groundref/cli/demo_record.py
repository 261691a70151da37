"""The demo's record: the first lessons of an invented summer, so that the page has something to show."""

from __future__ import annotations

from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from groundref.record.lessons import NewLesson
    from groundref.record.store import Record
    from groundref.simulation.summer import SummerLesson

FILE_NAME: Final = "demo.sqlite"
AIRPLANE: Final = "high-wing-trainer"
GROUND_FT: Final = 620
LESSONS: Final = 5  # two of each student who flew in both weeks; each takes about a second


def filled(folder: Path) -> tuple[Record, int]:
    """Return the demo's record with its lessons in it, and how many they are; lessons there are let be.

    Parameters
    ----------
    folder
        Where the record lies.

    Raises
    ------
    RecordError
        When it cannot be written, or is no record.
    """
    from groundref.cli.waiting import counting
    from groundref.record.lessons import add
    from groundref.record.place import Place
    from groundref.record.store import open_record
    from groundref.simulation.summer import summer

    record = open_record(Place(path=folder / FILE_NAME), make=True)
    with counting("flying lesson") as step:
        for number, lesson in enumerate(islice(summer(), LESSONS), start=1):
            add(record, _flown(lesson))
            step(number, LESSONS)
    return record, LESSONS


def _flown(lesson: SummerLesson) -> NewLesson:
    """Return a lesson flown, debriefed and ready for a record."""
    from groundref import __version__, datafile
    from groundref.record.asked import Asked, recording_of
    from groundref.record.lessons import NewLesson
    from groundref.record.working import work_out
    from groundref.simulation.write import to_bytes

    text, _ = datafile.find(AIRPLANE, "groundref.aircraft", "aircraft")
    asked = Asked(airplane=text, ground_ft=GROUND_FT)
    name = f"{lesson.name}.gpx"
    parts = ((name, to_bytes(lesson.fly(), name)),)
    return NewLesson(
        parts=parts,
        asked=asked,
        document=work_out(recording_of(parts, None), asked).document,
        version=__version__,
        student=lesson.student.name,
        instructor=lesson.student.instructor,
        airplane=(AIRPLANE, text),
    )
