"""The circle from above: where each lap went, outside or inside, against the radius to hold."""

from __future__ import annotations

import numpy as np
from markupsafe import Markup

from groundref.assessment.assessed import Assessed
from groundref.debriefing import Debrief
from groundref.detection.maneuver import Lap
from groundref.estimation.states import States
from groundref.reports import places, svg, words
from groundref.reports.figures import above, as_planned, circle_labels, earth, held, marks
from groundref.reports.figures.plan import HEIGHT, SDS, Plan, plan_of
from groundref.reports.laps import first_sign


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
        above.patterns(name),
        _asked(assessed, plan),
        Markup("") if maneuver.drifts else above.deviations(states, assessed, plan, name),
        # Above the band to hold, which would hide them.
        above.before_and_after(states, assessed, plan),
        _way_round(assessed, plan),
        above.flown(states, assessed, plan),
        as_planned.path(assessed, plan),
        _centers(assessed, plan) if maneuver.drifts else Markup(""),
        _point(assessed, plan),
        circle_labels.draw(states, assessed, plan, above.written(states, assessed, plan)),
        above.orientation(states, assessed, plan),
        held.draw(debrief, assessed, plan),
        svg.circle(0, 0, 5, class_="cursor", visibility="hidden"),
        ground=earth.lies(debrief.track.frame, plan),
    )


def describe(states: States, assessed: Assessed) -> str:
    """Return the picture in words, with its numbers."""
    m = assessed.maneuver
    laps = "; ".join(_lap_in_words(n, lap) for n, lap in enumerate(m.laps, 1))
    drift = f" The circle drifted {_drift(assessed)} a lap." if m.drifts else ""
    radius = "Radius when begun" if m.drifts else "Radius to hold"
    visited = "; ".join(places.in_words(place) for place in places.visited(states, assessed))
    return (
        f"North is up. {radius} {words.both_lengths(m.radius, m.radius_sd)} about the point, which is"
        f" known to ±{words.length_beside(m.reference.sd)}. Wind {words.wind(m.wind)}. {laps}.{drift}"
        f" Places: {visited}.{as_planned.described(assessed)}"
    )


def _lap_in_words(number: int, lap: Lap) -> str:
    return (
        f"lap {number}: radius {words.both_lengths(lap.radius, lap.radius_sd)}, from"
        f" {places.side(lap.radial_max)} to {places.side(lap.radial_min)}"
    )


def _drift(assessed: Assessed) -> str:
    length = float(np.hypot(assessed.maneuver.drift_east, assessed.maneuver.drift_north))
    return words.both_lengths(length, assessed.maneuver.drift_sd)


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
        chevrons.append(marks.chevron(x, y, float(course)))
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
    """Return the center of each lap and the way from one to the next."""
    m = assessed.maneuver
    x = plan.x(np.array([lap.center_east for lap in m.laps]))
    y = plan.y(np.array([lap.center_north for lap in m.laps]))
    parts = [svg.polyline(x, y, class_="drift")]
    for number, (a, b) in enumerate(zip(x.tolist(), y.tolist(), strict=True), 1):
        parts.append(svg.circle(a, b, 4, class_="center", data_lap=number))
        parts.append(svg.text(a + 9, b - 7, str(number), class_="quiet", data_lap=number))
    return Markup("").join(parts)
