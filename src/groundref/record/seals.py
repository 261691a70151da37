"""Seals: the digest that every row carries of its other values."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from hashlib import blake2b
from operator import itemgetter
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
    pick, shape = _under(table)
    return blake2b(msgspec.json.encode((str(table.name), shape(*pick(row)))), digest_size=16).hexdigest()


def is_sound(table: Table, row: Row) -> bool:
    """Whether a row is what was written, whatever may stand there now."""
    try:
        return bool(seal(table, row) == row["seal"])
    except (TypeError, ValueError):  # not even of the right kind
        return False


@cache
def _under(table: Table) -> tuple[Callable[[Row], tuple[Any, ...]], type[msgspec.Struct]]:
    """Return what picks the values under the seal, by the names of their columns, and what they are put in.

    What is empty is left out, so that a column added by a later shape changes no seal.
    """
    names = sorted(str(column.name) for column in table.columns if column.name != "seal")
    shape = msgspec.defstruct("Sealed", [(name, Any, None) for name in names], omit_defaults=True)
    return itemgetter(*names), shape


@cache
def _reals(table: Table) -> tuple[str, ...]:
    return tuple(str(column.name) for column in table.columns if isinstance(column.type, Float))


def sealed(table: Table, row: Row) -> dict[str, Any]:
    """Return a row complete: with an id where it has none, all its columns, and its seal."""
    whole: dict[str, Any] = {str(column.name): None for column in table.columns}
    whole |= {"id": new_id(), **row}
    for name in _reals(table):
        if whole[name] is not None:
            whole[name] = float(whole[name]) + 0.0  # SQLite keeps no sign of a zero
    return {**whole, "seal": seal(table, whole)}
