"""The quantities that are drawn along time, each against what was to be held or needed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from groundref.angles import difference
from groundref.assessment.assessed import Assessed, Held
from groundref.assessment.details import CourseFlown, PivotalFlown
from groundref.debriefing import Debrief
from groundref.reports import words
from groundref.reports.laps import during, limits, turn_sign
from groundref.units import degree

Floats = NDArray[np.float64]
Unit = tuple[float, str]

TALL: Final = 112.0
_TALLER: Final = 190.0


@dataclass(frozen=True, slots=True)
class Curve:
    """What a quantity should have been, moment by moment.

    Attributes
    ----------
    says
        What it is.
    value, sd
        At the maneuver's samples.
    look
        Class of its line in the style sheet.
    """

    says: str
    value: Floats
    sd: Floats | None
    look: str


@dataclass(frozen=True, slots=True)
class Strip:
    """One quantity along time, SI.

    Attributes
    ----------
    title
        What it is.
    value, sd
        At the maneuver's samples.
    reference
        What was to be held, None when nothing was.
    low, high
        Limits about what was to be held, None when there are none.
    bounds
        Lines that hold whatever was flown, such as those of a height band; empty when there are none.
    unit, other
        Divisors to the units of the left and the right edge, with their names, the reader's first; no other
        one for angles.
    least
        Narrowest range shown, so that noise does not look like motion.
    limit
        The limits in words; empty when there are none.
    curves
        What was needed at each moment, where that is not one value.
    tall
        Paper it takes; the same for all strips of a picture.
    breaks
        Samples at which the value begins anew, so that no line leads to them.
    key
        What it is in a word that is the same for every maneuver.
    shown
        The range shown; None for one that holds all there is.
    """

    title: str
    value: Floats
    sd: Floats | None
    reference: float | None
    low: float | None
    high: float | None
    bounds: tuple[float, ...]
    unit: Unit
    other: Unit | None
    least: float
    limit: str = ""
    curves: tuple[Curve, ...] = ()
    tall: float = TALL
    breaks: tuple[int, ...] = ()
    key: str = ""
    shown: tuple[float, float] | None = None


_ANGLE: Final = ((degree, "°"), None)


def distance(debrief: Debrief, assessed: Assessed) -> Strip:
    """Return the distance; a circle that drifted had none to hold, so it has no limits either."""
    m, limit = assessed.maneuver, limits(debrief, assessed)
    sd = np.full(assessed.profile.distance.size, m.reference.sd)
    low, high, said = None, None, ""
    if limit.radius is not None and not m.drifts:
        low, high = m.radius - limit.radius, m.radius + limit.radius
        practice = " by common practice" if limit.radius_is_practice else ""
        said = f"distance within {words.both_lengths(limit.radius)}{practice}"
    title = f"Distance from {_ABOUT.get(m.kind, 'the middle of the loop')}"
    value = assessed.profile.distance
    # Each half circle and loop has its own middle.
    lap = assessed.profile.lap
    anew = () if m.reference.type == "point" else tuple((np.flatnonzero(np.diff(lap)) + 1).tolist())
    return Strip(title, value, sd, m.radius, low, high, (), *words.length_units(), 120.0, said, breaks=anew)


_ABOUT: Final = {
    "turns-around-a-point": "the point",
    "s-turns": "the middle of the half circle",
    "eights-around-pylons": "the pylon",
}


def altitude(debrief: Debrief, assessed: Assessed) -> Strip | None:
    """Return height above the ground where it is known, else the altitude as recorded."""
    states, held, limit = debrief.states, assessed.altitude, limits(debrief, assessed)
    if states.altitude is None:
        return None
    reference = None if held is None else held.reference
    low, high = _about(held, limit.altitude)
    said = "" if low is None else f"altitude within {words.both_lengths(limit.altitude)}"
    if states.height is not None and assessed.height_reference is not None and reference is not None:
        # Drawn as the altitude shifted by one ground elevation, so that its limits keep their meaning.
        shift = assessed.height_reference - reference
        value = during(states.altitude, assessed) + shift
        held_at, low, high = reference + shift, _moved(low, shift), _moved(high, shift)
        title = f"Height above the ground{_given(assessed.height_sd)}"
        band = tuple(v for v in (limit.height_low, limit.height_high) if v is not None)
        sd = _sd(states.altitude_sd, assessed)
        planned = None if assessed.as_planned is None else assessed.as_planned.height
        curves = _planned(planned, value)
        return Strip(title, value, sd, held_at, low, high, band, *words.length_units(), 90.0, said, curves)
    title = words.altitude(states.altitude_datum).capitalize()
    value = during(states.altitude, assessed)
    sd = _sd(states.altitude_sd, assessed)
    return Strip(title, value, sd, reference, low, high, (), *words.length_units(), 90.0, said)


def _moved(value: float | None, shift: float) -> float | None:
    return None if value is None else value + shift


def _given(sd: float | None) -> str:
    return f" (all of it ±{words.length(sd)})" if sd is not None and words.known(sd) else ""


def airspeed(debrief: Debrief, assessed: Assessed) -> Strip:
    """Return true airspeed against that at the start."""
    states, held, limit = debrief.states, assessed.airspeed, limits(debrief, assessed).airspeed
    low, high = _about(held, limit)
    reference = None if held is None else held.reference
    value, sd = during(states.true_airspeed, assessed), during(states.true_airspeed_sd, assessed)
    title = f"True airspeed, {states.airspeed_source}"
    said = "" if low is None else f"airspeed within {words.both_speeds(limit)}"
    planned = None if assessed.as_planned is None else assessed.as_planned.true_airspeed
    curves = _planned(planned, value)
    return Strip(title, value, sd, reference, low, high, (), *words.speed_units(), 12.0, said, curves)


def _planned(planned: float | None, value: Floats) -> tuple[Curve, ...]:
    """Return what was planned to be held all the way."""
    if planned is None:
        return ()
    return (Curve("as planned", np.full(value.size, planned), None, "planned"),)


def _about(held: Held | None, limit: float | None) -> tuple[float | None, float | None]:
    if held is None or limit is None or not np.isfinite(held.reference):
        return None, None
    return held.reference - limit, held.reference + limit


def _sd(values: Floats | None, assessed: Assessed) -> Floats | None:
    return None if values is None else during(values, assessed)


def bank(debrief: Debrief, assessed: Assessed) -> Strip:
    """Return bank into the turn, against the one to hold where the standard names one."""
    states, limit = debrief.states, limits(debrief, assessed)
    value = turn_sign(assessed) * during(states.bank, assessed)
    if limit.bank_target is not None:
        value = np.where(assessed.profile.lap > 0, value, np.nan)  # to hold in the turns alone
    sd = during(states.bank_sd, assessed)
    low = high = None
    bounds: tuple[float, ...] = ()
    said = ""
    if limit.bank_target is not None and limit.bank_off is not None:
        low, high = limit.bank_target - limit.bank_off, limit.bank_target + limit.bank_off
        said = f"bank {words.degrees(limit.bank_target)} within {words.degrees(limit.bank_off)}"
    elif np.isfinite(assessed.bank_limit):
        bounds = (assessed.bank_limit,)
    title = f"Bank into the turn, {states.bank_source}"
    return Strip(title, value, sd, limit.bank_target, low, high, bounds, *_ANGLE, 15.0 * degree, said)


def outside(debrief: Debrief, assessed: Assessed) -> Strip | None:
    """Return the distance from the boundary of a rectangle along its legs."""
    details = assessed.details
    if not isinstance(details, CourseFlown):
        return None
    limit = limits(debrief, assessed)
    known = details.outside[np.isfinite(details.outside)]
    mean = float(known.mean()) if known.size else None
    low, high, said = None, None, ""
    if limit.leg_distance is not None and mean is not None:
        low, high = mean - limit.leg_distance, mean + limit.leg_distance
        practice = " by common practice" if limit.leg_distance_is_practice else ""
        said = f"distance within {words.both_lengths(limit.leg_distance)} of its mean{practice}"
    sd = np.full(details.outside.size, assessed.maneuver.reference.sd)
    given = assessed.maneuver.reference.source == "given"
    title = "Distance outside the boundary" if given else "Distance outside the mean of each side"
    return Strip(
        title, details.outside, sd, mean, low, high, (), *words.length_units(), 150.0, said, tall=_TALLER
    )


def crab(debrief: Debrief, assessed: Assessed) -> Strip | None:
    """Return where the nose pointed from the sides of a rectangle, and the crab that each of them needed."""
    details = assessed.details
    if not isinstance(details, CourseFlown):
        return None
    heading = during(debrief.states.heading, assessed)
    time = during(debrief.states.time, assessed)
    value, needed, doubt = (np.full(time.size, np.nan) for _ in range(3))
    for leg in details.legs:
        inside = (time >= leg.start) & (time <= leg.end)
        value[inside] = difference(heading[inside], leg.course)
        needed[inside], doubt[inside] = leg.crab_needed, leg.crab_sd
    curve = Curve("crab that holds the side", needed, doubt, "asked")
    return Strip(
        "Nose off the side, right positive", value, None, None, None, None, (), *_ANGLE, 10.0 * degree,
        curves=(curve,), tall=_TALLER,
    )  # fmt: skip


def above_pylon(debrief: Debrief, assessed: Assessed) -> Strip | None:
    """Return the height above the pylon, against the exact pivotal height and the handbook's."""
    details = assessed.details
    if not isinstance(details, PivotalFlown):
        return None
    known = details.height is not None
    value = details.height if details.height is not None else np.full(details.pivotal.size, np.nan)
    exact = Curve("pivotal height, exact", details.pivotal, details.pivotal_sd, "asked")
    printed = Curve("the handbook's GS² / 11.3", details.handbook, None, "printed")
    title = "Height above the pylon" if known else "Pivotal height"
    return Strip(
        title, value, details.height_sd, None, None, None, (), *words.length_units(), 120.0,
        curves=(exact, printed), tall=_TALLER,
    )  # fmt: skip


def ahead(debrief: Debrief, assessed: Assessed) -> Strip | None:
    """Return where the pylon stood relative to the wing line."""
    details = assessed.details
    if not isinstance(details, PivotalFlown):
        return None
    limit = limits(debrief, assessed)
    low, high, said = None, None, ""
    if limit.pylon is not None:
        low, high = -limit.pylon, limit.pylon
        practice = " by common practice" if limit.pylon_is_practice else ""
        said = f"pylon within {words.degrees(limit.pylon)} of the wing line{practice}"
    return Strip(
        "Pylon ahead of the wing line +, behind it −", details.ahead, details.ahead_sd, 0.0, low, high, (),
        *_ANGLE, 12.0 * degree, said, tall=_TALLER,
    )  # fmt: skip
