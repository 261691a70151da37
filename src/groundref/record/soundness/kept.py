"""All rows of a record, each compared with its seal, and all of them with their tallies and references."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Final

from sqlalchemy import Connection, Table, select
from sqlalchemy.exc import DBAPIError

from groundref.record import schema
from groundref.record.seals import Row, is_sound
from groundref.record.soundness.troubles import BACKUP, MEND, Trouble
from groundref.record.tallies import NONE, TALLIED, Name, Tally, tallies_of, tally_of

SEALED: Final = tuple(table for table in schema.METADATA.sorted_tables if str(table.name) in TALLIED)
FIGURES: Final = ("maneuver",)
_AT_ONCE: Final = 500


@dataclass
class Kept:
    """What the rows of a record hold, as far as it matters here.

    Attributes
    ----------
    ids
        Of the sound rows of each table.
    refers
        Of each reference, as table and column: by id of the row, what it refers to.
    numbers
        Of each lesson, by id.
    turns, signed
        Turns of the results of each lesson, and the turn that was signed.
    documents
        Results of each debrief document: id and turn.
    tallies
        As the rows give them.
    unread
        Tables that could not be read to their end.
    broken
        Tables with rows that are not what was written.
    """

    ids: dict[str, set[str]] = field(default_factory=lambda: defaultdict(set))
    refers: dict[tuple[str, str], dict[str, str]] = field(default_factory=lambda: defaultdict(dict))
    numbers: dict[str, int] = field(default_factory=dict)
    turns: dict[str, list[int]] = field(default_factory=lambda: defaultdict(list))
    signed: dict[str, int] = field(default_factory=dict)
    documents: dict[str, list[tuple[str, int]]] = field(default_factory=lambda: defaultdict(list))
    tallies: dict[Name, Tally] = field(default_factory=dict)
    unread: set[str] = field(default_factory=set)
    broken: set[str] = field(default_factory=set)

    def lesson_of(self, table: str, row: Row) -> tuple[int, ...]:
        """Return the number of the lesson that a row belongs to, as far as that can be told."""
        step: str | None = row.get("id")
        above = {"maneuver": "result", "result": "lesson"}
        if table == "lesson":
            number = row.get("number")
            return (number,) if isinstance(number, int) else ()
        if table in ("part", "own_verdict"):
            return self.numbers_of(row.get("lesson_id"))
        name = table
        while name in above:
            column = f"{above[name]}_id"
            step = row.get(column) if name == table else self.refers[name, column].get(step or "")
            name = above[name]
        return self.numbers_of(step) if name == "lesson" else ()

    def numbers_of(self, lesson_id: str | None) -> tuple[int, ...]:
        """Return the number of a lesson, nothing when there is none."""
        number = self.numbers.get(lesson_id or "")
        return () if number is None else (number,)


def where(table: str, lessons: tuple[int, ...], row: Row) -> str:
    """Return what to call a row's place in a message."""
    what = table.replace("_", " ")
    if lessons:
        return f"lesson {lessons[0]}" if table == "lesson" else f"lesson {lessons[0]}, {what}"
    return f"{what} {row.get('name') or row.get('id')}"


def read(connection: Connection, done: Callable[[int], None]) -> tuple[Kept, list[Trouble]]:
    """Read every row by going through its table, without an index, and compare it with its seal.

    Parameters
    ----------
    connection
        In a transaction.
    done
        Told how many rows more were read.
    """
    kept, troubles = Kept(), []
    for table in SEALED:
        try:
            for row in _through(connection, table):
                if is_sound(table, row):
                    _take(kept, table, row)
                else:
                    troubles.append(_wrong(kept, table, row))
                done(1)
        except (DBAPIError, TypeError, ValueError) as problem:
            kept.unread.add(str(table.name))
            said = getattr(problem, "orig", problem)
            troubles.append(
                Trouble("database", f"not all {table.name} rows can be read ({said})", "record", BACKUP)
            )
    return kept, troubles


def _through(connection: Connection, table: Table) -> Iterator[Row]:
    wanted = select(table).execution_options(yield_per=_AT_ONCE)
    for row in connection.execute(wanted):
        yield row._asdict()


def _wrong(kept: Kept, table: Table, row: Row) -> Trouble:
    name = str(table.name)
    kept.broken.add(name)
    lessons = kept.lesson_of(name, row)
    mendable = name in FIGURES
    return Trouble(
        "row",
        "this is not what was written",
        where(name, lessons, row),
        f"where the debrief is sound, {MEND}" if mendable else BACKUP,
        lessons,
        mendable=mendable,
    )


def _take(kept: Kept, table: Table, row: Row) -> None:
    """Note what matters of a sound row."""
    name = str(table.name)
    kept.ids[name].add(row["id"])
    for column in table.columns:
        if column.foreign_keys and row[column.name] is not None:
            kept.refers[name, str(column.name)][row["id"]] = row[column.name]
    for counted, tally in tallies_of(table, [row]).items():
        before = kept.tallies.get(counted, NONE)
        kept.tallies[counted] = (before[0] + tally[0], before[1] ^ tally[1])
    if table is schema.lesson:
        kept.numbers[row["id"]] = row["number"]
        if row["signed_turn"] is not None:
            kept.signed[row["id"]] = row["signed_turn"]
    elif table is schema.result:
        kept.turns[row["lesson_id"]].append(row["turn"])
        kept.documents[row["document_id"]].append((row["id"], row["turn"]))


def tallies(connection: Connection, kept: Kept) -> Iterator[Trouble]:
    """Compare what is there with what was counted when it was written."""
    written: dict[Name, Tally] = {}
    wrong: set[Name] = set()
    for row in _through(connection, schema.tally):
        name = (row["counted"], row["whose"])
        if is_sound(schema.tally, row):
            written[name] = tally_of(row)
        else:
            wrong.add(name)
    for name in sorted(wrong, key=repr):
        yield Trouble(
            "tally", f"the tally of {_plain(name)} is not what was written", "record", MEND, mendable=True
        )
    for name in sorted((written.keys() | kept.tallies.keys()) - wrong):
        there, before = kept.tallies.get(name, NONE), written.get(name, NONE)
        table = name[0].partition(".")[0]
        if there != before and table not in kept.unread:
            yield _missing(kept, name, there, before)


def _missing(kept: Kept, name: Name, there: Tally, before: Tally) -> Trouble:
    table, _, column = name[0].partition(".")
    lessons = kept.lesson_of(table, {column: name[1]}) if column else ()
    mendable = table in FIGURES or before == NONE
    return Trouble(
        "tally",
        f"{before[0]} {table.replace('_', ' ')} rows were written, {there[0]} sound ones are there",
        where(table, lessons, {"id": name[1] or "table"}),
        (f"where the debrief is sound, {MEND}" if before != NONE else MEND) if mendable else BACKUP,
        lessons,
        mendable=mendable,
    )


def _plain(name: Name) -> str:
    table, _, column = name[0].partition(".")
    return f"{table.replace('_', ' ')} rows" + (f" by {column}" if column else "")


def references(kept: Kept, contents: set[str]) -> Iterator[Trouble]:
    """Follow all references both ways."""
    there = {**kept.ids, "content": contents}
    for (table, column), each in kept.refers.items():
        target = next(iter(schema.METADATA.tables[table].c[column].foreign_keys)).column.table.name
        if target in kept.unread | kept.broken:
            continue  # said already
        for row_id, wanted in each.items():
            if wanted not in there[target]:
                others = ((name, ids.get(row_id)) for (of, name), ids in kept.refers.items() if of == table)
                row = {"id": row_id, **dict(others)}
                lessons = kept.lesson_of(table, row)
                yield Trouble(
                    "reference",
                    f"its {target.replace('_', ' ')} is not there",
                    where(table, lessons, row),
                    BACKUP,
                    lessons,
                )
    if not kept.unread & {"lesson", "result", "part", "recording"}:
        yield from _order(kept)


def _order(kept: Kept) -> Iterator[Trouble]:
    """Look whether each lesson has debriefs in unbroken order, and whether a recording stands alone.

    A lesson may be without recordings, where one was taken out because it named somebody to be forgotten.
    """
    for lesson_id, number in kept.numbers.items():
        turns = sorted(kept.turns[lesson_id])
        if turns != list(range(1, len(turns) + 1)) or not turns:
            told = ", ".join(map(str, turns)) or "none"
            yield _out_of_order(number, f"its debriefs should be numbered from 1 without a gap: {told}")
        signed = kept.signed.get(lesson_id)
        if signed is not None and signed not in turns:
            yield _out_of_order(number, f"debrief {signed} was signed and is not there")
        if number < 1:
            yield _out_of_order(number, "lessons are numbered from 1")
    used = set(kept.refers["part", "recording_id"].values())
    for alone in sorted(kept.ids["recording"] - used):
        yield Trouble("reference", "no lesson has this recording", f"recording {alone}", BACKUP)


def _out_of_order(number: int, what: str) -> Trouble:
    return Trouble("order", what, f"lesson {number}", BACKUP, (number,))
