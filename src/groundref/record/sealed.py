"""Rows that show when they are not what was written: each carries a seal, the digest of its other values.

A database notices a page it cannot understand, but not a page that still makes sense and says something else:
a flipped bit turns one figure into another. So whatever is read here is compared with its seal, whatever
engine it comes from, and `content` with the SHA-256 that is its name; and rows that are read together with
their tally, which misses one that is not found.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterable
from dataclasses import dataclass
from hashlib import sha256
from typing import Any, Final

from sqlalchemy import (
    ColumnElement,
    Connection,
    Table,
    bindparam,
    delete,
    insert,
    select,
    union_all,
    update,
)

from groundref.errors import DamagedError, NotInRecordError
from groundref.record import schema
from groundref.record.seals import Row, is_sound, sealed
from groundref.record.tallies import MANY, REMEDY, compare, count

_LEVEL: Final = 6  # of gzip: a recording of an hour in about 10 ms; higher takes longer and gains 2 %
_MOST: Final = 2**31  # bytes of one recording, so that a damaged size never fills the memory
_USERS: Final = (schema.recording.c.content_id, schema.result.c.document_id, schema.lesson.c.plan_id)


def put(connection: Connection, table: Table, rows: Iterable[Row]) -> list[str]:
    """Write new rows.

    Parameters
    ----------
    connection
        In a transaction that writes.
    table
        Where they go.
    rows
        Their values; the id is made where there is none.

    Returns
    -------
    list of str
        Their ids.
    """
    whole = [sealed(table, row) for row in rows]
    if whole:
        connection.execute(insert(table), whole)
        count(connection, table, come=whole)
    return [row["id"] for row in whole]


def change(connection: Connection, table: Table, row: Row, **values: Any) -> None:
    """Write new values into a row that was read with ``rows``."""
    # As it is now: what was read may have been changed since.
    now = one(rows(connection, table, table.c.id == row["id"]), called(table, row), REMEDY)
    whole = sealed(table, now | values)
    connection.execute(update(table).where(table.c.id == bindparam("which")), {**whole, "which": row["id"]})
    count(connection, table, gone=[now], come=[whole])


def remove(connection: Connection, table: Table, *where: ColumnElement[bool]) -> None:
    """Take rows out."""
    gone = rows(connection, table, *where)
    connection.execute(delete(table).where(*where))
    count(connection, table, gone=gone)


def of(connection: Connection, table: Table, column: str, values: Iterable[Any]) -> list[dict[str, Any]]:
    """Read all rows that have one of these values in a column, and compare them with their tally.

    Parameters
    ----------
    connection
        In a transaction.
    table, column
        Which, one that is tallied (``tallies.TALLIED``).
    values
        As many as wanted; they are asked for a few hundred at a time.

    Raises
    ------
    DamagedError
        When one is missing, or is not what was written.
    """
    wanted = list(dict.fromkeys(values))
    found = rows_with(connection, table, column, wanted)
    compare(connection, table, column, wanted, found)
    return found


def rows_with(
    connection: Connection, table: Table, column: str, values: Iterable[Any]
) -> list[dict[str, Any]]:
    """Read rows that have one of these values in a column; whether those are all, only ``of`` can tell.

    Parameters
    ----------
    connection
        In a transaction.
    table, column
        Which.
    values
        As many as wanted; they are asked for a few hundred at a time.

    Raises
    ------
    DamagedError
        When one is not what was written.
    """
    wanted = list(dict.fromkeys(values))
    return [
        row
        for first in range(0, len(wanted), MANY)
        for row in rows(connection, table, table.c[column].in_(wanted[first : first + MANY]))
    ]


def whole(connection: Connection, table: Table) -> list[dict[str, Any]]:
    """Read all rows of a table and compare them with their tally; see ``of``."""
    found = rows(connection, table)
    compare(connection, table, "", [""], found)
    return found


def rows(
    connection: Connection,
    table: Table,
    *where: ColumnElement[bool],
    order: Iterable[ColumnElement[Any]] = (),
    most: int | None = None,
) -> list[dict[str, Any]]:
    """Read rows and compare each with its seal.

    Parameters
    ----------
    connection
        In a transaction.
    table
        Any but `content`.
    where, order, most
        Which, in what order and how many at most.

    Raises
    ------
    DamagedError
        When one is not what was written.
    """
    wanted = select(table).where(*where).order_by(*order).limit(most)
    try:
        result = connection.execute(wanted)
        names = tuple(result.keys())
        found = [dict(zip(names, row, strict=True)) for row in result.all()]
    except (TypeError, ValueError) as problem:  # a value is not even of the right kind
        what = f"{table.name.replace('_', ' ')} rows are not what was written there"
        raise DamagedError(what, "record", REMEDY) from problem
    for row in found:
        if not is_sound(table, row):
            raise DamagedError(f"{called(table, row)} is not what was written there", "record", REMEDY)
    return found


def called(table: Table, row: Row) -> str:
    """Return what to call a row in a message."""
    name = row.get("number") if table is schema.lesson else row.get("name")
    return f"{table.name.replace('_', ' ')} {name if name is not None else row['id']}"


@dataclass(frozen=True, slots=True)
class Packed:
    """Something large, ready to be written: packed before the transaction, which so stays short.

    Attributes
    ----------
    id
        SHA-256 of what it is.
    size
        Of what it is [bytes]
    packed
        With gzip, without a time or a name in it.
    """

    id: str
    size: int
    packed: bytes


def pack(what: bytes) -> Packed:
    """Pack something large."""
    packer = zlib.compressobj(_LEVEL, zlib.DEFLATED, wbits=31)
    return Packed(sha256(what).hexdigest(), len(what), packer.compress(what) + packer.flush())


def put_content(connection: Connection, packed: Packed) -> str:
    """Write something large unless it lies there already; return its name."""
    table = schema.content
    if connection.execute(select(table.c.id).where(table.c.id == packed.id)).first() is None:
        row = {"id": packed.id, "size": packed.size, "packed": packed.packed}
        connection.execute(insert(table), [row])
    return packed.id


def get_content(connection: Connection, name: str, where: str) -> bytes:
    """Return something large, compared with its name.

    Parameters
    ----------
    connection
        In a transaction.
    name
        Its SHA-256.
    where
        What to call it in messages.

    Raises
    ------
    DamagedError
        When it is gone, or not what was written.
    """
    table = schema.content
    row = connection.execute(select(table.c.size, table.c.packed).where(table.c.id == name)).first()
    if row is None:
        raise DamagedError("it is no longer in the record", where, REMEDY)
    try:
        what = unpacked(row.packed, row.size)
    except (zlib.error, ValueError, TypeError) as problem:
        raise DamagedError(f"it is not what was written there ({problem})", where, REMEDY) from problem
    if sha256(what).hexdigest() != name:
        raise DamagedError("it is not what was written there", where, REMEDY)
    return what


def unpacked(packed: bytes, size: int) -> bytes:
    """Return what was packed, no more than its size.

    Raises
    ------
    ValueError
        When there is more or less of it.
    zlib.error
        When it is damaged.
    """
    if not 0 <= size <= _MOST:
        raise ValueError(f"a size of {size} bytes")
    opener = zlib.decompressobj(wbits=31)
    what = opener.decompress(packed, size + 1)
    if len(what) != size:
        raise ValueError("its size differs")
    return what


def drop_unused_content(connection: Connection) -> int:
    """Take out what no recording, result or plan refers to; return how many there were."""
    table = schema.content
    used = union_all(*(select(column).where(column.is_not(None)) for column in _USERS))
    return connection.execute(delete(table).where(table.c.id.not_in(used))).rowcount


def drop_if_unused(connection: Connection, name: str | None) -> None:
    """Take out one content that something referred to, unless something else does; None for none."""
    if name is None:
        return
    wanted = (select(column).where(column == name).limit(1) for column in _USERS)
    if not any(connection.execute(each).first() for each in wanted):
        connection.execute(delete(schema.content).where(schema.content.c.id == name))


def one(found: list[dict[str, Any]], what: str, remedy: str) -> dict[str, Any]:
    """Return the one row that was asked for.

    Raises
    ------
    NotInRecordError
        When there is none.
    """
    if not found:
        raise NotInRecordError(f"there is no {what}", "record", remedy)
    return found[0]
