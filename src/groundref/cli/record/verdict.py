"""``groundref record verdict``: the instructor's own verdict on an element."""

from __future__ import annotations

from typing import Annotated

from cyclopts import Parameter

from groundref.cli import options
from groundref.cli.record.common import JsonOption, LessonNumber, RecordOption, opened
from groundref.cli.record.show import show_lesson
from groundref.errors import UsageError


def verdict(
    lesson: LessonNumber,
    element: str,
    decided: str | None = None,
    /,
    *,
    reason: Annotated[str, options.taking("TEXT")] = "",
    instructor: Annotated[str | None, options.taking("NAME")] = None,
    maneuver: Annotated[int | None, options.taking("N")] = None,
    withdraw: Annotated[bool, Parameter(negative=(), show_default=False)] = False,
    json: JsonOption = None,
    record: RecordOption = None,
) -> None:
    """Give the instructor's own verdict on an element; it goes before the program's.

    Parameters
    ----------
    lesson
        Its number.
    element
        Its code as groundref record show prints it, such as PA.V.B.S7:altitude.
    decided
        met, not-met or undetermined.
    reason
        Why; needed where the recording shows otherwise.
    instructor
        Who says so, somebody whom the record knows; the lesson's instructor unless given.
    maneuver
        Its number in the lesson, where several have this element.
    withdraw
        Take the verdict back, so that the program's counts again.
    json
        Write the lesson as JSON to this file; - is standard output.
    record
        The record: a file, or postgresql://user@host/database of a school's.
    """
    if (decided is None) != withdraw:
        raise UsageError(
            "there is no verdict to take back and give at once" if withdraw else "the verdict is missing",
            "record verdict",
            "write met, not-met or undetermined, or --withdraw alone",
        )
    from groundref.record.deciding import called, give_verdict, withdraw_verdict
    from groundref.reports.verdict_words import WORDS, of
    from groundref.reports.verdicts import with_code

    store = opened(record)
    if decided is None:
        flown, found = withdraw_verdict(store, lesson, element, maneuver=maneuver)
        done = f"the recording counts again, which says: {of(found).says}"
    else:
        flown, found = give_verdict(
            store, lesson, element, decided, reason=reason, instructor=instructor, maneuver=maneuver
        )
        shows = "" if decided == found.verdict else f"; the recording shows: {of(found).says}"
        done = f"{WORDS[decided].says}, says the instructor{shows}"
    where = f"Lesson {lesson}, maneuver {flown.number}, {with_code(found.what, called(flown, found))}"
    show_lesson(store, lesson, json, f"{where}: {done}.")
