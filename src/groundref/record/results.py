"""Debriefs of a lesson: the one in force and those before it, whole and in figures."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import fields, replace
from operator import itemgetter
from typing import Any, Final

import msgspec
from sqlalchemy import Connection

from groundref.progress.flown import ElementFlown, FaultFlown, ManeuverFlown, flown_in
from groundref.record import schema
from groundref.record.changes import SAME, seconds_apart
from groundref.record.moments import now
from groundref.record.sealed import Packed, get_content, of, put, put_content

ELEMENT: Final = tuple(one.name for one in fields(ElementFlown) if one.name not in ("own", "reason"))
_OF_ELEMENT: Final = itemgetter(*ELEMENT)
FAULT: Final = tuple(one.name for one in fields(FaultFlown))
MANEUVER: Final = tuple(one.name for one in fields(ManeuverFlown) if one.name not in ("elements", "faults"))

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
    flown = list(flown)
    ids = put(
        connection,
        schema.maneuver,
        [{name: getattr(one, name) for name in MANEUVER} | {"result_id": result_id} for one in flown],
    )
    for table, names, part in (
        (schema.element, ELEMENT, "elements"),
        (schema.fault, FAULT, "faults"),
    ):
        put(
            connection,
            table,
            [
                {name: getattr(each, name) for name in names} | {"maneuver_id": maneuver_id, "number": n}
                for maneuver_id, one in zip(ids, flown, strict=True)
                for n, each in enumerate(getattr(one, part), start=1)
            ],
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
    ids = [one["id"] for one in maneuvers]
    elements = _by(of(connection, schema.element, "maneuver_id", ids), "maneuver_id")
    faults = _by(of(connection, schema.fault, "maneuver_id", ids), "maneuver_id")
    lesson_of = {result["id"]: lesson for lesson, result in results.items()}
    starts: dict[str, list[tuple[str, str]]] = {lesson: [] for lesson in results}
    for row in maneuvers:
        starts[lesson_of[row["result_id"]]].append((row["kind"], row["start"]))
    given = own_verdicts(connection, list(results))
    own = {lesson: placed(given[lesson], starts[lesson]) for lesson in results}
    flown: dict[str, list[ManeuverFlown]] = {lesson: [] for lesson in results}
    for row in sorted(maneuvers, key=lambda each: int(each["number"])):
        lesson = lesson_of[row["result_id"]]
        flown[lesson].append(
            ManeuverFlown(
                **{name: row[name] for name in MANEUVER},
                elements=tuple(_element(row, each, own[lesson]) for each in elements[row["id"]]),
                faults=tuple(FaultFlown(**{n: each[n] for n in FAULT}) for each in faults[row["id"]]),
            )
        )
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


def _element(maneuver: dict[str, Any], row: dict[str, Any], own: Own) -> ElementFlown:
    said = own.get((maneuver["start"], row["code"], row["quantity"]))
    flown = ElementFlown(*_OF_ELEMENT(row))
    return flown if said is None else replace(flown, own=said["verdict"], reason=said["reason"])


def _by(found: list[dict[str, Any]], column: str) -> dict[str, list[dict[str, Any]]]:
    """Return rows by what they belong to, each lot in its order."""
    lots: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for row in sorted(found, key=lambda each: int(each["number"])):
        lots[row[column]].append(row)
    return lots
