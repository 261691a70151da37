"""Two maneuvers of one kind side by side, in the figures that the record keeps."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from sqlalchemy import Connection

from groundref.assessment.said import WORDS
from groundref.detection import named
from groundref.errors import UsageError
from groundref.progress.flown import ElementFlown, LessonFlown, ManeuverFlown
from groundref.progress.scaled import by_element
from groundref.record.lessons import LessonShown, flown_by
from groundref.reports import kept, verdicts, words
from groundref.reports.cells import Cell
from groundref.reports.verdict_words import VerdictWord, decided, meanings

NOTHING: Final = "–"
Pair = tuple[ElementFlown | None, ElementFlown | None]
_NAMED: Final = re.compile(r"([1-9]\d{0,8})\.([1-9]\d{0,3})")


@dataclass(frozen=True, slots=True)
class Side:
    """One of the two.

    Attributes
    ----------
    lesson
        With everything that was concluded about it.
    flown
        The maneuver of it.
    said
        Its findings, in the JSON.
    document
        The lesson's debrief.
    called
        What it is called where both are of one lesson; empty where the lesson says it.
    """

    lesson: LessonShown
    flown: ManeuverFlown
    said: tuple[Mapping[str, Any], ...]
    document: Mapping[str, Any]
    called: str = ""

    @property
    def title(self) -> str:
        """The lesson, and which of its maneuvers where it has several; or as it is called."""
        if self.called:
            return self.called
        row, several = self.lesson.row, len(self.lesson.maneuvers) > 1
        tried = ", flown on the ground" if row.on_the_ground else ""
        return f"Lesson {row.number}{f', maneuver {self.flown.number}' if several else ''}{tried}"

    @property
    def findings(self) -> list[str]:
        """What to talk about, in sentences in the reader's units."""
        return [kept.said(each, "says") for each in self.said]

    @property
    def place(self) -> str:
        """Where on the site it is shown whole."""
        return f"/lessons/{self.lesson.row.number}#m{self.flown.number}"


@dataclass(frozen=True, slots=True)
class Told:
    """A verdict, and what to say of it."""

    word: VerdictWord
    says: str


@dataclass(frozen=True, slots=True)
class Beside:
    """A row of the table: what, and each of the two with its verdict; None for none."""

    what: str
    cells: tuple[Cell, Cell]
    verdicts: tuple[Told | None, Told | None] = (None, None)


def which(text: str, field: str) -> tuple[int, int]:
    """Return lesson and maneuver that an address names, such as `3.1`.

    Raises
    ------
    UsageError
        When it names none.
    """
    found = _NAMED.fullmatch(text)
    if not found:
        raise UsageError(f"{text!r} names no maneuver", field, "write lesson.maneuver, such as 3.1")
    return int(found[1]), int(found[2])


def side(lesson: LessonShown, number: int, document: Mapping[str, Any]) -> Side:
    """Return one of the two.

    Parameters
    ----------
    lesson
        The lesson.
    number
        Of the maneuver.
    document
        The lesson's debrief.

    Raises
    ------
    UsageError
        When the lesson has no such maneuver.
    """
    flown = next((one for one in lesson.maneuvers if one.number == number), None)
    if flown is None:
        raise UsageError(
            f"lesson {lesson.row.number} has no maneuver {number}", remedy="choose one of those on its page"
        )
    said = document["maneuvers"][number - 1]["findings"]
    return Side(lesson, flown, tuple(said), document)


def conditions(first: Side, second: Side) -> list[Beside]:
    """Return what both were flown in, and how large."""
    days = Cell(first.lesson.row.date), Cell(second.lesson.row.date)
    return [
        Beside("flown", days),
        Beside("student", (_student(first), _student(second))),
        *wind_and_size(first, second),
    ]


def wind_and_size(first: Side, second: Side) -> list[Beside]:
    """Return which way both turned, in which wind, and how large."""
    a, b = first.flown, second.flown
    return [
        Beside("turned", (Cell(_turned(a)), Cell(_turned(b)))),
        Beside("wind", (_wind(a), _wind(b))),
        Beside("true airspeed", (_airspeed(a), _airspeed(b))),
        Beside("mean radius", (_radius(a), _radius(b))),
    ]


def elements(first: Side, second: Side) -> list[Beside]:
    """Return the elements of the standard, each as it was flown in both."""
    return [
        Beside(
            what,
            (_worst(pair[0]), _worst(pair[1])),
            (_told(pair[0]), _told(pair[1])),
        )
        for what, pair in paired(first, second)
    ]


def meant(rows: Sequence[Beside]) -> list[VerdictWord]:
    """Return the verdicts that stand in rows, each once, to say what they mean."""
    return meanings(one.word.mark for row in rows for one in row.verdicts if one is not None)


def paired(first: Side, second: Side) -> list[tuple[str, Pair]]:
    """Return each element of the standard in words, with what was flown of it in both."""
    flown = [
        (LessonFlown(n, one.lesson.row.date, "", (one.flown,)), (one.flown,))
        for n, one in enumerate((first, second), start=1)
    ]
    pairs: list[tuple[str, Pair]] = []
    for figures in by_element(flown):
        at = {figure.at: figure.element for figure in figures}
        pairs.append((figures[-1].element.what, (at.get(1), at.get(2))))
    return pairs


def offered(connection: Connection, lesson: LessonShown) -> tuple[LessonFlown, ...]:
    """Return all lessons of whoever flew this one, earliest first; itself where nobody is named."""
    row = lesson.row
    if row.student is None:
        return (LessonFlown(row.number, row.date, "", lesson.maneuvers, row.on_the_ground),)
    return flown_by(connection, row.student)[1]


def beside(connection: Connection, lesson: LessonShown) -> frozenset[int]:
    """Return the numbers of a lesson's maneuvers that have another to be set beside."""
    lessons = offered(connection, lesson)
    return frozenset(flown.number for flown in lesson.maneuvers if others(lessons, lesson.row.number, flown))


def others(lessons: Sequence[LessonFlown], lesson: int, flown: ManeuverFlown) -> list[tuple[str, str]]:
    """Return name and words of what a maneuver may be set beside, the latest flown first.

    Parameters
    ----------
    lessons
        Earliest first.
    lesson, flown
        The maneuver, and the lesson it is of.
    """
    return [
        (
            f"{one.number}.{each.number}",
            f"lesson {one.number}, {_tried(one)}{one.date}, {each.start[11:16]} UTC: {_turned(each)}, wind "
            f"{words.size(each.wind_kt, None, 'kt', whole=True)}",
        )
        for one in reversed(lessons)
        for each in one.maneuvers
        if each.kind == flown.kind and (one.number, each.number) != (lesson, flown.number)
    ]


def _tried(one: LessonFlown) -> str:
    return "flown on the ground, " if one.on_the_ground else ""


def same_kind(first: Side, second: Side) -> None:
    """Refuse to compare what cannot be compared.

    Raises
    ------
    UsageError
        When the two are not of one kind.
    """
    kinds = first.flown.kind, second.flown.kind
    if kinds[0] != kinds[1]:
        one, other = (named.in_sentence(kind) for kind in kinds)
        raise UsageError(f"{one} and {other} are not compared", remedy="choose two of one kind")


def _student(one: Side) -> Cell:
    return Cell(one.lesson.row.student or "nobody named")


def _turned(one: ManeuverFlown) -> str:
    way = "both ways" if one.direction == "both" else f"to the {one.direction}"
    return f"{way}, {words.count(one.laps, WORDS[one.kind].lap)}"


def _wind(one: ManeuverFlown) -> Cell:
    if one.wind_kt is None or one.wind_from_deg is None:
        return Cell(words.CANNOT_TELL)
    speed = words.size(one.wind_kt, one.wind_sd_kt, "kt", whole=True)
    return Cell(f"{round(one.wind_from_deg) % 360 or 360:03d}°, {speed}")


def _airspeed(one: ManeuverFlown) -> Cell:
    return verdicts.sized(one.tas_kt, None, "kt", judged=True)


def _radius(one: ManeuverFlown) -> Cell:
    return Cell(NOTHING) if one.radius_ft is None else verdicts.sized(one.radius_ft, one.radius_sd_ft, "ft")


def _worst(one: ElementFlown | None) -> Cell:
    if one is None or one.worst is None:
        return Cell(NOTHING)
    return verdicts.sized(one.worst, one.worst_sd, one.unit)


def told(one: ElementFlown) -> Told:
    """Return the verdict on an element that counts, with whose it is where it is the instructor's."""
    word = decided(one, one.own)
    return Told(word, f"{word.says}{'' if one.own is None else ', says the instructor'}")


def _told(one: ElementFlown | None) -> Told | None:
    return None if one is None else told(one)
