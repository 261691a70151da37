"""``groundref record export``: the record as a folder of open formats, or one table of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any, Final, Literal

from cyclopts import Parameter

from groundref.cli import options
from groundref.cli.destinations import check_destinations
from groundref.cli.record.common import JsonOption, RecordOption, opened, write_json
from groundref.errors import UsageError

if TYPE_CHECKING:
    from groundref.record.folder.write import Written
    from groundref.record.store import Record

Table = Literal["lessons", "maneuvers", "elements", "faults"]
_STANDARD: Final = "-"


def export(
    folder: Annotated[str | None, Parameter(negative=())] = None,
    /,
    *,
    student: Annotated[str | None, options.taking("NAME")] = None,
    table: Annotated[
        list[tuple[Table, str]] | None,
        options.taking("lessons|maneuvers|elements|faults FILE.csv|.parquet|-", name="--table"),
    ] = None,
    parquet: Annotated[bool, Parameter(negative=(), show_default=False)] = False,
    json: JsonOption = None,
    record: RecordOption = None,
) -> None:
    """Write the record as a folder of open formats, to keep, to read, or to take it elsewhere.

    Parameters
    ----------
    folder
        The new folder: JSON, the original recordings, tables, and a README.txt that explains.
    student
        Only this one's lessons and what they need; of other people the names alone.
    table
        Write one table to a file; may be given several times.
    parquet
        Write the folder's tables as Parquet too.
    json
        Write what was written as JSON to this file; - is standard output, and then nothing else goes there.
    record
        The record: a file, or postgresql://user@host/database of a school's.
    """
    tables: list[tuple[str, str]] = list(table or [])
    if folder is None and not tables:
        raise UsageError("it is not said what to write", "FOLDER", "name a new folder, or give --table")
    if folder is None and (json is not None or parquet):
        option = "--json" if json is not None else "--parquet"
        raise UsageError("this belongs to a folder", option, "name a new folder, or leave it out")
    check_destinations([*(path for _, path in tables), json, folder])
    store = opened(record)
    _write_tables(store, tables, student)
    if folder is not None:
        written = _write_folder(store, folder, student, parquet=parquet)
        if json is not None:
            write_json("record-export", {"folder": folder, "student": student, **_plain(written)}, json)
        if _STANDARD not in (json, *(path for _, path in tables)):
            _say(written, folder)


def _write_tables(store: Record, tables: list[tuple[str, str]], student: str | None) -> None:
    from groundref import writing
    from groundref.export import to_table
    from groundref.record.folder.tables import HEADINGS
    from groundref.record.folder.tables import table as columns

    with store.reading() as connection:
        outputs = {
            path: to_table(columns(connection, name, student), HEADINGS[name], path) for name, path in tables
        }
    writing.write_all(outputs, private=True)


def _write_folder(store: Record, folder: str, student: str | None, *, parquet: bool) -> Written:
    from pathlib import Path

    from groundref.cli.waiting import counting
    from groundref.export import to_table
    from groundref.record.folder.write import write_folder

    with counting("writing file") as step:
        return write_folder(
            store,
            Path(folder),
            student=student,
            tabled=to_table,
            endings=(".csv", ".parquet") if parquet else (".csv",),
            step=step,
        )


def _plain(written: Written) -> dict[str, Any]:
    return {
        "lessons": written.lessons,
        "recordings": written.recordings,
        "people": written.people,
        "files": written.files,
        "size_bytes": written.size,
    }


def _say(written: Written, folder: str) -> None:
    from groundref.cli.screen import console

    console().print(
        f"{folder}: {_counted(written.lessons, 'lesson')} with {_counted(written.recordings, 'recording')}, "
        f"{_counted(written.files, 'file')}, {written.size / 1e6:,.1f} MB. README.txt says what is in it.",
        soft_wrap=True,
        markup=False,
    )


def _counted(number: int, noun: str) -> str:
    return f"{number:,} {noun}{'' if number == 1 else 's'}"
