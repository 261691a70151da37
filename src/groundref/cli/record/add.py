"""``groundref record add``: a recording is debriefed and kept as a lesson, or a sheet of them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import Parameter

from groundref.cli import options
from groundref.cli.destinations import check_destinations
from groundref.cli.exits import say
from groundref.cli.looking import Looking
from groundref.cli.record.common import JsonOption, RecordOption, opened, write_json
from groundref.cli.record.taking import Taken, Wanted, take
from groundref.errors import UsageError

if TYPE_CHECKING:
    from rich.console import RenderableType

    from groundref.record.place import Place


def add(
    recordings: Annotated[list[str] | None, Parameter(allow_leading_hyphen=True)] = None,
    /,
    *,
    student: Annotated[str | None, options.taking("NAME")] = None,
    instructor: Annotated[str | None, options.taking("NAME")] = None,
    site: Annotated[str | None, options.taking("NAME")] = None,
    plan: Annotated[str | None, options.taking("PLAN.json")] = None,
    remarks: Annotated[str | None, options.taking("TEXT")] = None,
    lessons: Annotated[str | None, options.taking("SHEET.csv")] = None,
    looking: Annotated[Looking | None, Parameter(name="*")] = None,
    json: JsonOption = None,
    record: RecordOption = None,
) -> None:
    """Debrief a recording and keep it as a lesson.

    Parameters
    ----------
    recordings
        A recording, or several parts of one flight: GPX, CSV or ADS-B state vectors, plain or gzipped;
        standard input is written as -.
    student
        Whose lesson it is; somebody new is put into the record.
    instructor
        Who gave it.
    site
        Where it was flown: a practice site of the record, whose place and ground are used unless given here.
    plan
        The plan that was flown, as groundref plan --json wrote it; it is kept with the lesson.
    remarks
        The instructor's.
    lessons
        A table of lessons instead of a recording, one a row: recording, student, instructor, airplane, site,
        plan, remarks and any option by its name; options given here count for rows that do not say.
    json
        Write what was put into the record as JSON to this file; - is standard output.
    record
        The record: a file, or postgresql://user@host/database of a school's.
    """
    asked = looking or Looking()
    named = tuple(recordings or ())
    wanted = Wanted(named, asked, student, instructor, site, plan, remarks)
    check_destinations([json], named, [*asked.files, plan, lessons])
    if bool(named) == (lessons is not None):
        raise UsageError(
            "name a recording, or a table of lessons with --lessons"
            if not named
            else "a recording and a table of lessons are two requests",
            "record add",
            "groundref record add --help shows how",
        )
    store = opened(record, make=True)
    if lessons is not None:
        from groundref.cli.record.sheet import add_sheet

        add_sheet(store, lessons, wanted, json)
        return
    taken = take(store, wanted)
    for warning in taken.warnings:
        say(f"warning: {warning}")
    if json is not None:
        write_json("record-add", {"lessons": [plain(taken, wanted)], "failed": []}, json)
    if json != "-":
        _show(taken, wanted, store.place)


def plain(taken: Taken, wanted: Wanted) -> dict[str, Any]:
    """Return a lesson that was added as plain data."""
    return {
        "lesson": taken.number,
        "new": taken.new,
        "recordings": list(wanted.recordings),
        "student": wanted.student if taken.new else taken.holder,
        "new_people": [{"name": one.name, "near": one.near} for one in taken.newcomers],
        "warnings": list(taken.warnings),
    }


def there_already(taken: Taken, wanted: Wanted) -> str:
    """Say that a recording is in the record, and whose lesson it is when that is not who was named."""
    said = f"Lesson {taken.number} holds this recording already"
    asked = " ".join((wanted.student or "").split())
    holder = taken.holder
    if holder is not None and holder.casefold() == asked.casefold():
        return f"{said}; nothing was added."
    return (
        f"{said}, as one of {holder or 'nobody named'}, not of {asked}; nothing was added. If that is wrong: "
        f'groundref record correct {taken.number} --student "{asked}"'
    )


def _show(taken: Taken, wanted: Wanted, place: Place) -> None:
    from rich.text import Text

    from groundref.cli.screen import console

    out = console()
    if not taken.new:
        out.print(there_already(taken, wanted), markup=False)
        return
    from groundref.reports.kept import day

    who = f"{wanted.student} with {wanted.instructor}" if wanted.instructor else wanted.student
    when = day(taken.plain["flight"]["start"])
    out.print(Text(f"Lesson {taken.number} is in the record: {who}, {when}.", style="bold"))
    for part in _in_short(taken):
        out.print(part)
    for one in taken.newcomers:
        out.print(Text(f"New in the record: {one}"))
    if taken.number == 1:  # a name mistyped, or a disk that is not there, would go unseen
        out.print(Text(f"It is the first lesson of this record: {place}"))
    out.print(Text(f"groundref record show {taken.number} shows all of it.", style="dim"))


def _in_short(taken: Taken) -> list[RenderableType]:
    """Return the summary's main lines: what was flown, and the strongest finding of all first."""
    from rich.padding import Padding
    from rich.text import Text

    from groundref.progress.flown import flown_in
    from groundref.reports import kept

    flown = flown_in(taken.plain)
    if not flown:
        return [Text("No ground-reference maneuver was found in this recording.")]
    lines: list[RenderableType] = []
    for one in flown:
        wind = kept.wind(one)
        lines.append(Text(f"{one.number}. {kept.heading(one)}{f'; wind {wind}' if wind else ''}"))
        lines.append(Padding(Text(kept.counts(one), style="dim"), (0, 0, 0, 3)))
    findings = kept.strongest(taken.plain)
    if not findings:
        lines.append(Text("No common error stood out beyond what the recording can be trusted for."))
    else:
        number, finding = findings[0]
        where = f" ({number}.)" if len(flown) > 1 else ""
        lines.append(Text(f"What to talk about first{where}: {kept.said(finding, 'says')}", style="bold"))
        lines.append(Text(f"Next time: {kept.said(finding, 'cure')}"))
        if len(findings) > 1:
            lines.append(Text(f"And {len(findings) - 1} more.", style="dim"))
    return lines
