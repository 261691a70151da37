"""``groundref record correct``: who flew a lesson, who gave it and where, put right."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from groundref.cli import options
from groundref.cli.record.common import JsonOption, LessonNumber, RecordOption, opened
from groundref.cli.record.show import show_lesson
from groundref.errors import UsageError

if TYPE_CHECKING:
    from groundref.record.names import Newcomer


def correct(
    lesson: LessonNumber,
    /,
    *,
    student: Annotated[str | None, options.taking("NAME")] = None,
    instructor: Annotated[str | None, options.taking("NAME")] = None,
    site: Annotated[str | None, options.taking("NAME")] = None,
    json: JsonOption = None,
    record: RecordOption = None,
) -> None:
    """Put right who flew a lesson, who gave it or where.

    Parameters
    ----------
    lesson
        Its number.
    student
        Who flew it; somebody new is put into the record.
    instructor
        Who gave it; '' for nobody.
    site
        Where it was flown, a practice site of the record; '' for none. The debrief stays as it is.
    json
        Write the lesson as JSON to this file; - is standard output.
    record
        The record: a file, or postgresql://user@host/database of a school's.
    """
    if student is None and instructor is None and site is None:
        raise UsageError(
            "nothing to put right was said", "record correct", "give --student, --instructor or --site"
        )
    from groundref.record.correcting import say_who
    from groundref.record.lessons import shown
    from groundref.record.names import newcomers

    store = opened(record)
    with store.reading() as connection:
        row = shown(connection, lesson).row
        new = newcomers(connection, [name for name in (student, instructor or None) if name is not None])
    say_who(
        store,
        lesson,
        row.student if student is None else student,
        row.instructor if instructor is None else instructor or None,
        row.site if site is None else site or None,
    )
    with store.reading() as connection:
        row = shown(connection, lesson).row
    where = f" at {row.site}" if row.site else ""
    done = f"Lesson {lesson}: {row.student or 'nobody'} with {row.instructor or 'nobody'}{where}."
    show_lesson(store, lesson, json, f"{done}{_said_of(new)}")


def _said_of(new: tuple[Newcomer, ...]) -> str:
    """Say who is new in the record."""
    return f" New in the record: {', '.join(map(str, new))}." if new else ""
