"""What stands of a lesson, part by part as a digest: whether it is still what somebody saw who changes it.

A page, or a program, reads a lesson, somebody thinks, and what is then written was meant for what was read.
So who writes says what was seen, and it is compared within the transaction that writes: what was changed
meanwhile is refused, and not written over. Parts are apart, so that remarks do not hinder a verdict.
"""

from __future__ import annotations

from collections.abc import Mapping
from hashlib import blake2b
from typing import Any, Final

import msgspec
from sqlalchemy import Connection

from groundref.errors import ChangedMeanwhileError
from groundref.record.lessons import lesson_row
from groundref.record.results import in_force, maneuvers_of, own_verdicts, placed

WHO: Final = "who"
REMARKS: Final = "remarks"
VERDICTS: Final = "verdicts"
DEBRIEF: Final = "debrief"
SIGNATURE: Final = "signature"
PARTS: Final = (WHO, REMARKS, VERDICTS, DEBRIEF, SIGNATURE)

Seen = Mapping[str, str]  # digest of each part that somebody saw and relies on


def verdicts_on(maneuver: int) -> str:
    """Return what the part is called that holds the own verdicts on one maneuver, by its number."""
    return f"{VERDICTS}-{maneuver}"


def standing(connection: Connection, number: int) -> dict[str, str]:
    """Return the digest of each part of a lesson, with those of ``verdicts_on`` for its maneuvers.

    Parameters
    ----------
    connection
        In a transaction.
    number
        Of the lesson.

    Raises
    ------
    RecordError
        When there is no lesson of that number.
    """
    return _standing(connection, lesson_row(connection, number))


def unchanged(connection: Connection, lesson: dict[str, Any], seen: Seen | None) -> None:
    """Refuse to write where a part is no longer what was seen.

    Parameters
    ----------
    connection
        In the transaction that writes.
    lesson
        The lesson's row.
    seen
        What was seen of it; None for who did not look, such as a command that says what is to be.

    Raises
    ------
    ChangedMeanwhileError
        Naming the parts.
    """
    if seen is None:
        return
    now = _standing(connection, lesson)
    changed = tuple(part for part, digest in seen.items() if now.get(part) != digest)
    if changed:
        raise ChangedMeanwhileError(lesson["number"], changed)


def _standing(connection: Connection, lesson: dict[str, Any]) -> dict[str, str]:
    counts = in_force(connection, [lesson])
    own = own_verdicts(connection, [lesson["id"]])[lesson["id"]]
    flown = maneuvers_of(connection, counts).get(lesson["id"], ())
    on = placed(own, [(one.kind, one.start) for one in flown])
    return {
        WHO: _digest([lesson[name] for name in ("student_id", "instructor_id", "site_id")]),
        REMARKS: _digest(lesson["remarks"]),
        VERDICTS: _digest(sorted(map(_said, own.values()))),
        **{
            verdicts_on(one.number): _digest(
                sorted(_said(row) for (start, _, _), row in on.items() if start == one.start)
            )
            for one in flown
        },
        DEBRIEF: _digest(
            [
                lesson["asked"],
                lesson["plan_id"],
                lesson["airplane_id"],
                counts[lesson["id"]]["document_id"] if lesson["id"] in counts else None,
            ]
        ),
        SIGNATURE: _digest([lesson[name] for name in ("signed_by_id", "signed_at", "signed_turn")]),
    }


def _said(row: Mapping[str, Any]) -> tuple[str, ...]:
    """Return what an own verdict says; that it was given once more changes nothing."""
    return tuple(row[name] for name in ("maneuver_start", "code", "quantity", "verdict", "reason"))


def _digest(what: object) -> str:
    return blake2b(msgspec.json.encode(what), digest_size=8).hexdigest()
