"""What every picture from above has: the paths, the way in and out, wind, north and scale."""

from __future__ import annotations

from typing import Final

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from groundref.angles import direction_of
from groundref.assessment.assessed import Assessed
from groundref.estimation.states import States
from groundref.reports import svg
from groundref.reports.figures import marks
from groundref.reports.figures.labels import Box, broken
from groundref.reports.figures.plan import HEIGHT, Plan, about, lap_samples, runs, sides
from groundref.reports.laps import dash
from groundref.reports.scales import thin

Floats = NDArray[np.float64]

_LEAD_IN: Final = 25.0  # how much of the flight before and after is shown [s]
_WIND_AT: Final = 34.0, 36.0
_NORTH_AT: Final = svg.WIDTH - 30.0, 50.0
_SCALE: Final = 44.0  # paper from the scale to the foot
_LEFT: Final = 22.0


def patterns(name: str) -> Markup:
    """Return the hatchings, which tell outside from inside without colour."""
    across = svg.tag("path", d="M-2 2L2-2M0 8L8 0M6 10L10 6", class_="hatch outside")
    dots = svg.circle(2.5, 2.5, 1.0, class_="dot inside")
    size = {"patternUnits": "userSpaceOnUse"}
    return svg.tag(
        "defs",
        svg.tag("pattern", across, id=f"{name}-outside", width=8, height=8, **size),
        svg.tag("pattern", dots, id=f"{name}-inside", width=5, height=5, **size),
    )


def orientation(states: States, assessed: Assessed, plan: Plan) -> Markup:
    """Return the wind, the north arrow and the scale."""
    return svg.group(
        marks.wind(assessed.maneuver.wind, *_WIND_AT),
        marks.north(*_NORTH_AT),
        marks.scale_bar(plan.scale, _scale_from(states, assessed, plan), plan.height - _SCALE),
    )


def written(states: States, assessed: Assessed, plan: Plan) -> tuple[Box, ...]:
    """Return the paper that the wind, the north arrow and the scale take."""
    return (
        marks.paper_of_wind(assessed.maneuver.wind, *_WIND_AT),
        marks.paper_of_north(*_NORTH_AT),
        marks.paper_of_scale(_scale_from(states, assessed, plan), plan.height - _SCALE),
    )


def _scale_from(states: States, assessed: Assessed, plan: Plan) -> float:
    """Return where the scale bar begins: at the left, unless the entry and its name are there."""
    index = assessed.maneuver.first
    x, y = plan.xy(states.east[index], states.north[index])
    crowded = plan.height == HEIGHT and x < 0.5 * svg.WIDTH and y > 0.8 * HEIGHT
    return 400.0 if crowded else _LEFT


def before_and_after(states: States, assessed: Assessed, plan: Plan) -> Markup:
    """Return the way in, and the way out as a thinner dashed line, not through what is written at the rim."""
    m, boxes = assessed.maneuver, written(states, assessed, plan)
    before = _neighbours(states, m.first, m.start - _LEAD_IN, m.start + 1.0)
    after = _neighbours(states, m.last, m.end - 1.0, m.end + _LEAD_IN / 2)
    # Seen from the maneuver: what lies behind a label at the rim would be a line from nowhere.
    lines = {"transit": _until_broken(states, plan, before[::-1], boxes)}
    lines["transit after"] = _until_broken(states, plan, after, boxes)
    return Markup("").join(svg.polyline(*line, class_=name) for name, line in lines.items())


def _until_broken(
    states: States, plan: Plan, index: NDArray[np.int64], boxes: tuple[Box, ...]
) -> tuple[Floats, Floats]:
    """Return a line on paper up to the first label that it meets."""
    x, y = broken(plan.x(states.east[index]), plan.y(states.north[index]), boxes)
    hidden = np.flatnonzero(np.isnan(x))
    end = int(hidden[0]) if hidden.size else x.size
    return x[:end], y[:end]


def _neighbours(states: States, index: int, start: float, end: float) -> NDArray[np.int64]:
    """Return the samples of the same gapless piece between two times."""
    inside = (states.time >= start) & (states.time <= end) & (states.piece == states.piece[index])
    return np.flatnonzero(inside)


def between(states: States, assessed: Assessed, plan: Plan) -> Markup:
    """Return what was flown between the laps: straight segments, and turns that belong to no lap."""
    m = assessed.maneuver
    parts = []
    for first, last in runs(assessed.profile.lap == 0):
        index = np.arange(max(first - 1, 0), min(last + 1, m.last - m.first + 1)) + m.first
        x, y = plan.x(states.east[index]), plan.y(states.north[index])
        kept = thin(x, y)
        parts.append(svg.polyline(x[kept], y[kept], class_="between"))
    return Markup("").join(parts)


def deviations(states: States, assessed: Assessed, plan: Plan, name: str) -> Markup:
    """Return the areas between the path and the circle of each lap, hatched by side."""
    parts = []
    for number, index in lap_samples(assessed):
        for side, mask in sides(states, assessed, number, index).items():
            if side == "on":
                continue
            area = _area(states, assessed, plan, number, index, mask)
            if area:
                # Filled by its group: a look by attribute, that a page without inline styles allows.
                path = svg.tag("path", d=area, class_="area")
                parts.append(svg.group(path, fill=f"url(#{name}-{side})", data_lap=number))
    return Markup("").join(parts)


def _area(
    states: States,
    assessed: Assessed,
    plan: Plan,
    number: int,
    index: NDArray[np.int64],
    mask: NDArray[np.bool_],
) -> str:
    """Return the outline between path and circle over each run where the mask holds."""
    m = assessed.maneuver
    middle_east, middle_north = about(assessed, number)
    azimuth = direction_of(states.east[index] - middle_east, states.north[index] - middle_north)
    rim_x = plan.x(middle_east + m.radius * np.sin(azimuth))
    rim_y = plan.y(middle_north + m.radius * np.cos(azimuth))
    x, y = plan.x(states.east[index]), plan.y(states.north[index])
    return "".join(
        svg.path_data(np.concatenate((x[a:b], rim_x[a:b][::-1])), np.concatenate((y[a:b], rim_y[a:b][::-1])))
        + "Z"
        for a, b in runs(mask)
        if b - a > 1
    )


def flown(states: States, assessed: Assessed, plan: Plan) -> Markup:
    """Return the laps: pattern by lap where they lie over one another, weight and colour by side."""
    lines = []
    for number, index in lap_samples(assessed):
        x, y = plan.x(states.east[index]), plan.y(states.north[index])
        for side, mask in sides(states, assessed, number, index).items():
            # Each run reaches to the sample before it, so that neighbouring runs meet.
            reach = mask | np.concatenate((mask[1:], [False]))
            px, py = np.where(reach, x, np.nan), np.where(reach, y, np.nan)
            kept = thin(px, py)
            pattern = None if assessed.maneuver.kind == "s-turns" else dash(number)
            style = {"class_": f"flown {side}", "stroke_dasharray": pattern, "data_lap": number}
            lines.append(svg.polyline(px[kept], py[kept], **style))
    return Markup("").join(lines)
