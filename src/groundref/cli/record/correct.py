"""``groundref record correct``: who flew a lesson, who gave it, where and by which plan, put right."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from groundref.cli import options
from groundref.cli.destinations import check_destinations
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
    plan: Annotated[str | None, options.taking("PLAN.json")] = None,
    json: JsonOption = None,
    record: RecordOption = None,
) -> None:
    """Put right who flew a lesson, who gave it, where, or which plan is kept with it.

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
    plan
        The plan that was flown, in place of the one that is kept with the lesson; '' takes that off. The
        debrief is worked out anew, and counts; the one before stays beside it.
    json
        Write the lesson as JSON to this file; - is standard output.
    record
        The record: a file, or postgresql://user@host/database of a school's.
    """
    given = {"student": student, "instructor": instructor, "site": site}
    who_and_where = any(name is not None for name in given.values())
    if who_and_where == (plan is not None):
        raise UsageError(
            "a plan, and who or where, are two requests"
            if who_and_where
            else "nothing to put right was said",
            "record correct",
            "give --plan alone" if who_and_where else "give --student, --instructor, --site or --plan",
        )
    if plan is not None:
        check_destinations([json], (), [plan])
        _by_plan(opened(record), lesson, plan, json)
        return
    from groundref.record.correcting import say_who

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


def _by_plan(store: Record, number: int, path: str, json: str | None) -> None:
    """Keep a plan with a lesson, or take it off, and say what came of it."""
    from groundref import __version__
    from groundref.cli.record.taking import plan_in
    from groundref.cli.waiting import waiting
    from groundref.record.asked import recording_of
    from groundref.record.correcting import keep_plan
    from groundref.record.lessons import lesson_row
    from groundref.record.recomputing import brought
    from groundref.record.standing import DEBRIEF, standing
    from groundref.record.working import work_out

    plan = plan_in(path) if path else None
    with store.reading() as connection:
        parts, asked, kept = brought(connection, lesson_row(connection, number))
        seen = {DEBRIEF: standing(connection, number)[DEBRIEF]}
    if plan == kept:
        has = "this plan already" if plan else "no plan"
        show_lesson(store, number, json, f"Lesson {number} has {has}; nothing was written.")
        return
    with waiting("working out the debrief"):
        worked = work_out(recording_of(parts, asked.columns), asked, plan)
    turn = keep_plan(store, number, plan, worked.document, __version__, seen)
    if worked.comparison is not None and worked.comparison.number is None:
        for sentence in worked.comparison.says:
            say(f"warning: {sentence}")
    done = "this plan is kept with it" if plan else "its plan is taken off"
    show_lesson(store, number, json, f"Lesson {number}: {done}; debrief {turn}, worked out so, counts.")


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
