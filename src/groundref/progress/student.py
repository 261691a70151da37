"""A student's progress, told from lessons: the one way from figures to what is said of them."""

from __future__ import annotations

from collections.abc import Sequence

from groundref.progress import contrasts
from groundref.progress.evidence import evidence
from groundref.progress.flown import LessonFlown, ManeuverFlown
from groundref.progress.lasting import faults, last_three
from groundref.progress.rows import grouped, recent
from groundref.progress.scaled import asked_of, by_element, name_of, quantity_of
from groundref.progress.told import Contrast, ElementProgress, Figure, ManeuverProgress, Progress, Trend
from groundref.progress.trends import trends

Lessons = list[tuple[LessonFlown, list[ManeuverFlown]]]


def progress(name: str, lessons: Sequence[LessonFlown]) -> Progress:
    """Return how a student's flying changes over some lessons.

    Parameters
    ----------
    name
        The student's, as it is to be printed.
    lessons
        In any order; they are told by their days, those of one day by their numbers.
        Tries on the ground are counted and left out of all else.
    """
    flown = [lesson for lesson in lessons if not lesson.on_the_ground]
    ordered = sorted(flown, key=lambda lesson: (lesson.date, lesson.number))
    kinds = _by_kind(ordered)
    every = [(kind, series) for kind, of_kind in kinds.items() for series in by_element(of_kind)]
    figures = [series for _, series in every]
    asked = [asked_of(series[-1].element) for series in figures]
    of_late = [recent(series) for series in figures]
    found, a_lesson = _trends(of_late, asked)
    turns, wind = (ask(of_late, asked, a_lesson) for ask in (contrasts.turns, contrasts.wind))
    told = [
        (kind, _element(series, limit, trend, left, windy))
        for (kind, series), limit, trend, left, windy in zip(every, asked, found, turns, wind, strict=True)
    ]
    maneuvers = [
        _maneuver(kind, of_kind, tuple(one for of, one in told if of == kind))
        for kind, of_kind in kinds.items()
    ]
    maneuvers.sort(key=lambda one: (-len(one.dates), one.kind))
    dates = [lesson.date for lesson in ordered]
    ends = (dates[0], dates[-1]) if dates else ("", "")
    return Progress(name, len(ordered), *ends, tuple(maneuvers), len(lessons) - len(flown))


def _by_kind(lessons: Sequence[LessonFlown]) -> dict[str, Lessons]:
    """Return by kind of maneuver the lessons in which it was flown."""
    kinds: dict[str, Lessons] = {}
    for lesson in lessons:
        own: dict[str, list[ManeuverFlown]] = {}
        for maneuver in lesson.maneuvers:
            own.setdefault(maneuver.kind, []).append(maneuver)
        for kind, flown in own.items():
            kinds.setdefault(kind, []).append((lesson, flown))
    return kinds


def _trends(
    figures: Sequence[Sequence[Figure]], asked: Sequence[float | None]
) -> tuple[list[Trend | None], float]:
    """Return the trend of each element, None where there is none to be told, and how large they are."""
    rows = [grouped(each) for each in figures]
    some = [n for n, limit in enumerate(asked) if limit is not None and len(rows[n]) > 1]
    told, a_lesson = trends([rows[n] for n in some], [limit for n in some if (limit := asked[n]) is not None])
    found: list[Trend | None] = [None] * len(rows)
    for n, trend in zip(some, told, strict=True):
        found[n] = trend
    return found, a_lesson


def _element(
    figures: Sequence[Figure],
    asked: float | None,
    trend: Trend | None,
    turns: Contrast,
    wind: Contrast,
) -> ElementProgress:
    latest = figures[-1].element
    return ElementProgress(
        name=name_of(figures),
        code=latest.code,
        what=latest.what,
        quantity=quantity_of(figures),
        unit=latest.unit,
        basis=latest.basis,
        limit=latest.limit,
        minimum=latest.minimum,
        target=latest.target,
        asked=asked,
        figures=tuple(figures),
        trend=trend,
        turns=turns,
        wind=wind,
        last_three=last_three(figures),
    )


def _maneuver(kind: str, lessons: Lessons, elements: tuple[ElementProgress, ...]) -> ManeuverProgress:
    every = [maneuver for _, maneuvers in lessons for maneuver in maneuvers]
    winds = [maneuver.wind_kt for maneuver in every if maneuver.wind_kt is not None]
    dates = tuple(lesson.date for lesson, _ in lessons)
    return ManeuverProgress(
        kind=kind,
        dates=dates,
        flown=len(every),
        standard=lessons[-1][0].standard,
        directions=tuple(sorted({maneuver.direction for maneuver in every})),
        wind_least_kt=min(winds, default=None),
        wind_most_kt=max(winds, default=None),
        elements=elements,
        faults=tuple(faults(lessons)),
        evidence=evidence(dates, elements),
    )
