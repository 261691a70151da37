"""``groundref record correct``: who flew a lesson, who gave it and where, put right."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from groundref.cli import options
from groundref.cli.exits import say
from groundref.cli.record.common import JsonOption, LessonNumber, RecordOption, opened
from groundref.cli.record.show import show_lesson
from groundref.errors import UsageError

if TYPE_CHECKING:
    from groundref.record.correcting import Anew
    from groundref.record.names import Newcomer
    from groundref.record.store import Record


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
        Where it was flown, a practice site of the record; '' for none. The debrief is worked out anew with
        its place and ground, and counts; the one before stays beside it.
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

    given = {"student": student, "instructor": instructor, "site": site}
    who = {
        role: name if role == "student" else name or None for role, name in given.items() if name is not None
    }
    store = opened(record)
    done = say_who(store, lesson, who, None if site is None else _anew(store, lesson, site or None))
    from groundref.record.lessons import shown

    with store.reading() as connection:
        row = shown(connection, lesson).row
    where = f" at {row.site}" if row.site else ""
    said = f"Lesson {lesson}: {row.student or 'nobody'} with {row.instructor or 'nobody'}{where}."
    show_lesson(store, lesson, json, f"{said}{_said_of(done.newcomers)}")
    if done.debrief is not None and json != "-":
        from groundref.cli.record.recompute import show_changes

        show_changes(done.debrief)


def _anew(store: Record, number: int, site: str | None) -> Anew | None:
    """Work out the debrief at another site, where it is asked for otherwise there."""
    from groundref import __version__
    from groundref.cli.consistent import warn_of_site
    from groundref.cli.waiting import waiting
    from groundref.record.asked import recording_of
    from groundref.record.correcting import Anew, asked_at
    from groundref.record.lessons import lesson_row
    from groundref.record.recomputing import brought
    from groundref.record.sites import site_called
    from groundref.record.working import work_out

    with store.reading() as connection:
        before, after = asked_at(connection, number, site)
        if before == after:
            return None
        parts, _, plan = brought(connection, lesson_row(connection, number))
        there = None if site is None else site_called(connection, site)
    with waiting("working out the debrief"):
        worked = work_out(recording_of(parts, after.columns), after, plan)
    for warning in () if there is None else warn_of_site(worked.debrief, there.name, there.places):
        say(f"warning: {warning}")
    return Anew(after, worked.document, __version__)


def _said_of(new: tuple[Newcomer, ...]) -> str:
    """Say who is new in the record."""
    return f" New in the record: {', '.join(map(str, new))}." if new else ""
