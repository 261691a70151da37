"""What a folder says of a lesson that the record has too, and would be lost by leaving the record alone."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from groundref.record.folder.shape import File, Lesson, OwnVerdict, Signature

Ids = Mapping[str, str]  # in the record, by that in the folder
_REFERENCES: Final = ("student", "instructor", "airplane", "site")


def lost(theirs: Lesson, ours: Lesson, ids: Ids) -> list[str]:
    """Return what of a lesson stands only in the folder, or stands there otherwise, in words.

    What the folder does not say is no contradiction. Where both are one lesson, their debriefs are compared
    too; where the same flight was put into two records, each has debriefs of its own of the same recording.

    Parameters
    ----------
    theirs
        In the folder.
    ours
        In the record.
    ids
        By which people, airplanes, sites and recordings of the folder go in the record.
    """
    return [*_said(theirs, ours, ids), *(_worked_out(theirs, ours) if theirs.id == ours.id else ())]


def mapped(identity: str | None, ids: Ids) -> str | None:
    """Return by what id something of the folder goes in the record."""
    return None if identity is None else ids.get(identity, identity)


def signature_of(lesson: Lesson, ids: Ids) -> Signature | None:
    """Return a lesson's signature as the record would have it."""
    signed = lesson.signature
    return None if signed is None else Signature(mapped(signed.person_id, ids), signed.at, signed.turn)


def _said(theirs: Lesson, ours: Lesson, ids: Ids) -> Iterator[str]:
    """Yield what differs of what people said, and whether the recordings do."""
    for noun in _REFERENCES:
        wanted = mapped(getattr(theirs, f"{noun}_id"), ids)
        if wanted not in (None, getattr(ours, f"{noun}_id")):
            yield noun
    if theirs.plan is not None and _digest(theirs.plan) != _digest(ours.plan):
        yield "plan"
    if theirs.remarks not in ("", ours.remarks):
        yield "remarks"
    signature = signature_of(theirs, ids)
    if signature is not None and signature != ours.signature:
        yield "signature"
    if [mapped(part.recording_id, ids) for part in theirs.parts] != [p.recording_id for p in ours.parts]:
        yield "recordings"
    alike = theirs.id == ours.id
    given = {_verdict(each, {}, alike) for each in ours.own_verdicts}
    if not {_verdict(each, ids, alike) for each in theirs.own_verdicts} <= given:
        yield "own verdicts"


def _worked_out(theirs: Lesson, ours: Lesson) -> Iterator[str]:
    if (theirs.date, theirs.start, theirs.end) != (ours.date, ours.start, ours.end):
        yield "times"
    if _asked(theirs) != _asked(ours):
        yield "how it is debriefed"
    if not _results(theirs) <= _results(ours):
        yield "debriefs"


def _digest(file: File | None) -> str | None:
    return None if file is None else file.sha256


def _verdict(own: OwnVerdict, ids: Ids, alike: bool) -> tuple[Any, ...]:
    """Return what an own verdict says; of another lesson's also without the moment it was given."""
    said = (own.maneuver_start, own.kind, own.code, own.quantity, own.verdict, own.reason)
    return (*said, mapped(own.person_id, ids), own.given if alike else None)


def _asked(lesson: Lesson) -> dict[str, Any]:
    asked = {name: getattr(lesson.asked, name) for name in lesson.asked.__struct_fields__}
    return {name: _digest(value) if isinstance(value, File) else value for name, value in asked.items()}


def _results(lesson: Lesson) -> set[tuple[Any, ...]]:
    return {
        (each.turn, each.version, each.computed, each.standard, each.debrief.sha256)
        for each in lesson.results
    }
