"""Seals: the digest that every row carries of its other values."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from hashlib import blake2b
from typing import Any
from uuid import uuid4

import msgspec
from sqlalchemy import Float, Table

Row = Mapping[str, Any]


def new_id() -> str:
    """Return a name for a row that no other row has, in this record or another."""
    return uuid4().hex


def seal(table: Table, row: Row) -> str:
    """Return the digest of a row's values; those of large content are named by their own."""
    # What is empty is left out, so that a column added by a later shape changes no seal. SQLite keeps no
    # sign of a zero, which adding zero takes from it too.
    names, reals = _columns(table)
    values = {name: value for name in names if (value := row.get(name)) is not None}
    for name in reals & values.keys():
        values[name] = float(values[name]) + 0.0
    return blake2b(msgspec.json.encode((str(table.name), values)), digest_size=16).hexdigest()


def is_sound(table: Table, row: Row) -> bool:
    """Whether a row is what was written, whatever may stand there now."""
    try:
        return bool(seal(table, row) == row["seal"])
    except (TypeError, ValueError):  # not even of the right kind
        return False


@cache
def _columns(table: Table) -> tuple[tuple[str, ...], frozenset[str]]:
    """Return the columns under the seal, and which of them hold real numbers."""
    columns = [column for column in table.columns if column.name != "seal"]
    reals = frozenset(str(column.name) for column in columns if isinstance(column.type, Float))
    return tuple(sorted(str(column.name) for column in columns)), reals


def sealed(table: Table, row: Row) -> dict[str, Any]:
    """Return a row complete: with an id where it has none, all its columns, and its seal."""
    whole = {str(column.name): None for column in table.columns} | {"id": new_id(), **row}
    return {**whole, "seal": seal(table, whole)}
