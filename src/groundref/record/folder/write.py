"""The record, or one student's part of it, written as a folder."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from sqlalchemy import Connection

from groundref.record.folder.draft import new_folder, write_file
from groundref.record.folder.gather import Gathered, gathered
from groundref.record.folder.readme import readme
from groundref.record.folder.shape import Document, json_schema, to_json
from groundref.record.folder.tables import HEADINGS, Kinds, table
from groundref.record.sealed import get_content
from groundref.record.store import Record

RECORD: Final = "record.json"
JSON_SCHEMA: Final = "record.schema.json"
README: Final = "README.txt"

Tabled = Callable[[Mapping[str, Sequence[Any]], Kinds, str], bytes]
Step = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Written:
    """What was written.

    Attributes
    ----------
    lessons, recordings, people
        How many.
    files, size
        How many files, and the bytes of all of them.
    """

    lessons: int
    recordings: int
    people: int
    files: int
    size: int


def write_folder(
    record: Record,
    folder: Path,
    *,
    student: str | None = None,
    tabled: Tabled,
    endings: Sequence[str] = (".csv",),
    step: Step = lambda done, of: None,
) -> Written:
    """Write the record as a folder, whole or not at all, as it is at one moment.

    Parameters
    ----------
    record
        Others may go on writing to it.
    folder
        Not there yet, or empty.
    student
        Only what concerns this one.
    tabled
        Turns columns, the kinds of their values and a file's name into the bytes of a table.
    endings
        Of the tables' files.
    step
        Told how many files of how many are written.

    Raises
    ------
    RecordError
        When the record cannot be read, or knows no such person.
    OutputError
        When the folder cannot be written.
    """
    with record.reading() as connection:
        found = gathered(connection, student)
        with new_folder(folder) as draft:
            size = _write_contents(connection, found, draft, step)
            rest = _tables(connection, student, tabled, endings) | _rest(found.document)
            for name, content in rest.items():
                write_file(draft, name, content)
    document = found.document
    return Written(
        lessons=len(document.lessons),
        recordings=len(document.recordings),
        people=len(document.people),
        files=len(found.contents) + len(rest),
        size=size + sum(map(len, rest.values())),
    )


def _write_contents(connection: Connection, found: Gathered, draft: Path, step: Step) -> int:
    """Write all files that `record.json` names, one after the other; return their bytes."""
    size = 0
    for done, (path, source) in enumerate(found.contents.items(), start=1):
        content = source if isinstance(source, bytes) else get_content(connection, source, path)
        write_file(draft, path, content)
        size += len(content)
        step(done, len(found.contents))
    return size


def _tables(
    connection: Connection, student: str | None, tabled: Tabled, endings: Sequence[str]
) -> dict[str, bytes]:
    tables: dict[str, bytes] = {}
    for name, kinds in HEADINGS.items():
        columns = table(connection, name, student)
        tables |= {path: tabled(columns, kinds, path) for path in (f"tables/{name}{end}" for end in endings)}
    return tables


def _rest(document: Document) -> dict[str, bytes]:
    return {README: readme(document), JSON_SCHEMA: json_schema(), RECORD: to_json(document)}
