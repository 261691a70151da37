"""``groundref record sign``: the instructor's signature under a lesson."""

from __future__ import annotations

from typing import Annotated

from cyclopts import Parameter

from groundref.cli import options
from groundref.cli.record.common import JsonOption, LessonNumber, RecordOption, YesOption, agreed, opened
from groundref.cli.record.show import show_lesson


def sign(
    lesson: LessonNumber,
    /,
    *,
    instructor: Annotated[str | None, options.taking("NAME")] = None,
    withdraw: Annotated[bool, Parameter(negative=(), show_default=False)] = False,
    yes: YesOption = False,
    json: JsonOption = None,
    record: RecordOption = None,
) -> None:
    """Sign a lesson: the debrief that counts, remarks and own verdicts stay as they are.

    Parameters
    ----------
    lesson
        Its number.
    instructor
        Who signs, somebody whom the record knows; the lesson's instructor unless given.
    withdraw
        Take the signature back, so that remarks and verdicts can be changed.
    yes
        Do not ask before a signature is taken back.
    json
        Write the lesson as JSON to this file; - is standard output.
    record
        The record: a file, or postgresql://user@host/database of a school's.
    """
    from groundref.record.deciding import sign as put_signature
    from groundref.record.deciding import withdraw_signature

    store = opened(record)
    if not withdraw:
        done = f"is signed by {put_signature(store, lesson, instructor)}"
    elif agreed(f"Take back the signature under lesson {lesson}, with its date?", yes=yes):
        done = f"is no longer signed by {withdraw_signature(store, lesson)}"
    else:
        done = "stays signed"
    show_lesson(store, lesson, json, f"Lesson {lesson} {done}.")
