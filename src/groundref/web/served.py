"""What the server holds while it runs: the record, the workers, and debriefs looked at lately."""

from __future__ import annotations

import asyncio
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final, TypeVar

from litestar.di import NamedDependency
from sqlalchemy import Connection

from groundref.record.asked import Asked
from groundref.record.lessons import lesson_row
from groundref.record.recomputing import brought
from groundref.record.results import Own, in_force
from groundref.record.standing import standing
from groundref.record.store import Record
from groundref.record.telling import given_on
from groundref.web import reader
from groundref.web.maps.source import MapSource
from groundref.web.said import Sayings
from groundref.web.trying.finished import Tries
from groundref.web.work import Parts, Worked, debrief
from groundref.web.workers import Workers

_KEPT: Final = 32  # debriefs at hand, some 0.5 MB each
Result = TypeVar("Result")
Key = tuple[str, int, tuple[tuple[str, str, str], ...]]  # lesson, turn, own verdicts on it
Lying = tuple[Parts, Asked, bytes | None, dict[str, str]]


@dataclass(slots=True)
class Served:
    """What the routes work with.

    Attributes
    ----------
    record
        The training record.
    workers
        Processes that read recordings.
    tries
        Flown on the ground, with their limits.
    map
        The source of a map beneath the pictures; None where the user named none.
    sayings
        What was kept, to be said once on the page that follows.
    """

    record: Record
    workers: Workers
    tries: Tries = field(default_factory=Tries)
    map: MapSource | None = None
    sayings: Sayings = field(default_factory=Sayings)
    _kept: OrderedDict[tuple[Key, str], Worked] = field(default_factory=OrderedDict)

    async def read(self, what: Callable[[Connection], Result]) -> Result:
        """Return what a function finds in the record, read in a thread of its own."""

        def reading() -> Result:
            with self.record.reading() as connection:
                return what(connection)

        return await asyncio.to_thread(reading)

    async def write(self, what: Callable[[Connection], Result]) -> Result:
        """Return what a function gives that writes into the record, all of it or nothing."""

        def writing() -> Result:
            with self.record.writing() as connection:
                return what(connection)

        return await asyncio.to_thread(writing)

    async def call(self, what: Callable[..., Result], *with_: object) -> Result:
        """Return what a function gives that may wait for the disk, called in a thread of its own."""
        return await asyncio.to_thread(what, *with_)

    async def worked(self, number: int) -> Worked:
        """Return the debrief of a lesson as it is handed out.

        Raises
        ------
        RecordError
            When there is no such lesson, or it is damaged.
        """
        key, own = await self.read(lambda connection: _named(connection, number))
        units = reader.units()
        if (key, units) not in self._kept:
            # All as of one moment: what is worked out meanwhile by another request has a key of its own.
            (key, own), asked = await self.read(
                lambda connection: (_named(connection, number), _brought(connection, number))
            )
            self._keep(key, await self.workers.run(debrief, *asked, own, units))
        self._kept.move_to_end((key, units))
        return self._kept[key, units]

    async def brought(self, number: int) -> tuple[Parts, Asked, bytes | None]:
        """Return the recordings of a lesson, how its debrief is asked for, and its plan."""
        return await self.read(lambda connection: _brought(connection, number))

    async def lying(self, number: int) -> Lying:
        """Return what ``brought`` does, and the digests of what stood at that moment."""

        def found(connection: Connection) -> Lying:
            return *_brought(connection, number), standing(connection, number)

        return await self.read(found)

    async def keep(self, number: int, turn: int, worked: Worked) -> None:
        """Have the debrief of a lesson at hand that was just worked out as its result of that turn.

        It is without own verdicts, and only one that is shown without any is taken from here.
        """
        row = await self.read(lambda connection: lesson_row(connection, number))
        self._keep((row["id"], turn, ()), worked)

    def _keep(self, key: Key, worked: Worked) -> None:
        self._kept[key, worked.units] = worked
        while len(self._kept) > _KEPT:  # the one longest not looked at gives way
            self._kept.popitem(last=False)


def _named(connection: Connection, number: int) -> tuple[Key, Own]:
    """Return what names the debrief in force of a lesson as it is shown, and the own verdicts in it."""
    row = lesson_row(connection, number)
    own = given_on(connection, row)
    said = tuple(sorted((each["id"], each["by"] or "", each["reason"]) for each in own.values()))
    return (row["id"], in_force(connection, [row])[row["id"]]["turn"], said), own


def _brought(connection: Connection, number: int) -> tuple[Parts, Asked, bytes | None]:
    parts, asked, plan = brought(connection, lesson_row(connection, number))
    return tuple(parts), asked, plan


Here = NamedDependency[Served]
