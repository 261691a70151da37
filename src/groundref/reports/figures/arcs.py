"""S-turns and elementary eights from above: half circles and loops against the arcs to hold."""

from __future__ import annotations

from typing import Final

import numpy as np
from markupsafe import Markup

from groundref.angles import direction_of
from groundref.assessment.assessed import Assessed
from groundref.assessment.details import LineFlown
from groundref.debriefing import Debrief
from groundref.detection import named
from groundref.detection.maneuver import Lap
from groundref.estimation.states import States
from groundref.reports import naming, places, svg, words
from groundref.reports.figures import above, as_planned, circle_labels, earth, ground, held, marks
from groundref.reports.figures.labels import Box, badge_box, freest
from groundref.reports.figures.plan import SDS, Plan, plan_of

_FINE: Final = 90  # points of an arc to hold
_NO_POINTS: Final = np.empty(0)


def draw(debrief: Debrief, assessed: Assessed, name: str) -> Markup:
    """Return the picture of one maneuver; parameters as for the circle from above."""
    states, m = debrief.states, assessed.maneuver
    plan = plan_of(states, assessed)
    taken = list(above.written(states, assessed, plan))
    return svg.picture(
        name,
        f"{named.title(m.kind)} from above: {naming.how_many(assessed)}",
        describe(assessed),
        plan.height,
        above.patterns(name),
        ground.draw(m.reference, plan),
        *[_asked(states, assessed, plan, lap) for lap in m.laps],
        above.deviations(states, assessed, plan, name),
        above.before_and_after(states, assessed, plan),
        above.between(states, assessed, plan),
        _way(states, assessed, plan),
        above.flown(states, assessed, plan),
        as_planned.path(assessed, plan),
        crossings(states, assessed, plan),
        ground.pylons(m.reference, plan, taken) if m.reference.type == "pylons" else Markup(""),
        numbers(states, assessed, plan, taken),
        circle_labels.ends(states, assessed, plan, taken),
        above.orientation(states, assessed, plan),
        held.draw(debrief, assessed, plan),
        svg.circle(0, 0, 5, class_="cursor", visibility="hidden"),
        ground=earth.lies(debrief.track.frame, plan),
    )


def describe(assessed: Assessed) -> str:
    """Return the picture in words, with its numbers."""
    m = assessed.maneuver
    word = naming.lap(m.kind)
    laps = "; ".join(
        f"{word} {n}: radius {words.both_lengths(lap.radius, lap.radius_sd)},"
        f" from {places.side(lap.radial_max)} to {places.side(lap.radial_min)}"
        for n, lap in enumerate(m.laps, 1)
    )
    about = f" {_line_in_words(assessed)}" if m.reference.type == "line" else ""
    return (
        f"North is up. Radius to hold {words.both_lengths(m.radius, m.radius_sd)}.{about}"
        f" Wind {words.wind(m.wind)}. {laps}.{as_planned.described(assessed)}"
    )


def _line_in_words(assessed: Assessed) -> str:
    bearing = assessed.maneuver.reference.bearing
    return f"The line runs {words.bearing(bearing)} to {words.bearing(bearing + np.pi)}."


def _asked(states: States, assessed: Assessed, plan: Plan, lap: Lap) -> Markup:
    """Return the arc to hold in one lap, with the uncertainty of place and radius together."""
    m = assessed.maneuver
    ends = np.array([lap.first, lap.last])
    azimuth = direction_of(states.east[ends] - lap.about_east, states.north[ends] - lap.about_north)
    sign = 1.0 if lap.turn > 0 else -1.0
    # As far round as the lap itself, which may be more than once.
    swept = sign * (azimuth[1] - azimuth[0])
    swept += 2 * np.pi * np.round((abs(lap.turn) - swept) / (2 * np.pi))
    at = azimuth[0] + sign * np.linspace(0.0, max(float(swept), 0.0), _FINE)
    x = plan.x(lap.about_east + m.radius * np.sin(at))
    y = plan.y(lap.about_north + m.radius * np.cos(at))
    doubt = 2 * SDS * float(np.hypot(m.reference.sd, m.radius_sd)) * plan.scale
    return svg.polyline(x, y, class_="ring", stroke_width=doubt) + svg.polyline(x, y, class_="asked thin")


def _way(states: States, assessed: Assessed, plan: Plan) -> Markup:
    """Return chevrons inside each arc that show the way along it."""
    parts = []
    for lap in assessed.maneuver.laps:
        for share in (0.3, 0.7):
            index = round(lap.first + share * (lap.last - lap.first))
            x, y = plan.xy(states.east[index], states.north[index])
            middle = plan.xy(lap.about_east, lap.about_north)
            far = float(np.hypot(middle[0] - x, middle[1] - y))
            if not far > 40.0:
                continue
            inward = 18.0 / far
            at = x + (middle[0] - x) * inward, y + (middle[1] - y) * inward
            parts.append(marks.chevron(*at, float(np.degrees(states.track[index]))))
    return Markup("").join(parts)


def crossings(states: States, assessed: Assessed, plan: Plan) -> Markup:
    """Return a ring wherever the line was crossed."""
    details = assessed.details
    if not isinstance(details, LineFlown):
        return Markup("")
    x = np.interp([each.time for each in details.crossings], states.time, plan.x(states.east))
    y = np.interp([each.time for each in details.crossings], states.time, plan.y(states.north))
    return Markup("").join(svg.circle(a, b, 5, class_="crossing") for a, b in zip(x, y, strict=True))


def numbers(states: States, assessed: Assessed, plan: Plan, taken: list[Box]) -> Markup:
    """Return the number of each lap half way along it, where it hides no other.

    Parameters
    ----------
    states, assessed, plan
        As for the picture they lie on.
    taken
        Paper that is taken already; what the numbers take is added.
    """
    parts = []
    for number, lap in enumerate(assessed.maneuver.laps, 1):
        shares = 0.5 + 0.06 * np.array([0, 1, -1, 2, -2, 3, -3, 4, -4, 5, -5])
        index = np.round(lap.first + shares * (lap.last - lap.first)).astype(int)
        x, y = plan.x(states.east[index]), plan.y(states.north[index])
        boxes = [badge_box(a, b) for a, b in zip(x.tolist(), y.tolist(), strict=True)]
        chosen = freest(boxes, taken, _NO_POINTS, _NO_POINTS, plan.height)
        taken.append(boxes[chosen])
        parts.append(circle_labels.badge(float(x[chosen]), float(y[chosen]), number))
    return Markup("").join(parts)
