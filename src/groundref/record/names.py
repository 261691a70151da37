"""People, airplanes and sites by their names."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any, Final

from sqlalchemy import Connection, Table

from groundref.errors import UsageError
from groundref.record import schema
from groundref.record.moments import now
from groundref.record.sealed import change, one, put, whole

_LONGEST: Final = 200
_NEAR: Final = 0.75  # of the letters that two names share in order: Jo Brant is near Jo Brandt, Jo Okafor not


@dataclass(frozen=True, slots=True)
class Newcomer:
    """A person whose name the record does not know yet.

    Attributes
    ----------
    name
        As it will stand there.
    near
        Somebody in the record who is called nearly so, as a slip of the pen would be; None when there is
        nobody.
    """

    name: str
    near: str | None

    def __str__(self) -> str:
        """Name it with whoever it is near to."""
        return self.name if self.near is None else f"{self.name} (is this {self.near}?)"


def newcomers(connection: Connection, names: Iterable[str | None]) -> tuple[Newcomer, ...]:
    """Return those of some people whom the record does not know yet, each once.

    Parameters
    ----------
    connection
        In a transaction.
    names
        None for nobody.
    """
    there = {row["name"].casefold(): row["name"] for row in whole(connection, schema.person)}
    wanted = {tidy(name, "name").casefold(): tidy(name, "name") for name in names if name is not None}
    new = [(low, name) for low, name in wanted.items() if low not in there]
    return tuple(Newcomer(name, _near(low, there)) for low, name in new)


def _near(name: str, there: dict[str, str]) -> str | None:
    close = get_close_matches(name, there, n=1, cutoff=_NEAR)
    return there[close[0]] if close else None


def tidy(name: str, where: str) -> str:
    """Return a name with single spaces.

    Raises
    ------
    UsageError
        When nothing of it is left, or it is no name.
    """
    words = " ".join(name.split())
    if not words or len(words) > _LONGEST or not words.isprintable():
        raise UsageError("this is no name", where, f"give 1 to {_LONGEST} letters")
    return words


def found(connection: Connection, table: Table, name: str) -> list[dict[str, Any]]:
    """Return the row of a name, whatever its capitals; an empty list when there is none."""
    wanted = " ".join(name.split()).casefold()
    return [row for row in whole(connection, table) if row["name"].casefold() == wanted]


def known(connection: Connection, table: Table, name: str) -> dict[str, Any]:
    """Return the row of a name.

    Raises
    ------
    RecordError
        When there is none.
    """
    names = {row["name"].casefold(): row["name"] for row in whole(connection, table)}
    near = _near(" ".join(name.split()).casefold(), names)
    nearest = "" if near is None else f"is it {near}? "
    remedy = f"{nearest}the record holds {', '.join(sorted(names.values())) or 'none yet'}"
    return one(found(connection, table, name), f"{table.name} called {name!r}", remedy)


def person_called(connection: Connection, name: str | None, where: str) -> str | None:
    """Return the id of a person, who is put into the record when new; None for nobody."""
    if name is None:
        return None
    there = found(connection, schema.person, tidy(name, where))
    if there:
        return str(there[0]["id"])
    return put(connection, schema.person, [{"name": tidy(name, where), "added": now()}])[0]


def airplane_called(connection: Connection, airplane: tuple[str, str] | None) -> str | None:
    """Return the id of an airplane, which is put into the record when new.

    Parameters
    ----------
    connection
        In a transaction that writes.
    airplane
        Its name and the text of its data file; what was kept of it before gives way to that.
    """
    if airplane is None:
        return None
    name, document = airplane
    there = found(connection, schema.airplane, name)
    if not there:
        return put(connection, schema.airplane, [{"name": name, "document": document}])[0]
    if there[0]["document"] != document:
        change(connection, schema.airplane, there[0], document=document)
    return str(there[0]["id"])
