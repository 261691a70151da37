"""``groundref record show``: one lesson, all that the record knows of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from groundref.cli import options
from groundref.cli.destinations import check_destinations
from groundref.cli.record.common import (
    JsonOption,
    LessonNumber,
    RecordOption,
    UnitsOption,
    opened,
    write_json,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from groundref.record.store import Record
    from groundref.record.telling import LessonTold


def show(
    lesson: LessonNumber,
    /,
    *,
    html: Annotated[str | None, options.taking("FILE")] = None,
    units: UnitsOption = None,
    json: JsonOption = None,
    record: RecordOption = None,
) -> None:
    """Show a lesson: who, where, what was flown, verdicts, findings, remarks, signature.

    Parameters
    ----------
    lesson
        Its number, as groundref record list prints it.
    html
        Write the debrief, made from the kept recording by this version, as one self-contained page.
    units
        Units that the page is read in: us, feet and knots, unless metric, meters and km/h, is said.
    json
        Write the lesson with its whole debrief as JSON to this file; - is standard output.
    record
        The record: a file, or postgresql://user@host/database of a school's.
    """
    check_destinations([html, json])
    read_in = options.units(units, html is not None)
    store = opened(record)
    if html is not None:
        _write_page(store, lesson, html, read_in)
    show_lesson(store, lesson, json)


def show_lesson(store: Record, number: int, json: str | None, said: str = "") -> None:
    """Print a lesson, or one sentence on what was done to it; write it as JSON where that is asked for.

    Parameters
    ----------
    store
        The record.
    number
        Of the lesson.
    json
        Where to write it; None for nowhere.
    said
        What was done; empty to print the whole lesson.
    """
    from groundref.record.telling import to_dict, told

    with store.reading() as connection:
        lesson = told(connection, number)
    if json is not None:
        write_json("record-lesson", to_dict(lesson), json)
    if json == "-":
        return
    from groundref.cli.screen import console

    out = console()
    if said:
        out.print(said, markup=False)
        return
    from groundref.reports.kept import day
    from groundref.reports.kept_terminal import summary

    title = f"Lesson {number}, {day(lesson.lesson.row.date)}"
    facts = list(_facts(lesson))
    shown = lesson.lesson.maneuvers
    out.print(summary(title, facts, shown, lesson.debrief, lesson.decided, console_width=out.width))


def _facts(told: LessonTold) -> Iterator[tuple[str, str]]:
    """Yield name and value of what is known of a lesson, besides what was flown."""
    from groundref.reports.kept import ABOUT_TRY

    row, asked = told.lesson.row, told.lesson.asked
    if row.on_the_ground:
        yield "flown", ABOUT_TRY
    yield "student", row.student or "not named"
    yield "instructor", row.instructor or "not named"
    yield "times", f"{row.start[11:16]} to {row.end[11:16]} UTC"
    for name, value in (("airplane", row.airplane), ("site", row.site)):
        if value is not None:
            yield name, value
    if asked.ground_ft is not None:
        yield "ground", f"{asked.ground_ft:,.0f} ft above mean sea level, as given"
    yield "standard", told.debrief["standard"]["name"]
    yield "recording", ", ".join(name for name, _ in told.lesson.parts)
    if told.lesson.has_plan:
        yield "plan", "kept with it"
    yield "remarks", row.remarks or "none"
    signer = row.signed_by or "somebody forgotten"
    yield "signed", f"by {signer}, {row.signed_at[:10]}" if row.signed_at else "no"
    for turn, version, computed in told.lesson.results:
        counts = ", the one that counts" if turn == told.turn and len(told.lesson.results) > 1 else ""
        yield f"debrief {turn}", f"by version {version}, {computed[:10]}{counts}"


def _write_page(store: Record, number: int, destination: str, units: str) -> None:
    """Write the debrief's page, made anew from the kept recording."""
    from groundref import writing
    from groundref.cli.waiting import waiting
    from groundref.record.asked import asked_in
    from groundref.record.lessons import lesson_row
    from groundref.record.recomputing import again
    from groundref.record.telling import decided, given_on
    from groundref.reports.html import page
    from groundref.reports.kept import ABOUT_TRY

    with waiting("working out the debrief"):
        worked = again(store, number)
    with store.reading() as connection:
        lesson = lesson_row(connection, number)
        given = given_on(connection, lesson)
    remark = ABOUT_TRY if asked_in(lesson["asked"]).on_the_ground else ""
    own = decided(given, [(one["kind"], one["start"]) for one in worked.plain["maneuvers"]])
    writing.write(destination, page(worked.debrief, worked.comparison, own, units, remark).encode())
