"""``groundref record list``: the lessons, the latest flown first."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any, Final

from cyclopts import Parameter

from groundref.cli import options
from groundref.cli.record.common import JsonOption, RecordOption, opened, write_json
from groundref.errors import UsageError

if TYPE_CHECKING:
    from rich.table import Table

    from groundref.record.lessons import LessonRow

USUAL: Final = 20


def list_(
    *,
    student: Annotated[str | None, options.taking("NAME")] = None,
    last: Annotated[int | None, options.taking("N")] = None,
    all_: Annotated[bool, Parameter(name="--all", negative=(), show_default=False)] = False,
    json: JsonOption = None,
    record: RecordOption = None,
) -> None:
    """List the lessons, the latest flown first.

    Parameters
    ----------
    student
        Only this one's.
    last
        How many; 20 unless given.
    all_
        All of them.
    json
        Write the list as JSON to this file; - is standard output, and then nothing else goes there.
    record
        The record: a file, or postgresql://user@host/database of a school's.
    """
    if last is not None and all_:
        raise UsageError("it contradicts --all", "--last", "give one of them")
    if last is not None and last < 1:
        raise UsageError(f"{last} is no number of lessons to list", "--last", "give 1 or more")
    from groundref.record.lessons import listed, number_of_lessons

    store = opened(record)
    with store.reading() as connection:
        rows = listed(connection, student=student, most=None if all_ else last or USUAL)
        total = number_of_lessons(connection)
    if json is not None:
        write_json("record-list", {"lessons_in_all": total, "lessons": [plain(row) for row in rows]}, json)
    if json != "-":
        _show(rows, total, student)


def plain(row: LessonRow) -> dict[str, Any]:
    """Return a lesson of the list as plain data."""
    from groundref.record.telling import head

    return {**head(row), "flown": [{"kind": kind, "times": times} for kind, times in row.flown]}


def _show(rows: tuple[LessonRow, ...], total: int, student: str | None) -> None:
    from groundref.cli.screen import console

    out = console()
    if not rows:
        out.print(
            f"No lesson of {student} is in the record." if student else "There is no lesson in the record."
        )
        return
    out.print(_table(rows))
    if student is None and len(rows) < total:
        out.print(f"The latest {len(rows)} of {total:,} lessons; --last N or --all shows more.")


def _table(rows: tuple[LessonRow, ...]) -> Table:
    from rich.table import Table

    from groundref.detection.named import kinds

    table = Table(box=None, pad_edge=False)
    table.add_column("lesson", justify="right")
    for name in ("date", "student", "instructor", "flown", "signed"):
        table.add_column(name, overflow="fold")
    for row in rows:
        table.add_row(
            str(row.number),
            row.date,
            row.student or "–",
            row.instructor or "–",
            f"on the ground: {kinds(row.flown)}" if row.on_the_ground else kinds(row.flown),
            row.signed_by or "–",
        )
    return table
