"""A folder taken into a record: all of it or nothing, in one transaction."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import msgspec
from sqlalchemy import Connection, Table, select

from groundref.errors import InputError
from groundref.record import schema
from groundref.record.asked import Asked, Stretch
from groundref.record.folder.gather import TEXTS
from groundref.record.folder.known import Known, known_of
from groundref.record.folder.read import Brought, figures_in
from groundref.record.folder.same import mapped, signature_of
from groundref.record.folder.shape import Lesson, OwnVerdict, Result
from groundref.record.moments import now
from groundref.record.results import put_figures
from groundref.record.sealed import put, put_content, rows_with
from groundref.record.store import Record

KEEP_OWN: Final = "--keep-own"
Step = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class TakenLesson:
    """What became of a lesson of the folder.

    Attributes
    ----------
    in_folder, number
        Its number there and here.
    what
        `new`; `known`, where the record held it already; `kept`, where the folder says something else about
        it and the record's own stayed.
    """

    in_folder: int
    number: int
    what: str


@dataclass(frozen=True, slots=True)
class Taken:
    """What was taken into the record.

    Attributes
    ----------
    lessons
        Each of the folder's.
    people, airplanes, sites, recordings
        How many are new here.
    differing
        What stands in the folder otherwise, or only there, and was left.
    """

    lessons: tuple[TakenLesson, ...]
    people: int
    airplanes: int
    sites: int
    recordings: int
    differing: tuple[str, ...]


def take(
    record: Record, brought: Brought, *, keep_own: bool = False, step: Step = lambda done, of: None
) -> Taken:
    """Take a folder that was read into a record.

    Parameters
    ----------
    record
        Empty or not.
    brought
        The folder.
    keep_own
        Leave the record as it is where the folder says something else, and take the rest.
    step
        Told how many lessons of how many are written.

    Raises
    ------
    InputError
        When the record says something else and ``keep_own`` is not said; nothing was changed then.
    RecordError
        When the record cannot be written; nothing was changed then.
    """
    with record.writing() as connection:
        known = known_of(connection, brought)
        if known.differing and not keep_own:
            raise _refused(known.differing, brought.folder)
        return _Taking(connection, brought, known).all(step)


def _refused(differing: list[str], folder: Path) -> InputError:
    more = f", and {len(differing) - 1} more differ" if len(differing) > 1 else ""
    return InputError(
        f"{differing[0]}{more}",
        str(folder),
        f"nothing was changed; {KEEP_OWN} leaves what the record says and takes the rest",
    )


class _Taking:
    """One folder on its way into the record."""

    def __init__(self, connection: Connection, brought: Brought, known: Known) -> None:
        self._connection = connection
        self._brought = brought
        self._ids = known.ids
        self._known = known
        self._document = brought.document
        self._new = [one for one in self._document.lessons if one.id not in known.lessons]

    def all(self, step: Step) -> Taken:
        self._check_ids()
        people = self._put(schema.person, self._people())
        airplanes = self._put(schema.airplane, self._airplanes())
        sites = self._put(schema.site, self._sites())
        recordings = self._put(schema.recording, self._recordings())
        numbers = self._numbers()
        for done, lesson in enumerate(self._new, start=1):
            self._lesson(lesson, numbers[lesson.id])
            step(done, len(self._new))
        return Taken(
            lessons=tuple(self._became(one, numbers) for one in self._document.lessons),
            people=people,
            airplanes=airplanes,
            sites=sites,
            recordings=recordings,
            differing=tuple(self._known.differing),
        )

    def _put(self, table: Table, rows: list[dict[str, Any]]) -> int:
        return len(put(self._connection, table, rows))

    def _became(self, lesson: Lesson, numbers: dict[str, int]) -> TakenLesson:
        if lesson.id in numbers:
            return TakenLesson(lesson.number, numbers[lesson.id], "new")
        what = "kept" if lesson.id in self._known.kept else "known"
        return TakenLesson(lesson.number, self._known.lessons[lesson.id].number, what)

    def _check_ids(self) -> None:
        """Refuse a folder put together by hand, in which a new lesson has something of an old one."""
        for table, ids in (
            (schema.part, [part.id for one in self._new for part in one.parts]),
            (schema.result, [result.id for one in self._new for result in one.results]),
            (schema.own_verdict, [own.id for one in self._new for own in one.own_verdicts]),
            (schema.recording, [each["id"] for each in self._recordings()]),
        ):
            for row in rows_with(self._connection, table, "id", ids):
                noun = table.name.replace("_", " ")
                raise InputError(
                    f"the {noun} {row['id']} is another in the record",
                    str(self._brought.folder),
                    "export the folder anew",
                )

    def _numbers(self) -> dict[str, int]:
        """Return the new lessons' numbers here: their own, or the next free one where that is taken."""
        taken = set(self._connection.execute(select(schema.lesson.c.number)).scalars())
        last = max([*taken, *(one.number for one in self._document.lessons)], default=0)
        numbers: dict[str, int] = {}
        for one in self._new:
            if one.number in taken:
                last += 1
            numbers[one.id] = last if one.number in taken else one.number
        return numbers

    def _wanted(self, theirs: Any, *names: str) -> list[Any]:
        """Return what is new here and needed by a new lesson, or by no lesson at all.

        What only lessons need that the record knows is left: the record has its own for it, or has
        forgotten it.
        """
        every, new = self._named(self._document.lessons, names), self._named(self._new, names)
        return [one for one in theirs if one.id not in self._ids and (one.id in new or one.id not in every)]

    def _named(self, lessons: Any, names: tuple[str, ...]) -> set[str | None]:
        named = {getattr(one, name) for one in lessons for name in names}
        if "student_id" in names:
            named |= {own.person_id for one in lessons for own in one.own_verdicts}
            named |= {one.signature.person_id for one in lessons if one.signature}
        return named

    def _people(self) -> list[dict[str, Any]]:
        wanted = self._wanted(self._document.people, "student_id", "instructor_id")
        return [{"id": one.id, "name": one.name, "added": one.added or now()} for one in wanted]

    def _airplanes(self) -> list[dict[str, Any]]:
        texts = self._brought.texts
        return [
            {"id": one.id, "name": one.name, "document": texts[one.document.sha256]}
            for one in self._wanted(self._document.airplanes, "airplane_id")
        ]

    def _sites(self) -> list[dict[str, Any]]:
        return [
            {name: getattr(one, name) for name in ("id", "name", "type", "ground_ft", "remarks")}
            | {"places": msgspec.json.encode(one.places_deg).decode()}
            for one in self._wanted(self._document.sites, "site_id")
        ]

    def _recordings(self) -> list[dict[str, Any]]:
        needed = {part.recording_id for one in self._new for part in one.parts}
        return [
            {"id": one.id, "name": one.name, "altered": one.altered}
            | {"sha256": one.brought_sha256, "content_id": self._content(one.content.sha256)}
            for one in self._document.recordings
            if one.id in needed and one.id not in self._ids
        ]

    def _content(self, name: str) -> str:
        return put_content(self._connection, self._brought.spool.packed(name))

    def _lesson(self, one: Lesson, number: int) -> None:
        signed = signature_of(one, self._ids)
        row = {
            **{name: getattr(one, name) for name in ("id", "date", "start", "end", "remarks", "added")},
            **{
                name: mapped(getattr(one, name), self._ids)
                for name in ("student_id", "instructor_id", "airplane_id", "site_id")
            },
            "number": number,
            "plan_id": None if one.plan is None else self._content(one.plan.sha256),
            "asked": self._asked(one),
            "signed_by_id": None if signed is None else signed.person_id,
            "signed_at": None if signed is None else signed.at,
            "signed_turn": None if signed is None else signed.turn,
        }
        self._put(schema.lesson, [row])
        parts = [
            {"id": part.id, "lesson_id": one.id, "place": part.place}
            | {"recording_id": mapped(part.recording_id, self._ids)}
            for part in one.parts
        ]
        self._put(schema.part, parts)
        for result in one.results:
            self._result(one.id, result)
        self._put(schema.own_verdict, [self._verdict(one.id, own) for own in one.own_verdicts])

    def _asked(self, lesson: Lesson) -> str:
        asked = {name: getattr(lesson.asked, name) for name in lesson.asked.__struct_fields__}
        for what in TEXTS:
            if asked[what] is not None:
                asked[what] = self._brought.texts[asked[what].sha256]
        asked["said"] = tuple(Stretch(each.start, each.end, each.kind) for each in lesson.asked.said)
        return Asked(**asked).to_json()

    def _result(self, lesson_id: str, result: Result) -> None:
        name = result.debrief.sha256
        row = {
            **{each: getattr(result, each) for each in ("id", "turn", "version", "computed", "standard")},
            "lesson_id": lesson_id,
            "document_id": self._content(name),
        }
        self._put(schema.result, [row])
        debrief = self._brought.spool.content(name)
        put_figures(self._connection, result.id, figures_in(debrief, result.debrief.file))

    def _verdict(self, lesson_id: str, own: OwnVerdict) -> dict[str, Any]:
        said = {name: getattr(own, name) for name in own.__struct_fields__}
        return {**said, "lesson_id": lesson_id, "person_id": mapped(own.person_id, self._ids)}
