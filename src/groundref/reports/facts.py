"""Facts about a maneuver as a whole: its title, what was held, what could not be judged."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np

from groundref.assessment.assessed import Assessed, Finding, Held
from groundref.assessment.flown import whole_lap
from groundref.debriefing import Debrief
from groundref.reports import recorded, verdicts, words
from groundref.reports.cells import Fact, inline
from groundref.units import degree


def finding_place(debrief: Debrief, finding: Finding) -> str:
    """Return where and when a finding was seen, and how large, in one line."""
    epoch = debrief.track.recording.epoch
    parts = [
        words.laps(finding.laps),
        finding.position,
        inline(verdicts.sized(finding.size, finding.size_sd, finding.size_unit)),
        words.from_to(epoch, finding.start, finding.end),
    ]
    return " · ".join(part for part in parts if part)


def heading(assessed: Assessed) -> str:
    """Return the title of a maneuver, such as ``Turns around a point, left, 2 laps``."""
    m = assessed.maneuver
    return f"{words.kind(m.kind)}, {m.direction}, {how_many_laps(assessed)}"


def how_many_laps(assessed: Assessed) -> str:
    """Return how many times round, a last turn that stopped well short of a whole one being only a part."""
    turns = [abs(lap.turn) for lap in assessed.maneuver.laps]
    whole = sum(turn >= whole_lap for turn in turns)
    if whole == len(turns):
        return words.count(whole, "lap")
    return f"{words.count(whole, 'lap')} and a part" if whole else "part of a lap"


def facts(debrief: Debrief, assessed: Assessed) -> list[Fact]:
    """Return what is known about the maneuver as a whole."""
    m = assessed.maneuver
    reference = m.reference
    point = _where(debrief, reference.east, reference.north)
    return [
        Fact("wind", _wind(debrief, assessed)),
        Fact("true airspeed", _true_airspeed(debrief, assessed)),
        Fact(radius_name(assessed), words.both_lengths(m.radius, m.radius_sd)),
        Fact("the point", f"{point}, {_known_to(reference.sd)}, {reference.source}"),
        Fact("entry", _entry(debrief, assessed)),
        Fact("height above the ground", _height(debrief, assessed)),
        Fact(words.altitude(debrief.states.altitude_datum), _held(assessed.altitude, words.both_lengths)),
        Fact("largest bank", _bank(debrief, assessed)),
        Fact("kind", _sureness(assessed)),
    ]


def _wind(debrief: Debrief, assessed: Assessed) -> str:
    said = words.wind(assessed.maneuver.wind)
    return f"{said}, given" if recorded.wind_given(debrief) else said


def radius_name(assessed: Assessed) -> str:
    """Return what the radius is: a circle that drifted has one only where it was begun."""
    return "radius when begun" if assessed.maneuver.drifts else "radius held"


_SURE: Final = ((0.99, "surely"), (0.9, "very probably"), (0.0, "probably"))


def _sureness(assessed: Assessed) -> str:
    """Return the kind with how sure it is; no share is rounded up to certainty."""
    m = assessed.maneuver
    how = next(word for least, word in _SURE if m.confidence >= least)
    share = "99 %+" if m.confidence >= _SURE[0][0] else f"{words.number(100 * m.confidence)} %"
    return f"{how} {words.kind(m.kind).lower()} ({share})"


def notes(assessed: Assessed) -> list[str]:
    """Return what else must be known about the maneuver, and what could not be judged."""
    return [*assessed.maneuver.notes, *assessed.notes]


def _known_to(sd: float) -> str:
    return f"known to ±{words.feet(sd)} ({words.metres(sd)})" if sd > 0 else "taken as exact"


def _true_airspeed(debrief: Debrief, assessed: Assessed) -> str:
    value = assessed.maneuver.wind
    if value is None:
        return words.CANNOT_TELL
    said = words.both_speeds(value.true_airspeed, value.true_airspeed_sd, digits=1)
    return f"{said}, {debrief.states.airspeed_source}"


def _entry(debrief: Debrief, assessed: Assessed) -> str:
    entry = assessed.maneuver.entry
    began = f"{words.moment(debrief.track.recording.epoch, entry.turn_time)} UTC"
    if not assessed.entry_recorded:
        return f"{words.CANNOT_TELL}; turning at {began}"
    off, sd = assessed.entry_off_downwind, assessed.entry_off_downwind_sd
    said = f"off downwind: {words.CANNOT_TELL}"
    if off is not None and sd is not None:
        said = f"{words.with_sd(abs(off), sd, degree)}° off downwind"
    parts = [
        began,
        f"track {words.bearing(entry.track)}",
        said,
        f"{words.both_lengths(entry.distance, entry.distance_sd)} from the point",
    ]
    return ", ".join(parts)


def _height(debrief: Debrief, assessed: Assessed) -> str:
    said = words.both_lengths(assessed.height_reference, assessed.height_sd)
    source = debrief.states.height_source
    held = assessed.altitude
    where = (
        "at the start"
        if held is None or held.reference_from == "start"
        else "in the middle of what was flown"
    )
    return f"{said} {where}; {source}" if source and assessed.height_reference is not None else said


def _held(held: Held | None, say: Callable[[float | None], str]) -> str:
    if held is None:
        return words.CANNOT_TELL
    flown = f"{say(held.minimum)} to {say(held.maximum)}"
    if held.reference_from != "start":
        return f"{flown}, {say(held.reference)} in the middle; the start was not recorded; {held.source}"
    return f"{say(held.reference)} at the start, then {flown}; {held.source}"


def _bank(debrief: Debrief, assessed: Assessed) -> str:
    held = assessed.bank
    if held is None:
        return words.CANNOT_TELL
    at = words.moment(debrief.track.recording.epoch, held.maximum_time)
    return (
        f"{words.with_sd(abs(held.maximum), held.sd, degree)}° at {at} UTC, {held.source}; limit"
        f" {verdicts.bank_limit(debrief, assessed)}"
    )


def _where(debrief: Debrief, east: float, north: float) -> str:
    latitude, longitude = debrief.track.frame.to_geographic(east, north)
    return position(float(latitude), float(longitude))


def position(latitude: float, longitude: float) -> str:
    """Return a position on WGS 84 in degrees [rad]."""
    if not (np.isfinite(latitude) and np.isfinite(longitude)):
        return words.CANNOT_TELL
    north, east = latitude / degree, longitude / degree
    return f"{abs(north):.5f}° {'N' if north >= 0 else 'S'}, {abs(east):.5f}° {'E' if east >= 0 else 'W'}"


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
