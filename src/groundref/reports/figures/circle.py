"""The circle from above: where each lap went, outside or inside, against the radius to hold."""

from __future__ import annotations

from typing import Final

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from groundref.assessment.assessed import Assessed
from groundref.debriefing import Debrief
from groundref.detection.maneuver import Lap
from groundref.estimation.states import States
from groundref.reports import places, svg, words
from groundref.reports.figures import circle_labels, marks
from groundref.reports.figures.labels import Box, broken
from groundref.reports.figures.plan import HEIGHT, SDS, Plan, lap_samples, plan_of, runs, sides
from groundref.reports.laps import dash, first_sign
from groundref.reports.scales import thin

Floats = NDArray[np.float64]

_LEAD_IN: Final = 25.0  # how much of the flight before and after is shown [s]
_WIND_AT: Final = 34.0, 36.0
_NORTH_AT: Final = svg.WIDTH - 30.0, 50.0
_SCALE_AT: Final = HEIGHT - 44.0


def draw(debrief: Debrief, assessed: Assessed, name: str) -> Markup:
    """Return the picture of one maneuver.

    Parameters
    ----------
    debrief
        For the samples.
    assessed
        The maneuver.
    name
        Id of the picture, unique on the page.
    """
    states, maneuver = debrief.states, assessed.maneuver
    plan = plan_of(states, assessed)
    return svg.picture(
        name,
        f"The circle from above: {words.count(len(maneuver.laps), 'lap')} to the {maneuver.direction}",
        describe(states, assessed),
        HEIGHT,
        _patterns(name),
        _asked(assessed, plan),
        Markup("") if maneuver.drifts else _deviations(states, assessed, plan, name),
        # Above the band to hold, which would hide them.
        _before_and_after(states, assessed, plan),
        _way_round(assessed, plan),
        _flown(states, assessed, plan),
        _centers(assessed, plan) if maneuver.drifts else Markup(""),
        _point(assessed, plan),
        circle_labels.draw(states, assessed, plan, _written(states, assessed, plan)),
        marks.wind(maneuver.wind, *_WIND_AT),
        marks.north(*_NORTH_AT),
        marks.scale_bar(plan.scale, _free_corner(states, assessed, plan), _SCALE_AT),
        svg.circle(0, 0, 5, class_="cursor", visibility="hidden"),
    )


def _free_corner(states: States, assessed: Assessed, plan: Plan) -> float:
    """Return where the scale bar begins: at the left, unless the entry and its name are there."""
    index = assessed.maneuver.first
    x, y = plan.xy(states.east[index], states.north[index])
    return 400.0 if x < 0.5 * svg.WIDTH and y > 0.8 * HEIGHT else 22.0


def describe(states: States, assessed: Assessed) -> str:
    """Return the picture in words, with its numbers."""
    m = assessed.maneuver
    laps = "; ".join(_lap_in_words(n, lap) for n, lap in enumerate(m.laps, 1))
    drift = f" The circle drifted {_drift(assessed)} a lap." if m.drifts else ""
    radius = "Radius when begun" if m.drifts else "Radius to hold"
    visited = "; ".join(places.in_words(place) for place in places.visited(states, assessed))
    return (
        f"North is up. {radius} {words.both_lengths(m.radius, m.radius_sd)} about the point, which is"
        f" known to ±{words.metres(m.reference.sd)}. Wind {words.wind(m.wind)}. {laps}.{drift}"
        f" Places: {visited}."
    )


def _lap_in_words(number: int, lap: Lap) -> str:
    return (
        f"lap {number}: radius {words.both_lengths(lap.radius, lap.radius_sd)}, from"
        f" {places.side(lap.radial_max)} to {places.side(lap.radial_min)}"
    )


def _drift(assessed: Assessed) -> str:
    length = float(np.hypot(assessed.maneuver.drift_east, assessed.maneuver.drift_north))
    return words.both_lengths(length, assessed.maneuver.drift_sd)


def _patterns(name: str) -> Markup:
    """Return the hatchings, which tell outside from inside without colour."""
    across = svg.tag("path", d="M-2 2L2-2M0 8L8 0M6 10L10 6", class_="hatch outside")
    dots = svg.circle(2.5, 2.5, 1.0, class_="dot inside")
    size = {"patternUnits": "userSpaceOnUse"}
    return svg.tag(
        "defs",
        svg.tag("pattern", across, id=f"{name}-outside", width=8, height=8, **size),
        svg.tag("pattern", dots, id=f"{name}-inside", width=5, height=5, **size),
    )


def _before_and_after(states: States, assessed: Assessed, plan: Plan) -> Markup:
    """Return the way in, and the way out as a thinner dashed line, not through what is written at the rim."""
    m, written = assessed.maneuver, _written(states, assessed, plan)
    parts = {
        "transit": _neighbours(states, m.first, m.start - _LEAD_IN, m.start + 1.0),
        "transit after": _neighbours(states, m.last, m.end - 1.0, m.end + _LEAD_IN / 2),
    }
    return Markup("").join(
        svg.polyline(*broken(plan.x(states.east[part]), plan.y(states.north[part]), written), class_=name)
        for name, part in parts.items()
    )


def _written(states: States, assessed: Assessed, plan: Plan) -> tuple[Box, ...]:
    """Return the paper that the wind, the north arrow and the scale take."""
    return (
        marks.paper_of_wind(assessed.maneuver.wind, *_WIND_AT),
        marks.paper_of_north(*_NORTH_AT),
        marks.paper_of_scale(_free_corner(states, assessed, plan), _SCALE_AT),
    )


def _neighbours(states: States, index: int, start: float, end: float) -> NDArray[np.int64]:
    """Return the samples of the same gapless piece between two times."""
    inside = (states.time >= start) & (states.time <= end) & (states.piece == states.piece[index])
    return np.flatnonzero(inside)


def _asked(assessed: Assessed, plan: Plan) -> Markup:
    """Return the circle to hold with its uncertainty, point and radius together.

    Where the whole circle drifted no point was held, and its uncertainty would hide what was flown.
    """
    m = assessed.maneuver
    x, y = plan.xy(m.reference.east, m.reference.north)
    if m.drifts:
        return svg.circle(x, y, m.radius * plan.scale, class_="asked thin")
    doubt = 2 * SDS * float(np.hypot(m.reference.sd, m.radius_sd)) * plan.scale
    return svg.group(
        svg.circle(x, y, m.radius * plan.scale, class_="ring", stroke_width=doubt),
        svg.circle(x, y, m.radius * plan.scale, class_="asked thin"),
    )


def _deviations(states: States, assessed: Assessed, plan: Plan, name: str) -> Markup:
    """Return the areas between the path and the circle, hatched by side."""
    parts = []
    for number, index in lap_samples(assessed):
        for side, mask in sides(states, assessed, index).items():
            if side == "on":
                continue
            area = _between(states, assessed, plan, index, mask)
            if area:
                parts.append(svg.tag("path", d=area, style=f"fill:url(#{name}-{side})", data_lap=number))
    return Markup("").join(parts)


def _between(
    states: States, assessed: Assessed, plan: Plan, index: NDArray[np.int64], mask: NDArray[np.bool_]
) -> str:
    """Return the outline between path and circle over each run where the mask holds."""
    m = assessed.maneuver
    azimuth = assessed.profile.azimuth[index - m.first]
    rim_x = plan.x(m.reference.east + m.radius * np.sin(azimuth))
    rim_y = plan.y(m.reference.north + m.radius * np.cos(azimuth))
    x, y = plan.x(states.east[index]), plan.y(states.north[index])
    return "".join(
        svg.path_data(np.concatenate((x[a:b], rim_x[a:b][::-1])), np.concatenate((y[a:b], rim_y[a:b][::-1])))
        + "Z"
        for a, b in runs(mask)
        if b - a > 1
    )


def _flown(states: States, assessed: Assessed, plan: Plan) -> Markup:
    """Return the laps: pattern by lap, weight and colour by side."""
    lines = []
    for number, index in lap_samples(assessed):
        x, y = plan.x(states.east[index]), plan.y(states.north[index])
        for side, mask in sides(states, assessed, index).items():
            # Each run reaches to the sample before it, so that neighbouring runs meet.
            reach = mask | np.concatenate((mask[1:], [False]))
            px, py = np.where(reach, x, np.nan), np.where(reach, y, np.nan)
            kept = thin(px, py)
            style = {"class_": f"flown {side}", "stroke_dasharray": dash(number), "data_lap": number}
            lines.append(svg.polyline(px[kept], py[kept], **style))
    return Markup("").join(lines)


def _way_round(assessed: Assessed, plan: Plan) -> Markup:
    """Return the way round; a circle that drifted has none of its own."""
    if assessed.maneuver.drifts:
        return Markup("")
    return _arrows(assessed, plan)


def _arrows(assessed: Assessed, plan: Plan) -> Markup:
    """Return chevrons inside the circle that show the way round."""
    m, sign = assessed.maneuver, first_sign(assessed)
    start = places.azimuth_of(assessed, 0.0) or 0.0
    chevrons = []
    for eighth in (1, 3, 5, 7):
        azimuth = start + sign * eighth * np.pi / 4
        within = m.radius - 18.0 / plan.scale
        x, y = plan.xy(
            m.reference.east + within * np.sin(azimuth), m.reference.north + within * np.cos(azimuth)
        )
        course = np.degrees(azimuth) + sign * 90.0
        chevrons.append(
            svg.tag(
                "path",
                d="M-5 5L0-5L5 5",
                class_="chevron",
                transform=f"translate({x:.1f} {y:.1f}) rotate({course:.1f})",
            )
        )
    return Markup("").join(chevrons)


def _point(assessed: Assessed, plan: Plan) -> Markup:
    reference = assessed.maneuver.reference
    x, y = plan.xy(reference.east, reference.north)
    ring = SDS * reference.sd * plan.scale
    return svg.group(
        svg.circle(x, y, ring, class_="doubt") if ring > 1.0 and not assessed.maneuver.drifts else Markup(""),
        svg.tag("path", d=f"M{x - 8:.1f} {y:.1f}h16M{x:.1f} {y - 8:.1f}v16", class_="point"),
        Markup("") if assessed.maneuver.drifts else _point_name(x, y + max(ring, 8.0) + 20),
    )


def _point_name(x: float, y: float) -> Markup:
    return svg.text(x, y, "the point", "middle", class_="quiet")


def _centers(assessed: Assessed, plan: Plan) -> Markup:
    """Return the centre of each lap and the way from one to the next."""
    m = assessed.maneuver
    x = plan.x(np.array([lap.center_east for lap in m.laps]))
    y = plan.y(np.array([lap.center_north for lap in m.laps]))
    parts = [svg.polyline(x, y, class_="drift")]
    for number, (a, b) in enumerate(zip(x.tolist(), y.tolist(), strict=True), 1):
        parts.append(svg.circle(a, b, 4, class_="center", data_lap=number))
        parts.append(svg.text(a + 9, b - 7, str(number), class_="quiet", data_lap=number))
    return Markup("").join(parts)
