"""What of a folder the record knows already: by id, by name, by recording."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any

import msgspec
from sqlalchemy import Connection, Table

from groundref.record import schema
from groundref.record.folder.gather import lessons_of
from groundref.record.folder.read import Brought
from groundref.record.folder.same import lost
from groundref.record.folder.shape import Document, Lesson
from groundref.record.sealed import of, rows_with, whole


@dataclass(slots=True)
class Known:
    """What the record knows of a folder.

    Attributes
    ----------
    ids
        Ids in the record by those in the folder, of what it knows.
    lessons
        Its lessons by the ids of those in the folder that are the same.
    differing
        In one clause each, what stands in the folder otherwise, or only there.
    kept
        Ids of lessons in the folder among them.
    """

    ids: dict[str, str] = field(default_factory=dict)
    lessons: dict[str, Lesson] = field(default_factory=dict)
    differing: list[str] = field(default_factory=list)
    kept: set[str] = field(default_factory=set)


def known_of(connection: Connection, brought: Brought) -> Known:
    """Compare a folder with the record.

    Parameters
    ----------
    connection
        In a transaction.
    brought
        The folder.

    Raises
    ------
    DamagedError
        When something in the record is not what was written there.
    """
    known, document = Known(), brought.document
    _match(connection, known, schema.person, document.people, lambda row, one: row["name"] == one.name)
    _match(
        connection,
        known,
        schema.airplane,
        document.airplanes,
        lambda row, one: row["name"] == one.name and row["document"] == brought.texts[one.document.sha256],
    )
    _match(connection, known, schema.site, document.sites, _same_site)
    _match_recordings(connection, known, document)
    _match_lessons(connection, known, document)
    return known


def _match(
    connection: Connection,
    known: Known,
    table: Table,
    theirs: Iterable[Any],
    same: Callable[[dict[str, Any], Any], bool],
) -> None:
    """Find people, airplanes or sites: by id, else by name, whatever its capitals."""
    found = whole(connection, table)
    by_id = {row["id"]: row for row in found}
    by_name = {row["name"].casefold(): row for row in found}
    for one in theirs:
        row = by_id.get(one.id) or by_name.get(one.name.casefold())
        if row is None:
            continue
        known.ids[one.id] = row["id"]
        # A name alone is found whatever its capitals, and is then the same.
        if not same(row if row["id"] == one.id else {**row, "name": one.name}, one):
            what = (
                f"is called {row['name']} here" if row["name"] != one.name else "is described otherwise here"
            )
            known.differing.append(f"the {table.name} {one.name} {what}")


def _same_site(row: dict[str, Any], one: Any) -> bool:
    places = msgspec.json.decode(row["places"], type=tuple[tuple[float, float], ...])
    said = (one.name, one.type, one.places_deg, one.ground_ft, one.remarks)
    return (row["name"], row["type"], places, row["ground_ft"], row["remarks"]) == said


def _match_recordings(connection: Connection, known: Known, document: Document) -> None:
    by_digest = {one.brought_sha256: one.id for one in document.recordings}
    for row in of(connection, schema.recording, "sha256", list(by_digest)):
        known.ids[by_digest[row["sha256"]]] = row["id"]


def _match_lessons(connection: Connection, known: Known, document: Document) -> None:
    """Find lessons: by id, else by a recording that both hold."""
    there = {
        row["id"] for row in rows_with(connection, schema.lesson, "id", [o.id for o in document.lessons])
    }
    recordings = [known.ids[one.id] for one in document.recordings if one.id in known.ids]
    holder = {
        part["recording_id"]: part["lesson_id"]
        for part in rows_with(connection, schema.part, "recording_id", recordings)
    }
    same: dict[str, str] = {}
    for one in document.lessons:
        held = [
            holder[known.ids[p.recording_id]] for p in one.parts if known.ids.get(p.recording_id) in holder
        ]
        if one.id in there or held:
            same[one.id] = one.id if one.id in there else held[0]
    ours = {one.id: one for one in lessons_of(connection, same.values())}
    for one in document.lessons:
        if one.id in same:
            _compare(known, one, ours[same[one.id]])


def _compare(known: Known, theirs: Lesson, ours: Lesson) -> None:
    known.lessons[theirs.id] = ours
    differing = lost(theirs, ours, known.ids)
    if differing:
        known.kept.add(theirs.id)
        known.differing.append(
            f"lesson {theirs.number} of the folder is lesson {ours.number} here and differs in its "
            + ", ".join(differing)
        )
