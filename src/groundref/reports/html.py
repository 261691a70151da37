"""The debrief as one self-contained HTML page: nothing is fetched, everything stands without scripts."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np
from jinja2 import Environment, PackageLoader, StrictUndefined, Template
from markupsafe import Markup

from groundref.assessment.assessed import Assessed
from groundref.debriefing import Debrief
from groundref.reports import cursor, facts, notices, places, recorded, tables, verdicts, words
from groundref.reports.cells import Cell, Fact, Row
from groundref.reports.figures import bank, circle, overview, strips
from groundref.reports.laps import DASHES, dash, limits, tone
from groundref.units import foot


def page(debrief: Debrief) -> str:
    """Return the whole page, the same bytes for the same debrief.

    Parameters
    ----------
    debrief
        What was concluded.
    """
    return _template().render(
        flight=_flight(debrief),
        maneuvers=[_maneuver(debrief, one, n) for n, one in enumerate(debrief.maneuvers, 1)],
        most_laps=max((len(one.maneuver.laps) for one in debrief.maneuvers), default=0),
        none_why=notices.NONE_WHY,
        none_reasons=recorded.none_reasons(debrief),
        cautions=notices.CAUTIONS,
        about_sd=notices.ABOUT_SD,
        place_heads=tables.PLACE_HEADS,
    )


@cache
def _template() -> Template:
    environment = Environment(
        loader=PackageLoader("groundref.reports"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    return environment.get_template("page.html.j2")


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


@dataclass(frozen=True, slots=True)
class FindingView:
    """One finding as the template writes it."""

    says: str
    cure: str
    place: str


@dataclass(frozen=True, slots=True)
class LapStyle:
    """How a lap is drawn."""

    number: int
    dash: str | None
    tone: str


@dataclass(frozen=True, slots=True)
class ManeuverView:
    """A maneuver as the template writes it."""

    id: str
    number: int
    title: str
    when: str
    lead: list[Fact]
    drift: str
    findings: list[FindingView]
    laps: list[LapStyle]
    repeats: bool
    circle: Markup
    bank: Markup
    bank_required: bool
    by_wind: bool
    bank_limit: str
    strips: Markup
    limits: str
    band: str
    lap_rows: list[Row]
    place_head: str
    place_rows: list[tuple[str, list[Cell]]]
    verdicts: list[verdicts.Verdict]
    observed: list[str]
    standard: str
    facts: list[Fact]
    notes: list[str]
    cursor: Markup


def _flight(debrief: Debrief) -> FlightView:
    recording = debrief.track.recording
    start = float(debrief.track.time[0])
    return FlightView(
        source=words.plain(recording.source),
        day=words.day(recording.epoch, start),
        summary=_summary(debrief),
        warnings=recorded.warnings(debrief),
        looked=recorded.looked(debrief),
        facts=recorded.flight_facts(debrief),
        winds=_winds(debrief),
        losses=recorded.losses(debrief),
        notes=recorded.notes(debrief),
        overview=overview.draw(debrief, "overview"),
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


def _maneuver(debrief: Debrief, one: Assessed, number: int) -> ManeuverView:
    m, name = one.maneuver, f"m{number}"
    return ManeuverView(
        id=name,
        number=number,
        title=facts.heading(one),
        when=words.from_to(debrief.track.recording.epoch, m.start, m.end),
        lead=facts.facts(debrief, one)[:3],
        drift=facts.drift(one),
        findings=[FindingView(f.says, f.cure, facts.finding_place(debrief, f)) for f in one.findings],
        laps=[LapStyle(n, dash(n), tone(n)) for n in range(1, len(m.laps) + 1)],
        repeats=len(m.laps) > len(DASHES),
        circle=circle.draw(debrief, one, f"{name}-circle"),
        bank=bank.draw(debrief, one, f"{name}-bank"),
        bank_required=bool(np.isfinite(one.profile.bank_required).any()),
        by_wind=places.named_by_wind(one),
        bank_limit=verdicts.bank_limit(debrief, one),
        strips=strips.draw(debrief, one, f"{name}-strips"),
        limits=_limits(debrief, one),
        band=_band(debrief, one),
        lap_rows=tables.lap_rows(debrief, one),
        place_head=tables.place_head(one),
        place_rows=tables.place_rows(debrief, one),
        verdicts=verdicts.verdicts(debrief, one),
        observed=verdicts.observed(debrief, one),
        standard=f"{debrief.standard.title}, {debrief.standard.publication}, {debrief.standard.edition}",
        facts=facts.facts(debrief, one)[3:],
        notes=facts.notes(one),
        cursor=_script_data(cursor.series(debrief, one)),
    )


def _limits(debrief: Debrief, one: Assessed) -> str:
    """Return the limits drawn in the strips in words; empty when there are none."""
    limit = limits(debrief, one)
    said = []
    if limit.radius is not None and not one.maneuver.drifts:
        practice = " by common practice" if limit.radius_is_practice else ""
        said.append(f"distance within {words.both_lengths(limit.radius)}{practice}")
    if limit.altitude is not None and one.altitude is not None:
        said.append(f"altitude within {words.both_lengths(limit.altitude)}")
    if limit.airspeed is not None and one.airspeed is not None:
        said.append(f"airspeed within {words.both_speeds(limit.airspeed)}")
    return words.listed(said) if said else ""


def _band(debrief: Debrief, one: Assessed) -> str:
    """Return the height band drawn in the strips in words; empty when none is drawn."""
    limit = limits(debrief, one)
    if limit.height_low is None or limit.height_high is None or one.height_reference is None:
        return ""
    low = words.number(limit.height_low / foot)
    return f"height band of the standard: {low} to {words.both_lengths(limit.height_high)}"


def _script_data(value: object) -> Markup:
    """Return JSON that cannot end the script element it stands in."""
    text = json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return Markup(text.replace("<", "\\u003c").replace("&", "\\u0026"))
