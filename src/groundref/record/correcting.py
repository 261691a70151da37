"""A lesson put right by hand: who was in it, and how its debrief is asked for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection

from groundref.errors import ChangedMeanwhileError
from groundref.record import schema
from groundref.record.asked import Asked, asked_in
from groundref.record.deciding import unsigned
from groundref.record.lessons import lesson_row
from groundref.record.names import Newcomer, known, newcomers, person_called
from groundref.record.recomputing import Recomputed, keep_anew
from groundref.record.results import put_result
from groundref.record.sealed import change, drop_if_unused, pack, put_content
from groundref.record.sites import at_site, site_called, site_of, without_site
from groundref.record.standing import DEBRIEF, Seen
from groundref.record.store import Record

Who = Mapping[str, str | None]  # `student`, `instructor`, `site`: names, None for nobody and nowhere


@dataclass(frozen=True, slots=True)
class Anew:
    """A debrief that was worked out for another site.

    Attributes
    ----------
    asked
        How it was asked for.
    document
        Its JSON.
    version
        Of the program.
    """

    asked: Asked
    document: bytes
    version: str


@dataclass(frozen=True, slots=True)
class PutRight:
    """A lesson whose people or site were put right.

    Attributes
    ----------
    newcomers
        Who is new in the record.
    debrief
        The debrief at the other site; None where that changes nothing of how it is asked for.
    """

    newcomers: tuple[Newcomer, ...]
    debrief: Recomputed | None


def asked_at(connection: Connection, number: int, site: str | None) -> tuple[Asked, Asked]:
    """Return how a lesson's debrief is asked for, and how it would be at another site.

    What the lesson has of its site gives way to what the other says; a place or a ground that was given with
    the lesson itself stays.

    Parameters
    ----------
    connection
        In a transaction.
    number
        Of the lesson.
    site
        Name of the other site; None for none.

    Raises
    ------
    RecordError
        When there is no such lesson or site.
    """
    return _asked_at(connection, lesson_row(connection, number), site)


def _asked_at(connection: Connection, lesson: dict[str, Any], site: str | None) -> tuple[Asked, Asked]:
    asked = asked_in(lesson["asked"])
    there = None if site is None else site_called(connection, site)
    before = None if lesson["site_id"] is None else site_of(connection, lesson["site_id"])
    if there == before:
        return asked, asked
    after = asked if before is None else without_site(asked, before)
    return asked, after if there is None else at_site(after, there)


def say_who(
    record: Record, number: int, who: Who, anew: Anew | None = None, seen: Seen | None = None
) -> PutRight:
    """Write who flew a lesson, who gave it and where, in one transaction.

    People who are new are put into the record. At another site, where ``asked_at`` says that the debrief is
    asked for otherwise, the new debrief is kept beside those before it and counts.

    Parameters
    ----------
    record
        The record.
    number
        Of the lesson.
    who
        What is to be put right; what is not in it stays as it is.
    anew
        The debrief as it is asked for at another site.
    seen
        What this was said upon; see ``standing.unchanged``.

    Raises
    ------
    RecordError
        When there is no such lesson or site, or the lesson or the site changed since the debrief was worked
        out; nothing was written then.
    UsageError
        When it is signed, or what is given is no name.
    """
    packed = None if anew is None else pack(anew.document)
    with record.writing() as connection:
        lesson = unsigned(connection, number, seen)
        after = asked = asked_in(lesson["asked"])
        said: dict[str, str | None] = {}
        new = newcomers(connection, [who[role] for role in ("student", "instructor") if role in who])
        for role in ("student", "instructor"):
            if role in who:
                said[f"{role}_id"] = person_called(connection, who[role], role)
        if "site" in who:
            site = who["site"]
            said["site_id"] = None if site is None else known(connection, schema.site, site)["id"]
            asked, after = _asked_at(connection, lesson, site)
        if after != (asked if anew is None else anew.asked):
            raise ChangedMeanwhileError(number, (DEBRIEF,))
        change(connection, schema.lesson, lesson, **said, asked=after.to_json())
        if anew is None or packed is None:
            return PutRight(new, None)
        return PutRight(new, keep_anew(connection, lesson, anew.document, packed, anew.version))


def correct(
    record: Record, number: int, asked: Asked, document: bytes, version: str, seen: Seen | None = None
) -> int:
    """Keep another way in which a lesson's debrief is asked for, and what came of it beside those before.

    Parameters
    ----------
    record
        The record.
    number
        Of the lesson.
    asked
        How the debrief is asked for from now on.
    document
        The debrief's JSON, asked for so.
    version
        Of the program that worked it out.
    seen
        What was corrected; see ``standing.unchanged``.

    Returns
    -------
    int
        The new result's number.

    Raises
    ------
    RecordError
        When there is no such lesson, or it was changed meanwhile.
    UsageError
        When it is signed.
    """
    packed = pack(document)
    with record.writing() as connection:
        lesson = unsigned(connection, number, seen)
        change(connection, schema.lesson, lesson, asked=asked.to_json())
        return put_result(connection, lesson["id"], document, packed, version)


def keep_plan(
    record: Record, number: int, plan: bytes | None, document: bytes, version: str, seen: Seen | None = None
) -> int:
    """Keep a plan with a lesson, None for none, and the debrief with the plan set against it.

    The plan before is kept no longer; the debrief by it stays among those of the lesson. Parameters and
    errors are those of ``correct``, but for the plan's JSON.
    """
    packed, of_plan = pack(document), None if plan is None else pack(plan)
    with record.writing() as connection:
        lesson = unsigned(connection, number, seen)
        plan_id = None if of_plan is None else put_content(connection, of_plan)
        change(connection, schema.lesson, lesson, plan_id=plan_id)
        drop_if_unused(connection, lesson["plan_id"])
        return put_result(connection, lesson["id"], document, packed, version)
