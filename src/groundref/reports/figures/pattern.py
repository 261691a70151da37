"""Circuits of a runway from above: their legs, and the extended centerline."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from groundref.assessment.details import LegFlown
from groundref.assessment.pattern import PatternFlown
from groundref.debriefing import Debrief
from groundref.estimation.states import States
from groundref.reports import svg, words
from groundref.reports.figures import earth, marks
from groundref.reports.figures.circle_labels import badge
from groundref.reports.figures.course import leg_name
from groundref.reports.figures.labels import Box, badge_box, freest
from groundref.reports.figures.plan import Plan, fitted
from groundref.reports.laps import dash
from groundref.reports.scales import thin

_NO_POINTS = np.empty(0)
_WIND_AT = 34.0, 36.0
_NORTH_AT = svg.WIDTH - 30.0, 50.0


def draw(debrief: Debrief, patterns: Sequence[PatternFlown], name: str) -> Markup:
    """Return the picture of all circuits.

    Parameters
    ----------
    debrief
        The flight.
    patterns
        Its circuits, at least one.
    name
        Id of the picture, unique on the page.
    """
    states = debrief.states
    parts = [_samples(states, pattern.start, pattern.end) for pattern in patterns]
    every = np.concatenate(parts)
    plan = fitted(states.east[every], states.north[every])
    taken = [
        marks.paper_of_wind(patterns[0].wind, *_WIND_AT),
        marks.paper_of_north(*_NORTH_AT),
        marks.paper_of_scale(22.0, plan.height - 44.0),
    ]
    return svg.picture(
        name,
        f"The traffic pattern from above: {words.count(len(patterns), 'circuit')}",
        describe(patterns),
        plan.height,
        _centerline(states, patterns[0], every, plan),
        *[_circuit(states, part, plan, n) for n, part in enumerate(parts, 1)],
        *[_number(states, pattern, plan, n, taken) for n, pattern in enumerate(patterns, 1)],
        *_names(states, patterns[0], plan, taken),
        marks.wind(patterns[0].wind, *_WIND_AT),
        marks.north(*_NORTH_AT),
        marks.scale_bar(plan.scale, 22.0, plan.height - 44.0),
        ground=earth.lies(debrief.track.frame, plan),
    )


def describe(patterns: Sequence[PatternFlown]) -> str:
    """Return the picture in words, with its numbers."""
    said = "; ".join(
        f"circuit {n} to the {each.direction}, downwind leg {words.both_lengths(each.width)} wide"
        for n, each in enumerate(patterns, 1)
    )
    return f"North is up. Landing direction {words.bearing(patterns[0].bearing)}. {said}."


def _samples(states: States, start: float, end: float) -> NDArray[np.int64]:
    return np.flatnonzero((states.time >= start) & (states.time <= end))


def _circuit(states: States, part: NDArray[np.int64], plan: Plan, number: int) -> Markup:
    x, y = plan.x(states.east[part]), plan.y(states.north[part])
    kept = thin(x, y)
    return svg.polyline(x[kept], y[kept], class_="flown", stroke_dasharray=dash(number))


def _middle(states: States, leg: LegFlown) -> int:
    return int(np.searchsorted(states.time, (leg.start + leg.end) / 2))


_ONWARD: Final = 0.05  # of its length that the centerline goes on beyond what was flown beside it


def _centerline(states: States, pattern: PatternFlown, every: NDArray[np.int64], plan: Plan) -> Markup:
    """Return the extended centerline through where final ends, less how far beside it final was flown."""
    final = pattern.legs[-1]
    last = int(np.clip(np.searchsorted(states.time, final.end), 0, len(states) - 1))
    # Outside is to the left of a right-hand pattern.
    outward = final.course - np.pi / 2 * (1.0 if pattern.direction == "right" else -1.0)
    x, y = plan.xy(
        states.east[last] - final.distance * np.sin(outward),
        states.north[last] - final.distance * np.cos(outward),
    )
    along = float(np.sin(pattern.bearing)), float(-np.cos(pattern.bearing))
    beside = (plan.x(states.east[every]) - x) * along[0] + (plan.y(states.north[every]) - y) * along[1]
    start, end = float(beside.min()), float(beside.max())
    start, end = start - _ONWARD * (end - start), end + _ONWARD * (end - start)
    ends = (x + start * along[0], y + start * along[1], x + end * along[0], y + end * along[1])
    turn = f"translate({x:.1f} {y:.1f}) rotate({np.degrees(pattern.bearing):.1f})"
    return svg.line(*ends, class_="centerline") + svg.tag(
        "path", d="M-9 0H9M-7 4v10M-3 4v10M3 4v10M7 4v10", class_="point", transform=turn
    )


def _number(states: States, pattern: PatternFlown, plan: Plan, number: int, taken: list[Box]) -> Markup:
    """Return the number of a circuit on its downwind leg, where it hides no other."""
    leg = next(each for each in pattern.legs if each.name == "downwind")
    at = leg.start + (0.25 + 0.08 * np.arange(7)) * (leg.end - leg.start)
    index = np.clip(np.searchsorted(states.time, at), 0, len(states) - 1)
    x, y = plan.x(states.east[index]), plan.y(states.north[index])
    boxes = [badge_box(a, b) for a, b in zip(x.tolist(), y.tolist(), strict=True)]
    chosen = freest(boxes, taken, _NO_POINTS, _NO_POINTS, plan.height)
    taken.append(boxes[chosen])
    return badge(float(x[chosen]), float(y[chosen]), number)


def _names(states: States, pattern: PatternFlown, plan: Plan, taken: list[Box]) -> list[Markup]:
    """Return the names of the legs of one circuit, and a chevron on each that shows the way."""
    spots = [_middle(states, leg) for leg in pattern.legs]
    at = [plan.xy(states.east[n], states.north[n]) for n in spots]
    middle = float(np.mean([a for a, _ in at])), float(np.mean([b for _, b in at]))
    chevrons = [
        marks.chevron(*place, float(np.degrees(states.track[n]))) for place, n in zip(at, spots, strict=True)
    ]
    names = [
        leg_name(leg.name, leg.course, place, middle, plan, taken)
        for leg, place in zip(pattern.legs, at, strict=True)
    ]
    return chevrons + names
