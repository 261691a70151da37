"""Whether `record.json` fits together: what a schema cannot say."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator
from datetime import date, datetime

from groundref.errors import InputError
from groundref.record.folder.files import AGAIN
from groundref.record.folder.shape import Document, File, Lesson
from groundref.record.sites import COUNTS


def check(document: Document, where: str) -> None:
    """Refuse what does not fit together.

    Parameters
    ----------
    document
        As it was read.
    where
        Name of the file, for messages.

    Raises
    ------
    InputError
        In one sentence: two things of one name, a reference that leads nowhere, a day that is none.
    """
    for what in _flaws(document):
        raise InputError(what, where, AGAIN)


def files_of(lesson: Lesson) -> Iterator[File]:
    """Yield the files that a lesson names itself."""
    yield from (result.debrief for result in lesson.results)
    named = (lesson.plan, lesson.asked.standard, lesson.asked.airplane, lesson.asked.columns)
    yield from (file for file in named if file is not None)


def _flaws(document: Document) -> Iterator[str]:
    if (document.holds == "student") != (document.student_id is not None):
        yield f"it holds a {document.holds} and has {document.student_id!r} for its student"
    lessons = document.lessons
    for noun, ids in (
        ("people", [one.id for one in document.people]),
        ("airplanes", [one.id for one in document.airplanes]),
        ("sites", [one.id for one in document.sites]),
        ("recordings", [one.id for one in document.recordings]),
        ("lessons", [one.id for one in lessons]),
        ("parts", [part.id for one in lessons for part in one.parts]),
        ("results", [result.id for one in lessons for result in one.results]),
        ("own verdicts", [verdict.id for one in lessons for verdict in one.own_verdicts]),
    ):
        yield from _twice(ids, f"two {noun} have the id")
    yield from _twice((one.number for one in lessons), "two lessons have the number")
    yield from _twice((one.brought_sha256 for one in document.recordings), "two recordings have the digest")
    yield from _names(document)
    yield from _references(document)
    for lesson in lessons:
        yield from (f"lesson {lesson.number}: {what}" for what in _lesson(lesson))
    yield from _files(document)


def _twice(values: Iterable[Hashable], what: str) -> Iterator[str]:
    seen: set[Hashable] = set()
    for value in values:
        if value in seen:
            yield f"{what} {value}"
        seen.add(value)


def _names(document: Document) -> Iterator[str]:
    yield from _twice((one.name for one in document.people), "two people are called")
    yield from _twice((one.name for one in document.airplanes), "two airplanes are called")
    yield from _twice((one.name for one in document.sites), "two sites are called")
    for name in [one.name for one in document.people] + [one.name for one in document.sites]:
        if name != " ".join(name.split()) or not name.isprintable():
            yield f"{name!r} is no name"
    for site in document.sites:
        if len(site.places_deg) != COUNTS[site.type]:
            yield f"the site {site.name} is a {site.type} of {len(site.places_deg)} places"


def _references(document: Document) -> Iterator[str]:
    people = {None, *(one.id for one in document.people)}
    airplanes = {None, *(one.id for one in document.airplanes)}
    sites = {None, *(one.id for one in document.sites)}
    recordings = {one.id for one in document.recordings}
    used = {part.recording_id for lesson in document.lessons for part in lesson.parts}
    for lesson in document.lessons:
        named = {lesson.student_id, lesson.instructor_id, *(each.person_id for each in lesson.own_verdicts)}
        named |= {lesson.signature.person_id} if lesson.signature else set()
        for noun, wanted, there in (
            ("person", named, people),
            ("airplane", {lesson.airplane_id}, airplanes),
            ("site", {lesson.site_id}, sites),
            ("recording", {part.recording_id for part in lesson.parts}, recordings),
        ):
            for missing in wanted - there:
                yield f"lesson {lesson.number} names the {noun} {missing}, which is not there"
    if document.student_id not in people:
        yield f"its student is the person {document.student_id}, who is not there"
    for lost in sorted(recordings - used):
        yield f"the recording {lost} belongs to no lesson"


def _lesson(lesson: Lesson) -> Iterator[str]:
    yield from _twice((part.place for part in lesson.parts), "two parts have the place")
    yield from _twice((result.turn for result in lesson.results), "two results have the turn")
    yield from _twice(
        ((own.maneuver_start, own.code, own.quantity) for own in lesson.own_verdicts),
        "there are two own verdicts on",
    )
    if not _is_day(lesson.date):
        yield f"{lesson.date} is no day"
    moments = [lesson.start, lesson.end, lesson.added, *(result.computed for result in lesson.results)]
    moments += [own.given for own in lesson.own_verdicts]
    if lesson.signature is not None and lesson.signature.at is not None:
        moments.append(lesson.signature.at)
    yield from (f"{moment} is no time" for moment in moments if not _is_moment(moment))


def _files(document: Document) -> Iterator[str]:
    """One path is one file: not two of different digests."""
    digests: dict[str, str] = {}
    named = [one.content for one in document.recordings] + [one.document for one in document.airplanes]
    for file in (*named, *(file for lesson in document.lessons for file in files_of(lesson))):
        if digests.setdefault(file.file, file.sha256) != file.sha256:
            yield f"{file.file} is named twice with different digests"


def _is_day(text: str) -> bool:
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True


def _is_moment(text: str) -> bool:
    try:
        datetime.fromisoformat(text)
    except ValueError:
        return False
    return True
