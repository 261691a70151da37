"""``groundref record remark``: the instructor's remarks on a lesson."""

from __future__ import annotations

from groundref.cli.record.common import JsonOption, LessonNumber, RecordOption, opened
from groundref.cli.record.show import show_lesson


def remark(
    lesson: LessonNumber,
    text: str,
    /,
    *,
    json: JsonOption = None,
    record: RecordOption = None,
) -> None:
    """Write remarks on a lesson, in place of those before.

    Parameters
    ----------
    lesson
        Its number.
    text
        The remarks, in quotes; '' takes out what was there.
    json
        Write the lesson as JSON to this file; - is standard output.
    record
        The record: a file, or postgresql://user@host/database of a school's.
    """
    from groundref.record.deciding import remark as write_remark

    store = opened(record)
    write_remark(store, lesson, text)
    done = "now has these remarks" if text.strip() else "has no remarks now"
    show_lesson(store, lesson, json, f"Lesson {lesson} {done}.")
