"""Rows of words: the lap table, the standard's elements and the facts, for page and terminal alike."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np

from groundref.angles import difference
from groundref.assessment.assessed import Assessed, ElementResult, Finding, Held
from groundref.debriefing import Debrief
from groundref.detection.maneuver import Lap
from groundref.reports import places, words
from groundref.reports.laps import Extremes, extremes
from groundref.standards.standard import Element
from groundref.units import degree, foot, kilometre_per_hour, knot

CAUTIONS: Final = (
    "A training aid: it helps to talk about a flight that is over, and is not for use in flight.",
    "It does not see traffic, obstacles, weather or the ground, and a consumer recorder can be wrong in ways"
    " that no file shows.",
    "The airplane's handbook, the local rules and a licensed instructor decide; where this page differs from"
    " them, they are right.",
)
ABOUT_SD: Final = "“±” is one standard deviation."


@dataclass(frozen=True, slots=True)
class Cell:
    """A value in the trade's unit with the metric one beside it, which may be empty."""

    main: str
    metric: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """A quantity with one cell a lap."""

    name: str
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Fact:
    """A name and what is known under it."""

    name: str
    value: str


def length(value: float | None, sd: float | None = None) -> Cell:
    """Return a length [m] as a cell, without its metric twin when it cannot be told."""
    if not words.known(value):
        return Cell(words.CANNOT_TELL)
    return Cell(f"{words.with_sd(value, sd, foot)} ft", words.metres(value))


def inline(cell: Cell) -> str:
    """Return a cell in one line, as ``72 ±15 ft (22 m)``."""
    return f"{cell.main} ({cell.metric})" if cell.metric else cell.main


def speed(value: float | None) -> Cell:
    """Return a speed [m s⁻¹] as a cell."""
    if not words.known(value):
        return Cell(words.CANNOT_TELL)
    return Cell(words.knots(value), words.kilometres_per_hour(value))


def lap_rows(debrief: Debrief, assessed: Assessed) -> list[Row]:
    """Return the lap table: a row a quantity, a column a lap."""
    laps = assessed.maneuver.laps
    highs = extremes(debrief.states, assessed)
    epoch = debrief.track.recording.epoch

    def by_lap(name: str, cell: Callable[[Lap], Cell]) -> Row:
        return Row(name, tuple(cell(lap) for lap in laps))

    def by_extreme(name: str, cell: Callable[[Extremes], Cell]) -> Row:
        return Row(name, tuple(cell(high) for high in highs))

    return [
        by_lap("began, UTC", lambda lap: Cell(words.moment(epoch, lap.start))),
        by_lap("lasted", lambda lap: Cell(words.duration(lap.end - lap.start))),
        by_lap("turned", lambda lap: Cell(_turned(lap.turn))),
        by_lap("radius", lambda lap: length(lap.radius, lap.radius_sd)),
        by_lap("off the circle, rms", lambda lap: length(lap.radial_rms)),
        by_lap("farthest outside", lambda lap: _beyond(lap.radial_max)),
        by_lap("farthest inside", lambda lap: _beyond(-lap.radial_min)),
        by_extreme("highest altitude", lambda high: length(high.altitude_max)),
        by_extreme("lowest altitude", lambda high: length(high.altitude_min)),
        by_extreme("largest bank", lambda high: Cell(words.degrees(high.bank_max))),
        by_extreme("smallest bank", lambda high: Cell(words.degrees(high.bank_min))),
        by_extreme("fastest (true)", lambda high: speed(high.airspeed_max)),
        by_extreme("slowest (true)", lambda high: speed(high.airspeed_min)),
        by_lap("centre, from the point", lambda lap: _center(assessed, lap)),
    ]


def _turned(turn: float) -> str:
    return f"{words.degrees(abs(turn))} {'right' if turn > 0 else 'left'}"


def _beyond(value: float) -> Cell:
    """Return how far on one side of the circle; a lap that was never there says so."""
    return length(value) if not value < 0 else Cell("never")


def _center(assessed: Assessed, lap: Lap) -> Cell:
    """Return how far and in which direction the centre of a lap lies from the point."""
    reference = assessed.maneuver.reference
    east, north = lap.center_east - reference.east, lap.center_north - reference.north
    away = length(float(np.hypot(east, north)))
    if away.main in {"0 ft", words.CANNOT_TELL}:
        return away
    return Cell(f"{away.main} {words.bearing(float(np.arctan2(east, north)))}", away.metric)


def _where(debrief: Debrief, east: float, north: float) -> str:
    latitude, longitude = debrief.track.frame.to_geographic(east, north)
    return position(float(latitude), float(longitude))


def position(latitude: float, longitude: float) -> str:
    """Return a position on WGS 84 in degrees [rad]."""
    if not (np.isfinite(latitude) and np.isfinite(longitude)):
        return words.CANNOT_TELL
    north, east = latitude / degree, longitude / degree
    return f"{abs(north):.5f}° {'N' if north >= 0 else 'S'}, {abs(east):.5f}° {'E' if east >= 0 else 'W'}"


@dataclass(frozen=True, slots=True)
class Verdict:
    """One element of the standard in words; ``verdict`` stays the contract's word."""

    code: str
    what: str
    verdict: str
    said: str
    limit: Cell
    worst: Cell
    time: str
    why: str
    basis: str


def _asked(debrief: Debrief, assessed: Assessed, element: ElementResult) -> Element | None:
    """Return the standard's own entry for a result."""
    task = debrief.standard.task(assessed.maneuver.kind)
    every = task.elements if task else ()
    return next((e for e in every if (e.code, e.what) == (element.code, element.what)), None)


def _observed(debrief: Debrief, assessed: Assessed, element: ElementResult) -> bool:
    asked = _asked(debrief, assessed, element)
    return asked is not None and asked.quantity == "observed"


def observed(debrief: Debrief, assessed: Assessed) -> list[str]:
    """Return what no recording can tell and only an instructor on board sees, with the codes."""
    return [f"{e.what} ({e.code})" for e in assessed.elements if _observed(debrief, assessed, e)]


def verdicts(debrief: Debrief, assessed: Assessed) -> list[Verdict]:
    """Return the elements in the standard's order, without those that only an instructor can see."""
    epoch = debrief.track.recording.epoch
    return [
        Verdict(
            code=e.code,
            what=e.what,
            verdict=e.verdict,
            said=words.VERDICTS[e.verdict],
            limit=_limit(debrief, assessed, e),
            worst=_sized(e.worst, e.worst_sd, e.unit) if e.worst is not None else Cell("not measured"),
            time=f"{words.moment(epoch, e.time)} UTC" if e.time is not None and words.known(e.time) else "",
            why=e.why,
            basis=_basis(e),
        )
        for e in assessed.elements
        if not _observed(debrief, assessed, e)
    ]


def _basis(element: ElementResult) -> str:
    if element.limit is None:
        return "no number is printed"
    return "as printed" if element.published else "common practice"


_METRIC: Final = {"ft": (foot, "m", 1.0), "kt": (knot, "km/h", kilometre_per_hour)}


def _sized(value: float | None, sd: float | None, unit: str) -> Cell:
    """Return a value in a contract unit with the metric one beside it."""
    said = words.size(value, sd, unit)
    if unit not in _METRIC or value is None or not words.known(value):
        return Cell(said)
    si, name, metric = _METRIC[unit]
    return Cell(said, f"{words.number(value * si / metric)} {name}")


def _limit(debrief: Debrief, assessed: Assessed, element: ElementResult) -> Cell:
    if element.limit is None:
        return Cell("no limit")
    asked = _asked(debrief, assessed, element)
    upper = Cell(words.limit(element.limit, element.unit), _sized(element.limit, None, element.unit).metric)
    if asked is None or asked.minimum is None:
        return upper
    lower = _sized(asked.minimum, None, element.unit).metric.split(" ")[0]
    metric = f"{lower} to {upper.metric}" if upper.metric else ""
    return Cell(f"{words.limit(asked.minimum, '')} to {upper.main}", metric)


def finding_place(debrief: Debrief, finding: Finding) -> str:
    """Return where and when a finding was seen, and how large, in one line."""
    epoch = debrief.track.recording.epoch
    parts = [
        words.laps(finding.laps),
        finding.position,
        inline(_sized(finding.size, finding.size_sd, finding.size_unit)),
        f"{words.moment(epoch, finding.start)} to {words.moment(epoch, finding.end)} UTC",
    ]
    return " · ".join(part for part in parts if part)


def heading(assessed: Assessed) -> str:
    """Return the title of a maneuver, such as ``Turns around a point, left, 2 laps``."""
    m = assessed.maneuver
    return f"{words.kind(m.kind)}, {m.direction}, {words.count(len(m.laps), 'lap')}"


def facts(debrief: Debrief, assessed: Assessed) -> list[Fact]:
    """Return what is known about the maneuver as a whole."""
    m = assessed.maneuver
    reference = m.reference
    point = _where(debrief, reference.east, reference.north)
    return [
        Fact("wind", words.wind(m.wind)),
        Fact("true airspeed", _true_airspeed(debrief, assessed)),
        Fact("radius held", words.both_lengths(m.radius, m.radius_sd)),
        Fact("the point", f"{point}, {_known_to(reference.sd)}, {reference.source}"),
        Fact("entry", _entry(debrief, assessed)),
        Fact("height above the ground", _height(debrief, assessed)),
        Fact("altitude", _held(assessed.altitude, words.both_lengths)),
        Fact("largest bank", _bank(debrief, assessed)),
        Fact("sure of the kind", f"{words.number(100 * m.confidence)} %"),
    ]


def _known_to(sd: float) -> str:
    return f"known to ±{words.feet(sd)} ({words.metres(sd)})" if sd > 0 else "taken as exact"


def _true_airspeed(debrief: Debrief, assessed: Assessed) -> str:
    value = assessed.maneuver.wind
    if value is None:
        return words.CANNOT_TELL
    said = words.both_speeds(value.true_airspeed, value.true_airspeed_sd, digits=1)
    return f"{said}, {debrief.states.airspeed_source}"


def off_downwind(assessed: Assessed) -> float | None:
    """Return how far the entry track was off the downwind direction, None without wind [rad]."""
    wind = assessed.maneuver.wind
    if wind is None or not words.has_direction(wind):
        return None
    return abs(float(difference(assessed.maneuver.entry.track, wind.direction_to)))


def _entry(debrief: Debrief, assessed: Assessed) -> str:
    entry = assessed.maneuver.entry
    off = off_downwind(assessed)
    parts = [
        f"{words.moment(debrief.track.recording.epoch, entry.turn_time)} UTC",
        f"track {words.bearing(entry.track)}",
        f"{words.degrees(off)} off downwind" if off is not None else f"off downwind: {words.CANNOT_TELL}",
        f"{words.both_lengths(entry.distance, entry.distance_sd)} from the point",
    ]
    return ", ".join(parts)


def _height(debrief: Debrief, assessed: Assessed) -> str:
    said = words.both_lengths(assessed.height_reference, assessed.height_sd)
    source = debrief.states.height_source
    return f"{said} at the start; {source}" if source and assessed.height_reference is not None else said


def _held(held: Held | None, say: Callable[[float | None], str]) -> str:
    if held is None:
        return words.CANNOT_TELL
    return (
        f"{say(held.reference)} at the start, then {say(held.minimum)} to {say(held.maximum)}; {held.source}"
    )


def _bank(debrief: Debrief, assessed: Assessed) -> str:
    held = assessed.bank
    if held is None:
        return words.CANNOT_TELL
    at = words.moment(debrief.track.recording.epoch, held.maximum_time)
    return (
        f"{words.with_sd(abs(held.maximum), held.sd, degree)}° at {at} UTC, {held.source}; limit"
        f" {words.degrees(assessed.bank_limit)} ({assessed.bank_limit_source})"
    )


def place_rows(debrief: Debrief, assessed: Assessed) -> list[tuple[str, list[Cell]]]:
    """Return for each place of each lap what :data:`PLACE_HEADS` names."""
    return [
        (
            f"{place.lap} · {place.name}",
            [
                Cell(words.degrees(place.bank)),
                Cell(words.degrees(place.bank_required)),
                _off(place.radial),
                speed(place.ground_speed),
                Cell(_crab(place.crab)),
            ],
        )
        for place in places.visited(debrief.states, assessed)
    ]


PLACE_HEADS: Final = ("bank flown", "bank required", "off the circle", "ground speed", "crab")


def _off(radial: float | None) -> Cell:
    said = places.side(radial)
    return Cell(said, words.metres(abs(radial)) if radial is not None and words.known(radial) else "")


def _crab(crab: float | None) -> str:
    if crab is None or not words.known(crab):
        return words.CANNOT_TELL
    whole = words.degrees(abs(crab))
    return whole if whole == "0°" else f"{whole} {'right' if crab > 0 else 'left'}"


def drift(assessed: Assessed) -> str:
    """Return in one sentence that the circle drifted; empty when it did not."""
    m = assessed.maneuver
    if not m.drifts:
        return ""
    moved = float(np.hypot(m.drift_east, m.drift_north))
    towards = words.bearing(float(np.arctan2(m.drift_east, m.drift_north)))
    return (
        f"The circle did not stay over one point: its centre moved {words.both_lengths(moved, m.drift_sd)}"
        f" towards {towards} in a lap, with the wind, because the bank was held and not the distance."
    )
