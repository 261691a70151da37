"""The debrief as one self-contained HTML page: nothing is fetched, everything stands without scripts."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cache

import numpy as np
from jinja2 import Environment, PackageLoader, StrictUndefined, Template
from markupsafe import Markup

from groundref.assessment.assessed import Assessed
from groundref.debriefing import Debrief
from groundref.reports import cursor, places, recorded, tables, words
from groundref.reports.figures import bank, circle, overview, strips
from groundref.reports.laps import DASHES, dash, limits


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
        cautions=tables.CAUTIONS,
        about_sd=tables.ABOUT_SD,
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
    looked: str
    facts: list[tables.Fact]
    winds: list[tables.Fact]
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


@dataclass(frozen=True, slots=True)
class ManeuverView:
    """A maneuver as the template writes it."""

    id: str
    number: int
    title: str
    when: str
    lead: list[tables.Fact]
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
    lap_rows: list[tables.Row]
    place_rows: list[tuple[str, list[tables.Cell]]]
    verdicts: list[tables.Verdict]
    observed: list[str]
    standard: str
    facts: list[tables.Fact]
    notes: tuple[str, ...]
    cursor: Markup


def _flight(debrief: Debrief) -> FlightView:
    recording = debrief.track.recording
    start = float(debrief.track.time[0])
    return FlightView(
        source=words.plain(recording.source),
        day=words.day(recording.epoch, start),
        summary=_summary(debrief),
        looked=_looked(debrief),
        facts=recorded.flight_facts(debrief),
        winds=[
            tables.Fact(f"{_utc(debrief, w.start)} to {_utc(debrief, w.end)}", words.wind(w))
            for w in debrief.winds
        ],
        losses=recorded.losses(debrief),
        notes=recorded.notes(debrief),
        overview=overview.draw(debrief, "overview"),
    )


def _summary(debrief: Debrief) -> str:
    time = debrief.track.time
    lasted = words.duration(float(time[-1] - time[0]))
    found = words.count(len(debrief.maneuvers), "maneuver")
    return (
        f"{_utc(debrief, float(time[0]))} to {_utc(debrief, float(time[-1]))} UTC, {lasted}; {found} found."
    )


def _looked(debrief: Debrief) -> str:
    """Return how much of a flight was searched."""
    track = debrief.track
    pieces = int(np.unique(track.piece).size)
    lasted = words.duration(float(track.time[-1] - track.time[0]))
    return f"{lasted} of recording in {words.count(pieces, 'piece')}, {words.count(len(track), 'sample')}"


def _utc(debrief: Debrief, seconds: float) -> str:
    return words.moment(debrief.track.recording.epoch, seconds)


def _maneuver(debrief: Debrief, one: Assessed, number: int) -> ManeuverView:
    m, name = one.maneuver, f"m{number}"
    return ManeuverView(
        id=name,
        number=number,
        title=tables.heading(one),
        when=f"{_utc(debrief, m.start)} to {_utc(debrief, m.end)} UTC",
        lead=tables.facts(debrief, one)[:3],
        drift=tables.drift(one),
        findings=[FindingView(f.says, f.cure, tables.finding_place(debrief, f)) for f in one.findings],
        laps=[LapStyle(n, dash(n)) for n in range(1, len(m.laps) + 1)],
        repeats=len(m.laps) > len(DASHES),
        circle=circle.draw(debrief, one, f"{name}-circle"),
        bank=bank.draw(debrief, one, f"{name}-bank"),
        bank_required=bool(np.isfinite(one.profile.bank_required).any()),
        by_wind=places.named_by_wind(one),
        bank_limit=f"{words.degrees(one.bank_limit)}, {one.bank_limit_source}",
        strips=strips.draw(debrief, one, f"{name}-strips"),
        limits=_limits(debrief, one),
        lap_rows=tables.lap_rows(debrief, one),
        place_rows=tables.place_rows(debrief, one),
        verdicts=tables.verdicts(debrief, one),
        observed=tables.observed(debrief, one),
        standard=f"{debrief.standard.title}, {debrief.standard.publication}, {debrief.standard.edition}",
        facts=tables.facts(debrief, one)[3:],
        notes=m.notes,
        cursor=_script_data(cursor.series(debrief, one)),
    )


def _limits(debrief: Debrief, one: Assessed) -> str:
    """Return the limits drawn in the strips in words; empty when there are none."""
    limit = limits(debrief, one)
    said = []
    if limit.altitude is not None and one.altitude is not None:
        said.append(f"altitude within {words.both_lengths(limit.altitude)}")
    if limit.airspeed is not None and one.airspeed is not None:
        said.append(f"airspeed within {words.both_speeds(limit.airspeed)}")
    return words.listed(said) if said else ""


def _script_data(value: object) -> Markup:
    """Return JSON that cannot end the script element it stands in."""
    text = json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return Markup(text.replace("<", "\\u003c").replace("&", "\\u0026"))
