"""Facts about a maneuver as a whole: what it was flown about, what was held, what could not be judged."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np

from groundref.assessment.assessed import Assessed, Finding, Held
from groundref.assessment.by_side import LEFT, RIGHT, mean_radius
from groundref.assessment.details import CourseFlown, PivotalFlown, SteepFlown
from groundref.debriefing import Debrief
from groundref.detection import named
from groundref.detection.maneuver import Reference
from groundref.reports import given_wind, naming, verdicts, words
from groundref.reports.cells import Fact, inline
from groundref.reports.figures.plan import CLOSE
from groundref.reports.laps import limits
from groundref.reports.reading import metric
from groundref.units import degree


def told(finding: Finding) -> tuple[str, str]:
    """Return the sentence and the cure of a finding in the reader's units."""
    says = words.sentence(finding.says, finding.says_metric)
    return says, words.sentence(finding.cure, finding.cure_metric)


def finding_place(debrief: Debrief, assessed: Assessed, finding: Finding) -> str:
    """Return where and when a finding was seen, and how large, in one line."""
    epoch = debrief.track.recording.epoch
    parts = [
        naming.laps(assessed, finding.laps),
        finding.position,
        inline(verdicts.sized(finding.size, finding.size_sd, finding.size_unit)),
        words.from_to(epoch, finding.start, finding.end),
    ]
    return " · ".join(part for part in parts if part)


def facts(debrief: Debrief, assessed: Assessed) -> list[Fact]:
    """Return what is known about the maneuver as a whole; the first three lead."""
    return [
        Fact("wind", _wind(debrief, assessed)),
        Fact("true airspeed", _true_airspeed(debrief, assessed)),
        _main(assessed),
        *_reference(debrief, assessed),
        *_turning(assessed),
        Fact("entry", _entry(debrief, assessed)),
        Fact("height above the ground", _height(debrief, assessed)),
        Fact(words.altitude(debrief.states.altitude_datum), _held(assessed.altitude, words.both_lengths)),
        Fact("largest bank", _bank(debrief, assessed)),
        Fact("kind", sureness(assessed)),
    ]


def _main(assessed: Assessed) -> Fact:
    """Return the one number that says most about how the maneuver was flown."""
    m, details = assessed.maneuver, assessed.details
    if isinstance(details, CourseFlown):
        return _from_the_sides(assessed, details)
    if isinstance(details, PivotalFlown):
        known = details.pivotal[np.isfinite(details.pivotal)]
        said = (
            f"{words.length(known.min()).rpartition(' ')[0]} to {words.both_lengths(float(known.max()))}"
            if known.size
            else words.CANNOT_TELL
        )
        return Fact("pivotal height, exact", said)
    if isinstance(details, SteepFlown):
        banks = [turn.bank for turn in details.turns if np.isfinite(turn.bank)]
        said = words.degrees(float(np.mean(banks))) if banks else words.CANNOT_TELL
        return Fact("mean bank", said)
    if by_side := _by_side(assessed):
        return Fact(f"{radius_name(assessed)}, right and left", by_side)
    return Fact(radius_name(assessed), words.both_lengths(m.radius, m.radius_sd))


_SURELY: Final = 3.0  # standard deviations between the radii of both sides, beyond which they differ


def _by_side(assessed: Assessed) -> str:
    """Return the mean radii of right and left turns where they surely and visibly differ; else nothing."""
    right, left = (mean_radius(assessed.maneuver.laps, side) for side in (RIGHT, LEFT))
    apart, sd = abs(right[0] - left[0]), float(np.hypot(right[1], left[1]))
    if not apart > max(_SURELY * sd, CLOSE * assessed.maneuver.radius):
        return ""
    return f"right {words.both_lengths(*right)}, left {words.both_lengths(*left)}"


def _from_the_sides(assessed: Assessed, details: CourseFlown) -> Fact:
    """Return how far from the boundary a course was flown; of a fitted one only how far it strayed."""
    if assessed.maneuver.reference.source == "given":
        away = np.array([leg.distance for leg in details.legs])
        away = away[np.isfinite(away)]
        said = words.both_lengths(float(away.mean())) if away.size else words.CANNOT_TELL
        spread = f", by leg {words.length(away.min())} to {words.length(away.max())}" if away.size > 1 else ""
        return Fact("distance outside the boundary", f"{said}{spread}")
    far = np.array([max(leg.distance_max, -leg.distance_min) for leg in details.legs])
    far = far[np.isfinite(far)]
    said = words.both_lengths(float(far.max())) if far.size else words.CANNOT_TELL
    return Fact("farthest from the mean of a side", said)


def _reference(debrief: Debrief, assessed: Assessed) -> list[Fact]:
    """Return what on the ground it was flown about, how well known and from where."""
    r = assessed.maneuver.reference
    if r.type == "none":
        return []
    known = how_known(r)
    at = [_where(debrief, east, north) for east, north in r.places]
    if r.type == "point":
        return [Fact("the point", f"{at[0]}, {known}")]
    if r.type == "line":
        sd = f" ±{words.number(max(r.bearing_sd / degree, 0.1), 1)}°" if r.bearing_sd > 0 else ""
        runs = f"{words.bearing(r.bearing)} to {words.bearing(r.bearing + np.pi)}{sd}"
        return [Fact("the line", f"runs {runs} through {at[0]}, {known}")]
    if r.type == "rectangle":
        sides = [np.hypot(*np.subtract(a, b)) for a, b in zip(r.places, r.places[1:], strict=False)]
        size = f"{words.both_lengths(float(sides[1]))} by {words.both_lengths(float(sides[0]))}"
        return [Fact("the rectangle", f"{size}, {known}")]
    return [Fact(f"pylon {n}", f"{place}{_elevation(r, n)}, {known}") for n, place in enumerate(at, 1)]


def _elevation(reference: Reference, number: int) -> str:
    if len(reference.elevations) < number or not words.known(reference.elevations[number - 1]):
        return ""
    return f", ground at {words.both_lengths(reference.elevations[number - 1])}"


def how_known(reference: Reference) -> str:
    """Return how surely a place is known, and whether it was given or fitted."""
    return f"{_known_to(reference.sd)}, {reference.source}"


def _turning(assessed: Assessed) -> list[Fact]:
    """Return which way the first turn went, where the title does not say it."""
    m = assessed.maneuver
    if m.direction != "both" or m.kind == "steep-turns":
        return []
    return [Fact("first turn", "to the right" if m.laps[0].turn > 0 else "to the left")]


def _wind(debrief: Debrief, assessed: Assessed) -> str:
    said = words.wind(assessed.maneuver.wind)
    given = given_wind.wind_given(debrief.states.notes)
    return f"{said}, {given}" if given else said


def radius_name(assessed: Assessed) -> str:
    """Return what the radius is: a circle that drifted has one only where it was begun."""
    return "radius when begun" if assessed.maneuver.drifts else "radius held"


_SURE: Final = ((0.99, "surely"), (0.9, "very probably"), (0.0, "probably"))


def sureness(assessed: Assessed) -> str:
    """Return the kind with how sure it is; no share is rounded up to certainty."""
    m = assessed.maneuver
    how = next(word for least, word in _SURE if m.confidence >= least)
    share = "99%+" if m.confidence >= _SURE[0][0] else _percent(m.confidence)
    others = words.listed([f"{named.in_sentence(name)} ({_percent(p)})" for name, p in m.alternatives])
    return f"{how} {named.in_sentence(m.kind)} ({share})" + (f"; else {others}" if others else "")


def _percent(share: float) -> str:
    return f"{words.number(100 * share)}%"


def notes(assessed: Assessed) -> list[str]:
    """Return what else must be known about the maneuver, and what could not be judged."""
    own = assessed.notes_metric if metric() and assessed.notes_metric else assessed.notes
    return [*assessed.maneuver.notes, *own]


def _known_to(sd: float) -> str:
    return f"known to ±{words.length(sd)} ({words.length_beside(sd)})" if sd > 0 else "taken as exact"


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
    parts = [began, f"track {words.bearing(entry.track)}", _entry_angle(assessed)]
    if words.known(entry.distance) and assessed.maneuver.reference.type in _FROM:
        distance = words.both_lengths(entry.distance, entry.distance_sd)
        parts.append(f"{distance} from {_FROM[assessed.maneuver.reference.type]}")
    return ", ".join(part for part in parts if part)


_FROM: Final = {"point": "the point", "pylons": "the first pylon"}


def _entry_angle(assessed: Assessed) -> str:
    """Return how the entry lay to what it should lie to: the wind, the first leg, or nothing."""
    details = assessed.details
    if isinstance(details, SteepFlown):
        return ""
    if isinstance(details, CourseFlown):
        if not words.known(details.entry_angle):
            return f"angle to the first leg: {words.CANNOT_TELL}"
        angle = words.with_sd(details.entry_angle, details.entry_angle_sd, degree)
        return f"{angle}° to the first leg"
    if isinstance(details, PivotalFlown):
        if not words.known(details.first_into_wind):
            return f"first turn off the wind: {words.CANNOT_TELL}"
        return f"first turn {words.degrees(details.first_into_wind)} away from one straight into the wind"
    off, sd = assessed.entry_off_downwind, assessed.entry_off_downwind_sd
    if off is None or sd is None:
        return f"off downwind: {words.CANNOT_TELL}"
    return f"{words.with_sd(abs(off), sd, degree)}° off downwind"


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
    said = f"{words.with_sd(abs(held.maximum), held.sd, degree)}° at {at} UTC, {held.source}"
    # Of steep turns a bank is to be held, not to be stayed below.
    limited = limits(debrief, assessed).bank_target is None
    return f"{said}; limit {verdicts.bank_limit(debrief, assessed)}" if limited else said


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
        f"The circle did not stay over one point: its center moved {words.both_lengths(moved, m.drift_sd)}"
        f" towards {towards} in a lap, with the wind, because the bank was held and not the distance."
    )


def band(debrief: Debrief, assessed: Assessed) -> str:
    """Return the height band of the standard in words; empty when none is drawn."""
    limit = limits(debrief, assessed)
    if limit.height_low is None or limit.height_high is None or assessed.height_reference is None:
        return ""
    here, beside = (
        f"{each(limit.height_low).rpartition(' ')[0]} to {each(limit.height_high)}"
        for each in (words.length, words.length_beside)
    )
    return f"height band of the standard: {here} ({beside})"
