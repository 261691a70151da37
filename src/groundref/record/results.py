"""Debriefs of a lesson: the one in force and those before it, whole and in figures."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import fields, replace
from typing import Any, Final

import msgspec
from sqlalchemy import Connection

from groundref.progress.flown import ElementFlown, FaultFlown, ManeuverFlown, flown_in
from groundref.record import schema
from groundref.record.changes import SAME, seconds_apart
from groundref.record.moments import now
from groundref.record.sealed import Packed, get_content, of, put, put_content

ELEMENT: Final = tuple(one.name for one in fields(ElementFlown) if one.name not in ("own", "reason"))
FAULT: Final = tuple(one.name for one in fields(FaultFlown))
MANEUVER: Final = tuple(one.name for one in fields(ManeuverFlown) if one.name not in ("elements", "faults"))
_ELEMENTS: Final = msgspec.json.Decoder(tuple[ElementFlown, ...])
_FAULTS: Final = msgspec.json.Decoder(tuple[FaultFlown, ...])

Own = dict[tuple[str, str, str], dict[str, Any]]  # by start of the maneuver, code and quantity


def put_result(connection: Connection, lesson_id: str, document: bytes, packed: Packed, version: str) -> int:
    """Write a debrief of a lesson, beside those before it.

    Parameters
    ----------
    connection
        In a transaction that writes.
    lesson_id
        Of which lesson.
    document, packed
        The debrief's JSON, and the same packed.
    version
        Of the program that worked it out.

    Returns
    -------
    int
        Its turn, from 1.
    """
    table = schema.result
    turns = (int(row["turn"]) for row in of(connection, table, "lesson_id", [lesson_id]))
    plain = msgspec.json.decode(document)
    turn = max(turns, default=0) + 1
    row = {
        "lesson_id": lesson_id,
        "turn": turn,
        "version": version,
        "computed": now(),
        "standard": plain["standard"]["name"],
        "document_id": put_content(connection, packed),
    }
    put_figures(connection, put(connection, table, [row])[0], flown_in(plain))
    return turn


def put_figures(connection: Connection, result_id: str, flown: Iterable[ManeuverFlown]) -> None:
    """Write the figures of a result into their columns."""
    put(
        connection,
        schema.maneuver,
        [
            {
                "result_id": result_id,
                **_plain(one, MANEUVER),
                "elements": msgspec.json.encode([_plain(each, ELEMENT) for each in one.elements]).decode(),
                "faults": msgspec.json.encode([_plain(each, FAULT) for each in one.faults]).decode(),
            }
            for one in flown
        ],
    )


def _plain(one: object, names: tuple[str, ...]) -> dict[str, Any]:
    return {name: getattr(one, name) for name in names}


def flown_of(row: Mapping[str, Any]) -> ManeuverFlown:
    """Return what was flown, as a row of `maneuver` holds it, without the instructor's own verdicts.

    Raises
    ------
    msgspec.DecodeError
        When the row is not what was written.
    """
    return ManeuverFlown(
        **{name: row[name] for name in MANEUVER},
        elements=_ELEMENTS.decode(row["elements"]),
        faults=_FAULTS.decode(row["faults"]),
    )


def in_force(connection: Connection, lessons: list[dict[str, Any]]) -> dict[str, dict[str, Any]]:
    """Return the result of each lesson that counts: the one that was signed, else the latest.

    Parameters
    ----------
    connection
        In a transaction.
    lessons
        Their rows.

    Returns
    -------
    dict
        By the lesson's id.
    """
    signed = {row["id"]: row["signed_turn"] for row in lessons}
    counts: dict[str, dict[str, Any]] = {}
    for row in of(connection, schema.result, "lesson_id", list(signed)):
        lesson, before = row["lesson_id"], counts.get(row["lesson_id"])
        if signed[lesson] is not None:
            if row["turn"] == signed[lesson]:
                counts[lesson] = row
        elif before is None or row["turn"] > before["turn"]:
            counts[lesson] = row
    return counts


def document_of(connection: Connection, result: dict[str, Any], where: str) -> bytes:
    """Return the debrief's JSON of a result, compared with its digest."""
    return get_content(connection, result["document_id"], where)


def maneuvers_of(
    connection: Connection, results: dict[str, dict[str, Any]]
) -> dict[str, tuple[ManeuverFlown, ...]]:
    """Return what was flown in lessons, with the instructor's own verdicts in it.

    Parameters
    ----------
    connection
        In a transaction.
    results
        By the lesson's id, as ``in_force`` gives them.

    Returns
    -------
    dict
        By the lesson's id.
    """
    maneuvers = of(connection, schema.maneuver, "result_id", [one["id"] for one in results.values()])
    lesson_of = {result["id"]: lesson for lesson, result in results.items()}
    starts: dict[str, list[tuple[str, str]]] = {lesson: [] for lesson in results}
    for row in maneuvers:
        starts[lesson_of[row["result_id"]]].append((row["kind"], row["start"]))
    given = own_verdicts(connection, list(results))
    own = {lesson: placed(given[lesson], starts[lesson]) for lesson in results}
    flown: dict[str, list[ManeuverFlown]] = {lesson: [] for lesson in results}
    for row in sorted(maneuvers, key=lambda each: int(each["number"])):
        lesson = lesson_of[row["result_id"]]
        flown[lesson].append(_decided(flown_of(row), own[lesson]))
    return {lesson: tuple(each) for lesson, each in flown.items()}


def placed(own: Own, maneuvers: Iterable[tuple[str, str]]) -> Own:
    """Return own verdicts by the maneuvers of another debrief of the lesson, which may begin otherwise.

    Parameters
    ----------
    own
        By the maneuvers that they were given on.
    maneuvers
        Kind and start of each.
    """
    found: Own = {}
    for (start, code, quantity), row in own.items():
        apart = {other: seconds_apart(start, other) for kind, other in maneuvers if kind == row["kind"]}
        nearest = min(apart, key=lambda other: apart[other], default=None)
        if nearest is not None and apart[nearest] <= SAME:
            found[nearest, code, quantity] = row
    return found


def own_verdicts(connection: Connection, lesson_ids: list[str]) -> dict[str, Own]:
    """Return the instructor's own verdicts on lessons, by the lesson's id."""
    own: dict[str, Own] = {lesson: {} for lesson in lesson_ids}
    for row in of(connection, schema.own_verdict, "lesson_id", lesson_ids):
        own[row["lesson_id"]][row["maneuver_start"], row["code"], row["quantity"]] = row
    return own


def _decided(flown: ManeuverFlown, own: Own) -> ManeuverFlown:
    """Return what was flown with the instructor's own verdicts in it."""
    if not own:
        return flown
    said = (own.get((flown.start, each.code, each.quantity)) for each in flown.elements)
    return replace(
        flown,
        elements=tuple(
            each if one is None else replace(each, own=one["verdict"], reason=one["reason"])
            for each, one in zip(flown.elements, said, strict=True)
        ),
    )
