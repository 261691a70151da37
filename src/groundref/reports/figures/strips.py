"""Quantities along time, each against what was to be held."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final, Protocol

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from groundref.assessment.assessed import Assessed
from groundref.debriefing import Debrief
from groundref.reports import like_paper, naming, svg, words
from groundref.reports.figures import quantities
from groundref.reports.figures.quantities import Curve, Strip
from groundref.reports.laps import during
from groundref.reports.scales import Scale, second_ticks, span, thin, ticks

Floats = NDArray[np.float64]

LEFT, RIGHT = 76.0, 572.0
_TOP: Final = 40.0  # room for the name of a strip above it
_APART: Final = 52.0
BOUND, BAND = "bound", "bound band"  # looks of a bank limit, and of the ends of a height band
_SDS: Final = 2.0
_TIMES: Final = 52.0
_CLEAR: Final = 12.0  # room between the name of a strip and its uppermost figure
_LETTER: Final = 12.5  # paper across that a letter takes in print, where letters are largest for the drawing


class Make(Protocol):
    """Makes a strip of a maneuver; its name is the strip's key."""

    __name__: str

    def __call__(self, debrief: Debrief, assessed: Assessed, /) -> Strip | None:
        """Return the strip, None where there is none."""
        ...


_HELD: Final = (quantities.distance, quantities.altitude, quantities.airspeed)
_MAKERS: Final[Mapping[str, Sequence[Make]]] = {
    "rectangular-course": (quantities.altitude, quantities.airspeed, quantities.bank),
    "eights-on-pylons": (quantities.bank, quantities.airspeed),
    "steep-turns": (quantities.bank, quantities.altitude, quantities.airspeed),
}


def strips(debrief: Debrief, assessed: Assessed) -> list[Strip]:
    """Return the strips of what was to be held that can be drawn, those that are not known left out."""
    return drawable(debrief, assessed, _MAKERS.get(assessed.maneuver.kind, _HELD))


def drawable(debrief: Debrief, assessed: Assessed, makers: Sequence[Make]) -> list[Strip]:
    """Return the strips in which anything is known."""
    like = like_paper.shared()
    shown = {} if like is None else like.spans
    return [
        replace(strip, key=make.__name__, shown=shown.get(make.__name__))
        for make in makers
        if (strip := make(debrief, assessed)) is not None
        and any(np.isfinite(v).any() for v in (strip.value, *(curve.value for curve in strip.curves)))
    ]


def draw(debrief: Debrief, assessed: Assessed, name: str, drawn: Sequence[Strip] | None = None) -> Markup:
    """Return the picture of one maneuver.

    Parameters
    ----------
    debrief, assessed, name
        As for the circle from above.
    drawn
        The strips; those of what was to be held when None.
    """
    drawn = strips(debrief, assessed) if drawn is None else drawn
    time = during(debrief.states.time, assessed)
    x = time_scale(assessed)
    height = int(sum(_APART + strip.tall for strip in drawn) + _TIMES)
    return svg.picture(
        name,
        "Along time: " + words.listed([strip.title.lower() for strip in drawn]),
        _described(debrief, assessed, drawn),
        height,
        *[_strip(strip, time, x, value_scale(strip, n), n) for n, strip in enumerate(drawn)],
        _laps(assessed, x, height - _TIMES, drawn),
        _times(debrief, x, height - _TIMES),
        svg.line(0, _TOP, 0, height - _TIMES, class_="cursor-line", visibility="hidden"),
    )


def describe(debrief: Debrief, assessed: Assessed) -> str:
    """Return the picture of what was to be held in words, with its numbers."""
    return _described(debrief, assessed, strips(debrief, assessed))


def _described(debrief: Debrief, assessed: Assessed, drawn: Sequence[Strip]) -> str:
    m = assessed.maneuver
    said = " ".join(_in_words(strip) for strip in drawn)
    return f"From {_utc(debrief, m.start)} to {_utc(debrief, m.end)}. {said}"


def _utc(debrief: Debrief, seconds: float) -> str:
    return f"{words.moment(debrief.track.recording.epoch, seconds)} UTC"


def _in_words(strip: Strip) -> str:
    unit, name = strip.unit
    name = name if name == "°" else f" {name}"
    asked = (
        ""
        if strip.reference is None or not np.isfinite(strip.reference)
        else f", to hold {words.number(strip.reference / unit)}{name}"
    )
    bounds = ""
    if strip.low is not None and strip.high is not None:
        bounds = f", limits {words.number(strip.low / unit)} to {words.number(strip.high / unit)}{name}"
    if strip.bounds:
        said = words.listed([words.number(value / unit) for value in strip.bounds])
        ends = "the standard's band ends" if len(strip.bounds) > 1 else "its limit is"
        bounds += f", {ends} at {said}{name}" if len(strip.bounds) > 1 else f", {ends} {said}{name}"
    curves = "".join(f"; {curve.says}: {_range(curve.value, unit)}{name}" for curve in strip.curves)
    return f"{strip.title}: {_range(strip.value, unit)}{name}{asked}{bounds}{curves}."


def _range(values: Floats, unit: float) -> str:
    """Return the least and the largest of what is known."""
    known = values[np.isfinite(values)] / unit
    return f"{words.number(known.min())} to {words.number(known.max())}" if known.size else words.CANNOT_TELL


def time_scale(assessed: Assessed) -> Scale:
    """Return the scale of time across the paper [s]."""
    start, lasted = assessed.maneuver.start, max(assessed.maneuver.end - assessed.maneuver.start, 1.0)
    like = like_paper.shared()
    if like is not None:
        lasted = max(lasted, like.duration)
    return Scale(start, start + lasted, LEFT, RIGHT)


def reached(strip: Strip) -> tuple[float, float]:
    """Return the least and the largest value that a strip has to hold, SI."""
    needed = [curve.value for curve in strip.curves]
    return span(strip.value, strip.reference, strip.low, strip.high, strip.bounds, *needed, least=strip.least)


def value_scale(strip: Strip, number: int) -> Scale:
    """Return the scale up the strip with this number from the top, SI."""
    low, high = reached(strip) if strip.shown is None else strip.shown
    top = _TOP + number * (strip.tall + _APART)
    return Scale(low, high, top + strip.tall, top)


def _strip(strip: Strip, time: Floats, x: Scale, y: Scale, number: int) -> Markup:
    top = y.end
    unit, unit_name = strip.unit
    right = Markup("")
    if strip.other is not None:
        other, other_name = strip.other
        right = svg.text(RIGHT + 8, top - 12, other_name, class_="quiet")
        right += _ticks(strip, y, other, RIGHT + 8, "start", lines=False)
    return svg.group(
        svg.text(LEFT, top - 12, strip.title),
        svg.text(LEFT - 8, top - 12, unit_name, "end", class_="quiet") if unit_name != "°" else Markup(""),
        _permitted(strip, y),
        _ticks(strip, y, unit, LEFT - 8, "end", lines=True),
        right,
        _bounds(strip, y),
        _reference(strip, y),
        *[_curve(curve, time, x, y) for curve in strip.curves],
        _flown(strip, time, x, y),
    )


def _curve(curve: Curve, time: Floats, x: Scale, y: Scale) -> Markup:
    """Return what was needed at each moment, with its uncertainty."""
    px, py = x(time), y(curve.value)
    kept = thin(px, py)
    doubt = Markup("")
    if curve.sd is not None:
        low, high = (np.clip(y(curve.value + side * _SDS * curve.sd), y.end, y.start) for side in (-1.0, 1.0))
        doubt = svg.band(px[kept], low[kept], high[kept], class_="asked-band")
    return svg.group(doubt, svg.polyline(px[kept], py[kept], class_=curve.look))


def _permitted(strip: Strip, y: Scale) -> Markup:
    """Return the band within the limits, with its edges drawn where they lie on the paper."""
    if strip.low is None or strip.high is None:
        return Markup("")
    return svg.group(
        svg.rectangle(LEFT, y.at(strip.high), RIGHT, y.at(strip.low), class_="permitted"),
        *[svg.line(LEFT, y.at(v), RIGHT, y.at(v), class_="limit") for v in (strip.low, strip.high)],
    )


def _bounds(strip: Strip, y: Scale) -> Markup:
    """Return what holds whatever was flown: a bank limit solid, the ends of a height band dash by dot.

    Both are parted from the limits about what was to be held, and from one another in gray, too.
    """
    if not strip.bounds:
        return Markup("")
    look = BOUND if len(strip.bounds) == 1 else BAND
    return svg.group(*[svg.line(LEFT, y.at(v), RIGHT, y.at(v), class_=look) for v in strip.bounds])


def _ticks(strip: Strip, y: Scale, unit: float, at: float, anchor: str, *, lines: bool) -> Markup:
    parts = []
    after = "°" if strip.unit[1] == "°" else ""
    for value in ticks(y.low / unit, y.high / unit, 4 if strip.tall <= quantities.TALL else 6):
        place = y.at(value * unit)
        if lines:
            parts.append(svg.line(LEFT, place, RIGHT, place, class_="grid"))
        if place > y.end + _CLEAR:
            parts.append(svg.text(at, place + 5, words.number(value) + after, anchor, class_="quiet"))
    return svg.group(*parts)


def _reference(strip: Strip, y: Scale) -> Markup:
    if strip.reference is None or not np.isfinite(strip.reference):
        return Markup("")
    return svg.line(LEFT, y.at(strip.reference), RIGHT, y.at(strip.reference), class_="asked")


def _flown(strip: Strip, time: Floats, x: Scale, y: Scale) -> Markup:
    px, py = (np.insert(v, strip.breaks, np.nan) for v in (x(time), y(strip.value)))
    kept = thin(px, py)
    doubt = Markup("")
    if strip.sd is not None:
        # Cut at the edges of the strip, or it would run through the names of this one and the next.
        low, high = (
            np.insert(np.clip(y(strip.value + side * _SDS * strip.sd), y.end, y.start), strip.breaks, np.nan)
            for side in (-1.0, 1.0)
        )
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


def _laps(assessed: Assessed, x: Scale, bottom: float, drawn: Sequence[Strip]) -> Markup:
    """Return a line at each beginning and end of a lap, within the strips, with its number at the foot."""
    m = assessed.maneuver
    bounds = sorted({edge for lap in m.laps for edge in (lap.start, lap.end)})
    scales = [value_scale(strip, n) for n, strip in enumerate(drawn)]
    lines = [
        svg.line(x.at(edge), y.end, x.at(edge), y.start, class_="boundary")
        for edge in bounds
        for y in scales
        if x.low < edge < x.high
    ]
    word = naming.lap(m.kind)
    room = _LETTER * len(f"{word} {len(m.laps)}")
    numbers = [
        svg.text(
            x.at((lap.start + lap.end) / 2),
            bottom + 36,
            f"{word} {n}" if x.at(lap.end) - x.at(lap.start) > room else str(n),
            "middle",
            class_="lap-name",
            data_lap=n,
        )
        for n, lap in enumerate(m.laps, 1)
    ]
    return svg.group(*lines, *numbers)
