"""What the instructor says of a lesson: remarks, own verdicts, the signature."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Final

from sqlalchemy import Connection

from groundref.errors import SignedError, UsageError
from groundref.progress.flown import ElementFlown, ManeuverFlown
from groundref.record import schema
from groundref.record.lessons import lesson_row
from groundref.record.moments import now
from groundref.record.names import known, person_called
from groundref.record.results import in_force, maneuvers_of, own_verdicts, placed
from groundref.record.sealed import change, put, remove, rows
from groundref.record.standing import Seen, unchanged
from groundref.record.store import Record
from groundref.track.counting import counted

VERDICTS: Final = ("met", "not-met", "undetermined")
Place = tuple[ManeuverFlown, ElementFlown]


def remark(record: Record, number: int, text: str, seen: Seen | None = None) -> None:
    """Write the instructor's remarks on a lesson, in place of those before; an empty text takes them out.

    Parameters
    ----------
    record
        The record.
    number
        Of the lesson.
    text
        The remarks.
    seen
        What they were written upon; see ``standing.unchanged``.

    Raises
    ------
    RecordError
        When there is no such lesson, or it was changed meanwhile.
    UsageError
        When it is signed.
    """
    with record.writing() as connection:
        lesson = unsigned(connection, number, seen)
        change(connection, schema.lesson, lesson, remarks=text.strip())


def give_verdict(
    record: Record,
    number: int,
    element: str,
    verdict: str,
    *,
    reason: str = "",
    instructor: str | None = None,
    maneuver: int | None = None,
) -> Place:
    """Write the instructor's own verdict on an element, in place of one given before.

    Parameters
    ----------
    record
        The record.
    number
        Of the lesson.
    element
        Its code; `code:quantity` where the standard has several under one code.
    verdict
        `met`, `not-met` or `undetermined`.
    reason
        Why; needed where the program came to another verdict.
    instructor
        Who says so; the lesson's instructor when None.
    maneuver
        Its number in the lesson, where several have this element.

    Returns
    -------
    tuple
        The maneuver and its element, as the program judged it.

    Raises
    ------
    RecordError
        When there is no such lesson or person.
    UsageError
        When the lesson is signed, there is no such element, several are called so, or a reason is missing.
    """
    with record.writing() as connection:
        lesson = unsigned(connection, number)
        place = _element(connection, lesson, element, maneuver)
        _give(connection, lesson, place, verdict, reason, instructor)
        return place


def give_verdicts(
    record: Record,
    number: int,
    maneuver: int,
    given: Iterable[tuple[str, str, str]],
    instructor: str | None = None,
    seen: Seen | None = None,
) -> None:
    """Write own verdicts on elements of one maneuver, all of them or none.

    Who decides on a lesson that has no instructor yet becomes its instructor, new in the record or not.

    Parameters
    ----------
    record
        The record.
    number, maneuver
        Of the lesson, and of the maneuver in it.
    given
        Element, verdict and reason of each; an empty verdict withdraws the one given before.
    instructor
        Who says so; the lesson's instructor when None.
    seen
        What they were given upon; see ``standing.unchanged``.

    Raises
    ------
    RecordError, UsageError
        As ``give_verdict`` does; also when the lesson was changed meanwhile.
    """
    with record.writing() as connection:
        lesson = _taught(connection, unsigned(connection, number, seen), instructor)
        for element, verdict, reason in given:
            place = _element(connection, lesson, element, maneuver)
            if verdict:
                _give(connection, lesson, place, verdict, reason, instructor)
            else:
                _take_out(connection, lesson, *place)


def contradicts(element: ElementFlown, verdict: str) -> bool:
    """Return whether an own verdict says otherwise than the recording shows, and so needs a reason.

    Where the recording cannot tell, whatever the instructor saw contradicts nothing.
    """
    return element.verdict not in ("undetermined", verdict)


def _give(
    connection: Connection,
    lesson: dict[str, Any],
    place: Place,
    verdict: str,
    reason: str,
    instructor: str | None,
) -> None:
    flown, found = place
    if verdict not in VERDICTS:
        raise UsageError(f"{verdict!r} is no verdict", "verdict", f"choose {', '.join(VERDICTS)}")
    if contradicts(found, verdict) and not reason.strip():
        raise UsageError(
            f"this differs from what the recording shows ({found.verdict})",
            "--reason",
            "say why the instructor saw it otherwise",
        )
    person_id = _who(connection, lesson, instructor)
    _take_out(connection, lesson, flown, found)
    row = {
        "lesson_id": lesson["id"],
        "maneuver_start": flown.start,
        "kind": flown.kind,
        "code": found.code,
        "quantity": found.quantity,
        "verdict": verdict,
        "reason": reason.strip(),
        "person_id": person_id,
        "given": now(),
    }
    put(connection, schema.own_verdict, [row])


def withdraw_verdict(record: Record, number: int, element: str, *, maneuver: int | None = None) -> Place:
    """Take out the instructor's own verdict on an element, so that the program's counts again.

    Returns and raises as ``give_verdict`` does; UsageError also when there is none.
    """
    with record.writing() as connection:
        lesson = unsigned(connection, number)
        flown, found = _element(connection, lesson, element, maneuver)
        if not _take_out(connection, lesson, flown, found):
            raise UsageError("the instructor gave no verdict on it", element, "there is nothing to withdraw")
        return flown, found


def latest_verdict(connection: Connection, number: int) -> tuple[str | None, str] | None:
    """Return who gave the latest own verdict on a lesson and when; the name is None of who was forgotten."""
    own = own_verdicts(connection, [lesson_row(connection, number)["id"]])
    given = [row for each in own.values() for row in each.values()]
    if not given:
        return None
    last = max(given, key=lambda row: str(row["given"]))
    return None if last["person_id"] is None else _name(connection, last["person_id"]), last["given"]


def sign(
    record: Record,
    number: int,
    instructor: str | None = None,
    seen: Seen | None = None,
    *,
    taught: bool = False,
) -> str:
    """Sign a lesson: the debrief that counts now, with remarks and own verdicts, stays as it is.

    Parameters
    ----------
    record
        The record.
    number
        Of the lesson.
    instructor
        Who signs; the lesson's instructor when None.
    seen
        What is signed; see ``standing.unchanged``.
    taught
        Whether who signs a lesson that has no instructor yet becomes its instructor, new in the record or
        not.

    Returns
    -------
    str
        The name of who signed.

    Raises
    ------
    RecordError
        When there is no such lesson or person, or the lesson was changed meanwhile.
    UsageError
        When it is signed already.
    """
    with record.writing() as connection:
        lesson = unsigned(connection, number, seen)
        if taught:
            lesson = _taught(connection, lesson, instructor)
        person_id = _who(connection, lesson, instructor)
        result = in_force(connection, [lesson])[lesson["id"]]
        change(
            connection,
            schema.lesson,
            lesson,
            signed_by_id=person_id,
            signed_at=now(),
            signed_turn=result["turn"],
        )
        return _name(connection, person_id)


def withdraw_signature(record: Record, number: int, seen: Seen | None = None) -> str:
    """Take a lesson's signature back, so that remarks and verdicts can be changed; return whose it was.

    Parameters
    ----------
    record
        The record.
    number
        Of the lesson.
    seen
        The signature that is meant; see ``standing.unchanged``.

    Raises
    ------
    RecordError
        When there is no such lesson, or it was changed meanwhile.
    UsageError
        When it is not signed.
    """
    with record.writing() as connection:
        lesson = lesson_row(connection, number)
        unchanged(connection, lesson, seen)
        if lesson["signed_at"] is None:
            raise UsageError(f"lesson {number} is not signed", "--withdraw", "there is nothing to withdraw")
        change(connection, schema.lesson, lesson, signed_by_id=None, signed_at=None, signed_turn=None)
        return (
            "somebody forgotten"
            if lesson["signed_by_id"] is None
            else _name(connection, lesson["signed_by_id"])
        )


def unsigned(connection: Connection, number: int, seen: Seen | None = None) -> dict[str, Any]:
    """Return the row of a lesson that may be changed, and is still what was seen of it."""
    lesson = lesson_row(connection, number)
    unchanged(connection, lesson, seen)
    if lesson["signed_at"] is not None:
        raise SignedError(number, lesson["signed_at"][:10])
    return lesson


def _taught(connection: Connection, lesson: dict[str, Any], instructor: str | None) -> dict[str, Any]:
    """Return a lesson's row, of which somebody became the instructor where it had none."""
    if instructor is None or lesson["instructor_id"] is not None:
        return lesson
    change(
        connection, schema.lesson, lesson, instructor_id=person_called(connection, instructor, "instructor")
    )
    return lesson_row(connection, lesson["number"])


def _who(connection: Connection, lesson: dict[str, Any], instructor: str | None) -> str:
    if instructor is not None:
        return str(known(connection, schema.person, instructor)["id"])
    if lesson["instructor_id"] is None:
        raise UsageError("who says so is not known", "--instructor", "give the instructor's name")
    return str(lesson["instructor_id"])


def _name(connection: Connection, person_id: str) -> str:
    return str(rows(connection, schema.person, schema.person.c.id == person_id)[0]["name"])


def _take_out(
    connection: Connection, lesson: dict[str, Any], flown: ManeuverFlown, element: ElementFlown
) -> bool:
    """Take out the own verdict on an element; return whether there was one."""
    own = own_verdicts(connection, [lesson["id"]])[lesson["id"]]
    there = placed(own, _starts(connection, lesson)).get((flown.start, element.code, element.quantity))
    if there is not None:
        remove(connection, schema.own_verdict, schema.own_verdict.c.id == there["id"])
    return there is not None


def _starts(connection: Connection, lesson: dict[str, Any]) -> list[tuple[str, str]]:
    return [(one.kind, one.start) for one in _flown(connection, lesson)]


def _flown(connection: Connection, lesson: dict[str, Any]) -> tuple[ManeuverFlown, ...]:
    return maneuvers_of(connection, in_force(connection, [lesson])).get(lesson["id"], ())


def _element(connection: Connection, lesson: dict[str, Any], named: str, maneuver: int | None) -> Place:
    """Return the one element that was meant."""
    flown = _flown(connection, lesson)
    if maneuver is not None and maneuver not in [one.number for one in flown]:
        raise UsageError(
            f"lesson {lesson['number']} has {counted(len(flown), 'maneuver')}",
            "--maneuver",
            "give the number of one",
        )
    code, _, quantity = named.strip().partition(":")
    every = [(one, element) for one in flown if maneuver in (None, one.number) for element in one.elements]
    meant = [
        (one, element)
        for one, element in every
        if element.code.casefold() == code.casefold() and quantity in ("", element.quantity)
    ]
    if len(meant) == 1:
        return meant[0]
    if not meant:
        codes = ", ".join(dict.fromkeys(called(one, element) for one, element in every)) or "none"
        raise UsageError("there is no such element in this lesson", named, f"it has {codes}")
    if len({one.number for one, _ in meant}) > 1:
        numbers = ", ".join(str(number) for number in sorted({one.number for one, _ in meant}))
        raise UsageError(f"maneuvers {numbers} all have it", named, "say which with --maneuver N")
    which = ", ".join(f"{element.code}:{element.quantity}" for _, element in meant)
    raise UsageError("several elements have this code", named, f"say which: {which}")


def called(flown: ManeuverFlown, element: ElementFlown) -> str:
    """Return what an element is called on the command line: its code, with the quantity where it must be."""
    alone = sum(other.code == element.code for other in flown.elements) == 1
    return element.code if alone or not element.quantity else f"{element.code}:{element.quantity}"
