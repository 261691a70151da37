"""Tallies: how many rows belong together, and which, so that a row that is missing is missed.

A seal shows that a row was changed, not that it is gone: where a page of an index says something else, a
database finds fewer rows and calls it an answer. So beside the rows that are read together (all people, the
results of a lesson, the maneuvers of a result, the lessons of a day) stands how many there are, and the
exclusive or of their seals. ``sealed`` keeps it with each write and compares it with each reading.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Final

from sqlalchemy import Connection, Table, delete, insert, select

from groundref.errors import DamagedError
from groundref.record import schema
from groundref.record.seals import Row, seal

# By which columns the rows of a table are read together; an empty name stands for all of them.
TALLIED: Final[dict[str, tuple[str, ...]]] = {
    "person": ("",),
    "airplane": ("",),
    "site": ("",),
    "lesson": ("date", "student_id"),
    "recording": ("sha256",),
    "part": ("lesson_id",),
    "result": ("lesson_id",),
    "maneuver": ("result_id",),
    "own_verdict": ("lesson_id",),
}
REMEDY: Final = "run groundref record check, and take the lesson from a backup"
Name = tuple[str, str]  # by which column of which table, and its value
Tally = tuple[int, int]  # number of rows, exclusive or of their seals
NONE: Final[Tally] = (0, 0)
MANY: Final = 500  # ids in one question; SQLite takes some 32,000, PostgreSQL 65,535


def name_of(table: Table, column: str, value: object = "") -> Name:
    """Return the name of a tally."""
    return f"{table.name}.{column}" if column else str(table.name), str(value)


def tallies_of(table: Table, rows: Iterable[Row]) -> dict[Name, Tally]:
    """Return the tallies of rows, by name."""
    found: dict[Name, Tally] = {}
    for row in rows:
        for column in TALLIED.get(str(table.name), ()):
            if not column or row[column] is not None:
                name = name_of(table, column, row[column] if column else "")
                found[name] = with_one(found.get(name, NONE), row)
    return found


def with_one(tally: Tally, row: Row) -> Tally:
    """Return a tally with one more row."""
    return tally[0] + 1, tally[1] ^ int(row["seal"], 16)


def read_tallies(connection: Connection, names: Iterable[Name]) -> dict[Name, Tally]:
    """Return tallies by name; what is not counted is not there."""
    table = schema.tally
    return {
        (row.counted, row.whose): tally_of(row._mapping)
        for counted, values in _by_kind(names)
        for row in connection.execute(
            select(table.c.counted, table.c.whose, table.c.number, table.c.mark).where(
                table.c.counted == counted, table.c.whose.in_(values)
            )
        )
    }


def _by_kind(names: Iterable[Name]) -> Iterator[tuple[str, list[str]]]:
    """Return what is counted and for whom, a few hundred at a time."""
    kinds: dict[str, list[str]] = defaultdict(list)
    for counted, whose in names:
        kinds[counted].append(whose)
    for counted, values in kinds.items():
        for first in range(0, len(values), MANY):
            yield counted, values[first : first + MANY]


def values_tallied(connection: Connection, table: Table, column: str) -> dict[str, int]:
    """Return all values of a column that rows are tallied by, and the number of rows of each."""
    tally = schema.tally
    wanted = select(tally.c.whose, tally.c.number).where(tally.c.counted == name_of(table, column)[0])
    found = {row.whose: row.number for row in connection.execute(wanted)}
    if not all(isinstance(number, int) for number in found.values()):
        raise DamagedError("a tally is not what was written there", "record", REMEDY)
    return found


def tally_of(row: Mapping[Any, Any]) -> Tally:
    """Return the tally that a row of the table holds."""
    try:
        return row["number"], int(row["mark"], 16)
    except (TypeError, ValueError):
        return -1, -1  # like no tally that can be


def write_tallies(connection: Connection, tallies: Mapping[Name, Tally]) -> None:
    """Write tallies in place of those there were."""
    table = schema.tally
    for counted, values in _by_kind(tallies):
        connection.execute(delete(table).where(table.c.counted == counted, table.c.whose.in_(values)))
    fresh = [
        {"counted": counted, "whose": whose, "number": number, "mark": f"{mark:032x}"}
        for (counted, whose), (number, mark) in tallies.items()
        if number or mark
    ]
    if fresh:
        connection.execute(insert(table), [{**row, "seal": seal(table, row)} for row in fresh])


def count(
    connection: Connection, table: Table, *, gone: Iterable[Row] = (), come: Iterable[Row] = ()
) -> None:
    """Keep the tallies of a table when rows go and come.

    Parameters
    ----------
    connection
        In a transaction that writes.
    table
        Which.
    gone, come
        The rows, with their seals.
    """
    less, more = tallies_of(table, gone), tallies_of(table, come)
    names = sorted(less.keys() | more.keys())
    before = read_tallies(connection, names)
    after = {}
    for name in names:
        there, going, coming = (each.get(name, NONE) for each in (before, less, more))
        after[name] = (there[0] - going[0] + coming[0], there[1] ^ going[1] ^ coming[1])
    write_tallies(connection, after)


def compare(
    connection: Connection, table: Table, column: str, values: Iterable[object], rows: Iterable[Row]
) -> None:
    """Compare rows that were read with their tallies.

    Parameters
    ----------
    connection
        In the transaction that they were read in.
    table, column, values
        All rows of the table with one of these values in that column; an empty name stands for all.
    rows
        What was found.

    Raises
    ------
    DamagedError
        When it is not what was written.
    """
    names = {str(value): name_of(table, column, value) for value in values}
    kept = read_tallies(connection, names.values())
    found: dict[str, Tally] = {}
    for row in rows:
        whose = str(row[column]) if column else ""
        found[whose] = with_one(found.get(whose, NONE), row)
    for whose, name in names.items():
        here, there = found.get(whose, NONE), kept.get(name, NONE)
        if here != there:
            raise incomplete(table, here[0], there[0])


def incomplete(table: Table, found: int, written: int) -> DamagedError:
    """Return the refusal of rows that are not all there, or not those that were written."""
    what = str(table.name).replace("_", " ")
    return DamagedError(
        f"rows that belong together are not those written ({what}: {found} found, {written} written)",
        "record",
        REMEDY,
    )
