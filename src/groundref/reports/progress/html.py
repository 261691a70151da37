"""A student's progress as one self-contained HTML page: nothing is fetched, and there are no scripts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from markupsafe import Markup

from groundref.detection import named
from groundref.progress import to_dict
from groundref.progress.evidence import STANDING, day
from groundref.progress.told import ElementProgress, Figure, ManeuverProgress, Progress
from groundref.reports import metric, notices, svg, verdict_words, verdicts, words
from groundref.reports.cells import Cell, Fact
from groundref.reports.html import environment
from groundref.reports.known import blocks
from groundref.reports.known.blocks import Note
from groundref.reports.progress import panel
from groundref.reports.progress import words as said
from groundref.reports.reading import METRIC, US, reading
from groundref.reports.sections.parts import Table

_LETTER: Final = 25.0
_STANDING: Final = ("Last three", "Asked", "Now", "Change a lesson")  # columns in which figures stand


@dataclass(frozen=True, slots=True)
class RowView:
    """An element as the template writes it."""

    name: str
    basis: str
    asked: Cell
    word: verdict_words.VerdictWord | None
    last: str
    now: Cell
    change: Cell
    trend: str


@dataclass(frozen=True, slots=True)
class ManeuverView:
    """A kind of maneuver as the template writes it."""

    id: str
    title: str
    within: str
    lead: list[Fact]
    evidence: list[str]
    panels: list[Markup]
    rows: list[RowView]
    sentences: list[str]
    faults: list[Fact]
    lessons: Table
    known: dict[str, list[Note]]


def page(progress: Progress, units: str = US) -> str:
    """Return the whole page, the same bytes for the same lessons.

    Parameters
    ----------
    progress
        The student's.
    units
        That it is read in.
    """
    with reading(units):
        written = _rendered("progress.html.j2", progress)
    return metric.page(written) if units == METRIC else written


def content(progress: Progress) -> str:
    """Return what stands on the page, to be set into another page that brings the style of a debrief and
    ``stylesheet()``.
    """
    return _rendered("progress_within.html.j2", progress)


def stylesheet() -> str:
    """Return what the page has beyond the style of a debrief."""
    return environment().get_template("progress.css").render()


def _rendered(template: str, progress: Progress) -> str:
    return (
        environment()
        .get_template(template)
        .render(
            name=words.plain(progress.name),
            span=said.span(progress),
            maneuvers=[
                _maneuver(one, document)
                for one, document in zip(progress.maneuvers, _documents(progress), strict=True)
            ],
            keys=_keys(progress),
            standing=STANDING,
            about=said.ABOUT,
            cautions=notices.CAUTIONS,
            about_sd=notices.ABOUT_SD,
        )
    )


def _documents(progress: Progress) -> list[dict[str, Any]]:
    """Return the JSON of each kind of maneuver, in which the page's figures stand."""
    documents: Any = to_dict(progress)["maneuvers"]
    return list(documents)


def _maneuver(one: ManeuverProgress, document: dict[str, Any]) -> ManeuverView:
    name = one.kind
    lead = [
        Fact("flown", said.flown(one)),
        Fact("last", day(one.dates[-1])),
        Fact("wind", said.wind(one)),
        Fact("turns", said.directions(one)),
    ]
    lessons = _lessons(one)
    return ManeuverView(
        id=name,
        title=named.title(name),
        within=named.in_sentence(name),
        lead=lead,
        evidence=list(one.evidence),
        panels=[_panel(f"{name}-{n}", each) for n, each in enumerate(one.elements, 1) if said.measured(each)],
        rows=[_row(each) for each in one.elements],
        sentences=[said.turns(one.elements), said.winds(one.elements)],
        faults=[Fact(said.error(fault), said.how_often(fault)) for fault in one.faults],
        lessons=lessons,
        known={
            "standing": [
                *blocks.of_progress(document, "lead", [fact.name for fact in lead]),
                *blocks.of_progress(document, "standing", _STANDING),
                *blocks.trends(document),
            ],
            "errors": blocks.of_progress(document, "errors", ["…"] if one.faults else []),
            "lessons": blocks.of_progress(document, "lessons", lessons.figures),
        },
    )


def _panel(name: str, one: ElementProgress) -> Markup:
    return svg.picture(
        name, said.compared(one), panel.describe(one), panel.height(_LETTER), panel.draw(one, _LETTER)
    )


def _row(one: ElementProgress) -> RowView:
    trend, says = one.trend, one.last_three.says
    mark = "" if says == "too-few" else says  # of fewer than three the words alone say how each was
    return RowView(
        name=said.compared(one),
        basis={"handbook": "a handbook’s advice", "practice": "common practice"}.get(one.basis, one.code),
        asked=Cell(said.asked(one), said.asked_metric(one)),
        word=verdict_words.WORDS.get(verdict_words.mark(mark, one.basis)),
        last=said.last_three(one),
        now=Cell(said.now(one), _metric(None if trend is None else trend.now, one.unit)),
        change=Cell(said.change(one), _metric(None if trend is None else trend.a_lesson, one.unit)),
        trend=said.trend(one),
    )


def _metric(value: float | None, unit: str) -> str:
    return verdicts.sized(value, None, unit).metric


def _lessons(one: ManeuverProgress) -> Table:
    """Return every figure with its conditions, one row a maneuver flown."""
    measured = [each for each in one.elements if said.measured(each)]
    flown: dict[tuple[int, int], Figure] = {}
    for element in one.elements:
        for figure in element.figures:
            flown.setdefault((figure.lesson, figure.maneuver.number), figure)
    by = [{(f.lesson, f.maneuver.number): f for f in element.figures} for element in measured]
    rows = [
        (
            day(figure.date),
            (
                *_conditions(figure),
                *(_cell(each.get(key), element) for each, element in zip(by, measured, strict=True)),
            ),
        )
        for key, figure in sorted(flown.items(), key=lambda item: (item[1].at, item[0][1]))
    ]
    heads = ("", "turns", "wind", "mean radius", *(_head(element) for element in measured))
    return Table("lessons", "Every lesson", "Figures of every lesson", heads, rows)


def _head(element: ElementProgress) -> str:
    """Return what stands over an element's figures, apart from the radius that was flown."""
    return "off the radius" if element.quantity == "radius" else element.name


def _conditions(figure: Figure) -> tuple[Cell, ...]:
    m = figure.maneuver
    wind = Cell(words.size(m.wind_kt, m.wind_sd_kt, "kt", whole=True))
    radius = Cell("–") if m.radius_ft is None else verdicts.sized(m.radius_ft, m.radius_sd_ft, "ft")
    return Cell(m.direction), wind, radius


def _cell(figure: Figure | None, element: ElementProgress) -> Cell:
    if figure is None or figure.element.worst is None:
        return Cell("–")
    own = ""
    if figure.element.own is not None:
        own = f", {verdict_words.WORDS[figure.element.own].says} by the instructor"
    sized = verdicts.sized(figure.element.worst, figure.element.worst_sd, element.unit)
    return Cell(sized.main + own, sized.metric)


def _keys(progress: Progress) -> list[tuple[Markup, str]]:
    """Return what the looks of the panels mean, those that there are."""
    every = [
        (one, f) for m in progress.maneuvers for one in m.elements if said.measured(one) for f in one.figures
    ]
    looks = {panel.looks(figure, one.basis) for one, figure in every if figure.off is not None}
    keys = [
        (_swatch(panel.mark(20.0, 6.0, word.mark, 4.5)), f"{word.says}: {word.means}")
        for word in verdict_words.meanings(looks)
    ]
    if any(figure.element.own is not None for _, figure in every):
        keys.append((_swatch(panel.own(20.0, 2.0, 8.0)), "the instructor’s own verdict"))
    if any({"left", "right"} <= set(one.directions) for one in progress.maneuvers):
        both = panel.mark(14.0, 6.0, "met", 4.5) + panel.mark(26.0, 6.0, "met", 4.5)
        keys.append((_swatch(both), "a left turn, and right of it a right one"))
    lines = (
        ("M1 6h38", "asked", "limit; where none is printed, the usual one"),
        ("M1 6h38", "trend", "trend, its band two standard deviations"),
        ("M20 0v12", "bar", "two standard deviations of a figure"),
        ("M17 1h6v11h-6z", "wind-bar", "wind, the strongest named"),
    )
    return keys + [(_swatch(svg.tag("path", d=d, class_=look)), says) for d, look, says in lines]


def _swatch(drawn: Markup) -> Markup:
    return svg.tag("svg", drawn, class_="swatch", viewBox="0 0 40 12", aria_hidden="true")
