"""Distance, height or altitude, and airspeed along time, each against what was to be held."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from groundref.assessment.assessed import Assessed, Held
from groundref.debriefing import Debrief
from groundref.reports import svg, words
from groundref.reports.laps import during, limits
from groundref.reports.scales import Scale, second_ticks, span, thin, ticks
from groundref.units import foot, kilometre_per_hour, knot

Floats = NDArray[np.float64]

LEFT, RIGHT = 76.0, 572.0
_TOP: Final = 40.0  # room for the name of a strip above it
_TALL: Final = 112.0
_PITCH: Final = 164.0
_SDS: Final = 2.0
_TIMES: Final = 52.0
_CLEAR: Final = 12.0  # room between the name of a strip and its uppermost figure
_NARROW: Final = 70.0  # a lap narrower than this on paper is named by its number alone


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
    unit, metric
        Divisors to the units of the left and the right edge, with their names.
    least
        Narrowest range shown, so that noise does not look like motion.
    """

    title: str
    value: Floats
    sd: Floats | None
    reference: float | None
    low: float | None
    high: float | None
    bounds: tuple[float, ...]
    unit: tuple[float, str]
    metric: tuple[float, str]
    least: float


_LENGTH: Final = ((foot, "ft"), (1.0, "m"))
_SPEED: Final = ((knot, "kt"), (kilometre_per_hour, "km/h"))


def strips(debrief: Debrief, assessed: Assessed) -> list[Strip]:
    """Return the strips that can be drawn: distance always, altitude and airspeed where they are known."""
    found = [_distance(debrief, assessed), _altitude(debrief, assessed), _airspeed(debrief, assessed)]
    return [strip for strip in found if strip is not None and np.isfinite(strip.value).any()]


def _distance(debrief: Debrief, assessed: Assessed) -> Strip:
    """Return the distance; a circle that drifted had none to hold, so it has no limits either."""
    m, limit = assessed.maneuver, limits(debrief, assessed).radius
    sd = np.full(assessed.profile.distance.size, m.reference.sd)
    low, high = (None, None) if limit is None or m.drifts else (m.radius - limit, m.radius + limit)
    return Strip(
        "Distance from the point", assessed.profile.distance, sd, m.radius, low, high, (), *_LENGTH, 120.0
    )


def _altitude(debrief: Debrief, assessed: Assessed) -> Strip | None:
    """Return height above the ground where it is known, else the altitude as recorded."""
    states, held, limit = debrief.states, assessed.altitude, limits(debrief, assessed)
    if states.altitude is None:
        return None
    reference = None if held is None else held.reference
    low, high = _about(held, limit.altitude)
    if states.height is not None and assessed.height_reference is not None and reference is not None:
        # Drawn as the altitude shifted by one ground elevation, so that its limits keep their meaning.
        shift = assessed.height_reference - reference
        value = during(states.altitude, assessed) + shift
        held_at, low, high = reference + shift, _moved(low, shift), _moved(high, shift)
        title = f"Height above the ground{_given(assessed.height_sd)}"
        band = tuple(v for v in (limit.height_low, limit.height_high) if v is not None)
        sd = _sd(states.altitude_sd, assessed)
        return Strip(title, value, sd, held_at, low, high, band, *_LENGTH, 90.0)
    title = words.altitude(states.altitude_datum).capitalize()
    value = during(states.altitude, assessed)
    return Strip(title, value, _sd(states.altitude_sd, assessed), reference, low, high, (), *_LENGTH, 90.0)


def _moved(value: float | None, shift: float) -> float | None:
    return None if value is None else value + shift


def _given(sd: float | None) -> str:
    return f" (all of it ±{words.feet(sd)})" if sd is not None and words.known(sd) else ""


def _airspeed(debrief: Debrief, assessed: Assessed) -> Strip | None:
    states, held = debrief.states, assessed.airspeed
    low, high = _about(held, limits(debrief, assessed).airspeed)
    reference = None if held is None else held.reference
    value, sd = during(states.true_airspeed, assessed), during(states.true_airspeed_sd, assessed)
    title = f"True airspeed, {states.airspeed_source}"
    return Strip(title, value, sd, reference, low, high, (), *_SPEED, 12.0)


def _about(held: Held | None, limit: float | None) -> tuple[float | None, float | None]:
    if held is None or limit is None or not np.isfinite(held.reference):
        return None, None
    return held.reference - limit, held.reference + limit


def _sd(values: Floats | None, assessed: Assessed) -> Floats | None:
    return None if values is None else during(values, assessed)


def draw(debrief: Debrief, assessed: Assessed, name: str) -> Markup:
    """Return the picture of one maneuver; parameters as for the circle from above."""
    drawn = strips(debrief, assessed)
    time = during(debrief.states.time, assessed)
    x = time_scale(assessed)
    height = int(_PITCH * len(drawn) + _TIMES)
    return svg.picture(
        name,
        "Along time: " + words.listed([strip.title.lower() for strip in drawn]),
        describe(debrief, assessed),
        height,
        *[_strip(strip, time, x, value_scale(strip, n), n) for n, strip in enumerate(drawn)],
        _laps(assessed, x, height - _TIMES, len(drawn)),
        _times(debrief, x, height - _TIMES),
        svg.line(0, _TOP, 0, height - _TIMES, class_="cursor-line", visibility="hidden"),
    )


def describe(debrief: Debrief, assessed: Assessed) -> str:
    """Return the picture in words, with its numbers."""
    said = [_in_words(strip) for strip in strips(debrief, assessed)]
    m = assessed.maneuver
    return f"From {_utc(debrief, m.start)} to {_utc(debrief, m.end)}. {' '.join(said)}"


def _utc(debrief: Debrief, seconds: float) -> str:
    return f"{words.moment(debrief.track.recording.epoch, seconds)} UTC"


def _in_words(strip: Strip) -> str:
    unit, unit_name = strip.unit
    low, high = float(np.nanmin(strip.value)) / unit, float(np.nanmax(strip.value)) / unit
    asked = "" if strip.reference is None else f", to hold {words.number(strip.reference / unit)} {unit_name}"
    bounds = ""
    if strip.low is not None and strip.high is not None:
        bounds = f", limits {words.number(strip.low / unit)} to {words.number(strip.high / unit)} {unit_name}"
    if strip.bounds:
        said = words.listed([words.number(value / unit) for value in strip.bounds])
        bounds += f", the standard's band ends at {said} {unit_name}"
    return f"{strip.title}: {words.number(low)} to {words.number(high)} {unit_name}{asked}{bounds}."


def time_scale(assessed: Assessed) -> Scale:
    """Return the scale of time across the paper [s]."""
    return Scale(
        assessed.maneuver.start, max(assessed.maneuver.end, assessed.maneuver.start + 1), LEFT, RIGHT
    )


def value_scale(strip: Strip, number: int) -> Scale:
    """Return the scale up the strip with this number from the top, SI."""
    low, high = span(strip.value, strip.reference, strip.low, strip.high, strip.bounds, least=strip.least)
    top = _TOP + number * _PITCH
    return Scale(low, high, top + _TALL, top)


def _strip(strip: Strip, time: Floats, x: Scale, y: Scale, number: int) -> Markup:
    top = y.end
    (unit, unit_name), (metric, metric_name) = strip.unit, strip.metric
    return svg.group(
        svg.text(LEFT, top - 12, strip.title),
        svg.text(LEFT - 8, top - 12, unit_name, "end", class_="quiet"),
        svg.text(RIGHT + 8, top - 12, metric_name, class_="quiet"),
        _permitted(strip, y),
        _ticks(y, unit, LEFT - 8, "end", lines=True),
        _ticks(y, metric, RIGHT + 8, "start", lines=False),
        _bounds(strip, y),
        _reference(strip, y),
        _flown(strip, time, x, y),
    )


def _permitted(strip: Strip, y: Scale) -> Markup:
    """Return the band within the limits, with its edges drawn where they lie on the paper."""
    if strip.low is None or strip.high is None:
        return Markup("")
    return svg.group(
        svg.rectangle(LEFT, y.at(strip.high), RIGHT, y.at(strip.low), class_="permitted"),
        *[svg.line(LEFT, y.at(v), RIGHT, y.at(v), class_="limit") for v in (strip.low, strip.high)],
    )


def _bounds(strip: Strip, y: Scale) -> Markup:
    """Return the ends of a band that holds whatever was flown: solid, to part them from the limits."""
    return (
        svg.group(
            *[svg.line(LEFT, y.at(v), RIGHT, y.at(v), class_="bound") for v in strip.bounds],
        )
        if strip.bounds
        else Markup("")
    )


def _ticks(y: Scale, unit: float, at: float, anchor: str, *, lines: bool) -> Markup:
    parts = []
    for value in ticks(y.low / unit, y.high / unit, 4):
        place = y.at(value * unit)
        if lines:
            parts.append(svg.line(LEFT, place, RIGHT, place, class_="grid"))
        if place > y.end + _CLEAR:
            parts.append(svg.text(at, place + 5, words.number(value), anchor, class_="quiet"))
    return svg.group(*parts)


def _reference(strip: Strip, y: Scale) -> Markup:
    if strip.reference is None or not np.isfinite(strip.reference):
        return Markup("")
    return svg.line(LEFT, y.at(strip.reference), RIGHT, y.at(strip.reference), class_="asked")


def _flown(strip: Strip, time: Floats, x: Scale, y: Scale) -> Markup:
    px, py = x(time), y(strip.value)
    kept = thin(px, py)
    doubt = Markup("")
    if strip.sd is not None:
        # Cut at the edges of the strip, or it would run through the names of this one and the next.
        low, high = (np.clip(y(strip.value + side * _SDS * strip.sd), y.end, y.start) for side in (-1.0, 1.0))
        doubt = svg.band(px[kept], low[kept], high[kept], class_="flown-band")
    return svg.group(doubt, svg.polyline(px[kept], py[kept], class_="flown"))


def _times(debrief: Debrief, x: Scale, bottom: float) -> Markup:
    epoch = debrief.track.recording.epoch
    offset = (
        epoch.second + epoch.microsecond / 1e6
    )  # ticks on whole seconds of the clock, not of the recording
    parts = []
    for tick in second_ticks(x.low + offset, x.high + offset, 5):
        at = x.at(tick - offset)
        parts.append(svg.line(at, bottom - 22, at, bottom - 15, class_="grid"))
        parts.append(svg.text(at, bottom + 10, words.moment(epoch, tick - offset), "middle", class_="quiet"))
    # Beside the names of the laps: beside the times it would stand in the way of the first of them.
    parts.append(svg.text(LEFT - 8, bottom + 36, "UTC", "end", class_="quiet"))
    return svg.group(*parts)


def _laps(assessed: Assessed, x: Scale, bottom: float, strips: int) -> Markup:
    """Return a line at each beginning and end of a lap, within the strips, with its number at the foot."""
    bounds = sorted({edge for lap in assessed.maneuver.laps for edge in (lap.start, lap.end)})
    tops = [_TOP + n * _PITCH for n in range(strips)]
    lines = [
        svg.line(x.at(edge), top, x.at(edge), top + _TALL, class_="boundary")
        for edge in bounds
        for top in tops
        if x.low < edge < x.high
    ]
    numbers = [
        svg.text(
            x.at((lap.start + lap.end) / 2),
            bottom + 36,
            f"lap {n}" if x.at(lap.end) - x.at(lap.start) > _NARROW else str(n),
            "middle",
            class_="lap-name",
            data_lap=n,
        )
        for n, lap in enumerate(assessed.maneuver.laps, 1)
    ]
    return svg.group(*lines, *numbers)
