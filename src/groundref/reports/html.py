"""The debrief as one self-contained HTML page: nothing is fetched, everything stands without scripts."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any, Final

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from groundref.comparison import document as as_document
from groundref.comparison.compare import Comparison
from groundref.debriefing import Debrief
from groundref.progress.flown import OwnVerdict
from groundref.reports import (
    alike,
    cursor,
    facts,
    like_paper,
    metric,
    naming,
    notices,
    recorded,
    verdict_html,
    verdict_words,
    verdicts,
    words,
)
from groundref.reports.cells import Fact
from groundref.reports.figures import overview
from groundref.reports.known import blocks
from groundref.reports.known.blocks import Note
from groundref.reports.reading import METRIC, US, reading
from groundref.reports.sections import planned, traffic_pattern
from groundref.reports.sections.every import SECTIONS
from groundref.reports.sections.parts import Figure, Table

Decided = Mapping[tuple[int, str, str], OwnVerdict]  # by number of the maneuver, code and quantity
_NOTHING_DECIDED: Final[Decided] = {}


def page(
    debrief: Debrief,
    comparison: Comparison | None = None,
    own: Decided = _NOTHING_DECIDED,
    units: str = US,
    remark: str = "",
) -> str:
    """Return the whole page, the same bytes for the same debrief.

    Parameters
    ----------
    debrief
        What was concluded.
    comparison
        It and the plan, where there is one.
    own
        The instructor's own verdicts, which count before the recording's.
    units
        That it is read in.
    remark
        On the whole flight, in its head; empty for none.
    """
    with reading(units):
        written = _rendered("page.html.j2", debrief, comparison, own, remark)
    return metric.page(written) if units == METRIC else written


def content(debrief: Debrief, comparison: Comparison | None = None, own: Decided = _NOTHING_DECIDED) -> str:
    """Return what stands on the page between its head and its foot, to be set into another page.

    That page brings ``stylesheet()`` and ``enhance.js``.
    """
    return _rendered("within.html.j2", debrief, comparison, own)


def pictures(debrief: Debrief, number: int, name: str) -> str:
    """Return the pictures at the top of one maneuver, to be set into another page.

    Parameters
    ----------
    debrief
        What was concluded.
    number
        Of the maneuver, from 1.
    name
        Starts their ids.
    """
    one = debrief.maneuvers[number - 1]
    figures = SECTIONS[one.maneuver.kind].figures(debrief, one, name)
    return environment().get_template("pictures.html.j2").render(id=name, figures=figures)


def pictures_alike(first: tuple[Debrief, int], second: tuple[Debrief, int]) -> tuple[str, str]:
    """Return the pictures of two maneuvers of one kind, with the same ranges, scales, places and units.

    Parameters
    ----------
    first, second
        The debriefs, each with the number of its maneuver from 1. The ids of their pictures start with `a`
        and `b`.
    """
    papers = alike.alike(first, second)
    with like_paper.drawn_on(papers[0]):
        one = pictures(*first, "a")
    with like_paper.drawn_on(papers[1]):
        return one, pictures(*second, "b")


def known(name: str, notes: list[Note], of: str) -> str:
    """Return how the figures of a block are known, to be set into another page.

    Parameters
    ----------
    name
        Starts its id, which ends in `-known`.
    notes
        For each figure.
    of
        Which block, in a word or two, for who does not see where it stands.
    """
    return environment().get_template("known.html.j2").render(id=name, notes=notes, of=of)


def marks() -> str:
    """Return the marks of verdicts, that tables refer to."""
    return environment().get_template("marks.html.j2").render()


def stylesheet() -> str:
    """Return the style of the page, for as many laps as anybody flies."""
    return environment().get_template("sheet.css.j2").render(most_laps=_MOST_LAPS)


@cache
def script() -> str:
    """Return the script that links the pictures of a maneuver; it is no template, its braces are its own."""
    return (files("groundref.reports") / "templates" / "enhance.js").read_text("utf-8")


_MOST_LAPS: Final = 40


Document = dict[str, Any]


def _document(debrief: Debrief, comparison: Comparison | None) -> Document:
    """Return the JSON that the page's figures stand in."""
    document = debrief.to_dict()
    return document if comparison is None else {**document, "plan": as_document.to_dict(comparison)}


def _rendered(
    name: str, debrief: Debrief, comparison: Comparison | None, own: Decided, remark: str = ""
) -> str:
    document = _document(debrief, comparison)
    return (
        environment()
        .get_template(name)
        .render(
            flight=_flight(debrief, comparison, document),
            remark=remark,
            maneuvers=[
                _maneuver(debrief, comparison, n, document, own) for n in range(1, len(debrief.maneuvers) + 1)
            ],
            most_laps=max((len(one.maneuver.laps) for one in debrief.maneuvers), default=0),
            pattern=_pattern(debrief, document),
            none_pattern=notices.NONE_PATTERN,
            none_why=recorded.none_why(debrief),
            spoken=bool(debrief.said),
            none_reasons=recorded.none_reasons(debrief),
            cautions=notices.CAUTIONS,
            about_sd=notices.ABOUT_SD,
            script=Markup(script()),
        )
    )


@cache
def environment() -> Environment:
    """Return what all pages are written with."""
    made = Environment(
        loader=PackageLoader("groundref.reports"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    made.filters["together"] = together
    made.globals.update(
        verdict=verdict_html.verdict,
        meanings=verdict_html.meanings,
        cannot_tell=verdict_words.WORDS["undetermined"],
    )
    return made


_MEASURE: Final = re.compile(
    r"(?<=\d) (?=(?:ft/min|ft|m|kt|km/h|hPa|s|min|h|g|NM)\b)|(?<=[\d°%]) (?=±)|(?<=±) (?=\d)"
    r"|(?<=[\dmsgthMn°%]) (?=\(±)"
)


def together(text: str) -> str:
    """Return text in which no line is broken within a number with its deviation and unit."""
    return _MEASURE.sub("\N{NO-BREAK SPACE}", text)


@dataclass(frozen=True, slots=True)
class FlightView:
    """The flight as the template writes it."""

    source: str
    day: str
    summary: str
    warnings: list[str]
    looked: str
    facts: list[Fact]
    winds: list[Fact]
    losses: list[str]
    notes: list[str]
    overview: Markup
    known: dict[str, list[Note]]


@dataclass(frozen=True, slots=True)
class FindingView:
    """One finding as the template writes it."""

    name: str
    says: str
    cure: str
    place: str


@dataclass(frozen=True, slots=True)
class ManeuverView:
    """A maneuver as the template writes it."""

    id: str
    number: int
    title: str
    when: str
    sure: str
    counts: str
    lead: list[Fact]
    drift: str
    findings: list[FindingView]
    not_looked_for: list[str]
    laps: list[str]
    lap_word: str
    figures: list[Figure]
    along: Figure | None
    planned: list[str]
    tables: list[Table]
    verdicts: list[verdicts.Verdict]
    observed: list[str]
    meanings: list[verdict_words.VerdictWord]
    standard: str
    facts: list[Fact]
    notes: list[str]
    cursor: Markup
    known: dict[str, list[Note]]


@dataclass(frozen=True, slots=True)
class PatternView:
    """The circuits of a runway as the template writes them."""

    title: str
    figure: Figure | None
    tables: list[Table]
    known: dict[str, list[Note]]


def _pattern(debrief: Debrief, document: Document) -> PatternView | None:
    """Return the circuits of the runway; None where none was given."""
    found = debrief.traffic_patterns
    if found is None:
        return None
    if not found:
        return PatternView("Traffic pattern", None, [], {})
    tables = traffic_pattern.tables(debrief, found)
    return PatternView(
        traffic_pattern.heading(found),
        traffic_pattern.figure(debrief, found, "pattern"),
        tables,
        {table.name: blocks.of_flight(document, table.name, table.figures) for table in tables},
    )


def _flight(debrief: Debrief, comparison: Comparison | None, document: Document) -> FlightView:
    recording = debrief.track.recording
    start, elsewhere = float(debrief.track.time[0]), planned.elsewhere(comparison)
    known, winds = recorded.flight_facts(debrief), _winds(debrief)
    return FlightView(
        source=words.plain(recording.source),
        day=words.day(recording.epoch, start),
        summary=_summary(debrief),
        warnings=[*recorded.warnings(debrief), *([elsewhere] if elsewhere else [])],
        looked=recorded.looked(debrief),
        facts=known,
        winds=winds,
        losses=recorded.losses(debrief),
        notes=recorded.notes(debrief),
        overview=overview.draw(debrief, "overview"),
        known={
            "flight": blocks.of_flight(document, "flight", [fact.name for fact in known]),
            "winds": blocks.of_flight(document, "winds", ["…"] if winds else []),
        },
    )


_MOST_WINDS: Final = 7  # that a printed page has room for


def _winds(debrief: Debrief) -> list[Fact]:
    """Return the winds; where there are many, paper has room only for those about the maneuvers."""
    epoch = debrief.track.recording.epoch
    many = len(debrief.winds) > _MOST_WINDS and len(debrief.maneuvers) > 0
    spans = [(one.maneuver.start, one.maneuver.end) for one in debrief.maneuvers]
    return [
        Fact(
            words.from_to(epoch, wind.start, wind.end),
            words.wind(wind),
            again=many and not any(wind.start <= end and start <= wind.end for start, end in spans),
        )
        for wind in debrief.winds
    ]


def _summary(debrief: Debrief) -> str:
    time = debrief.track.time
    lasted = words.duration(float(time[-1] - time[0]))
    found = words.count(len(debrief.maneuvers), "maneuver")
    when = words.from_to(debrief.track.recording.epoch, float(time[0]), float(time[-1]))
    return f"{when}, {lasted}; {found} found."


def _maneuver(
    debrief: Debrief, comparison: Comparison | None, number: int, document: Document, every_own: Decided
) -> ManeuverView:
    one, name = debrief.maneuvers[number - 1], f"m{number}"
    m = one.maneuver
    compared = comparison if comparison is not None and comparison.number == number else None
    section = SECTIONS[m.kind]
    known = section.facts(debrief, one)
    tables = [*([] if compared is None else [planned.table(compared)]), *section.tables(debrief, one)]
    how = blocks.Debriefed(document, document["maneuvers"][number - 1])
    own = {(code, what): said for (n, code, what), said in every_own.items() if n == number}
    judged = verdicts.verdicts(debrief, one, own)
    observed = verdicts.observed(debrief, one, own)
    return ManeuverView(
        id=name,
        number=number,
        title=naming.heading(one),
        when=words.from_to(debrief.track.recording.epoch, m.start, m.end),
        sure=facts.sureness(one),
        counts=verdict_words.counts([each.counts.mark for each in judged]),
        lead=known[:3],
        drift=facts.drift(one),
        findings=[
            FindingView(f.fault.replace("-", " "), *facts.told(f), facts.finding_place(debrief, one, f))
            for f in one.findings
        ],
        not_looked_for=list(one.not_looked_for),
        laps=[f"{naming.lap(m.kind)} {n}" for n in range(1, len(m.laps) + 1)],
        lap_word=naming.parts(m.kind),
        figures=section.figures(debrief, one, name),
        along=section.along(debrief, one, name),
        planned=[] if compared is None else planned.sentences(compared),
        tables=tables,
        verdicts=judged,
        observed=observed,
        meanings=verdict_words.meanings(
            [*(each.recorded.mark for each in judged), *(each.counts.mark for each in judged)]
        ),
        standard=f"{debrief.standard.title}, {debrief.standard.publication}, {debrief.standard.edition}",
        facts=known[3:],
        notes=facts.notes(one),
        cursor=_script_data(cursor.series(debrief, one)),
        known={
            "facts": how.notes("facts", [fact.name for fact in known]),
            "elements": how.elements(),
            "findings": how.findings(),
            **{table.name: how.notes(table.name, table.figures) for table in tables},
        },
    )


def _script_data(value: object) -> Markup:
    """Return JSON that cannot end the script element it stands in."""
    text = json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return Markup(text.replace("<", "\\u003c").replace("&", "\\u0026"))
