"""A rectangular course or a traffic pattern from above: boundary, legs, corners."""

from __future__ import annotations

from typing import Final

import numpy as np
from markupsafe import Markup

from groundref.assessment.assessed import Assessed
from groundref.assessment.details import CourseFlown, LegFlown
from groundref.debriefing import Debrief
from groundref.detection import named
from groundref.detection.maneuver import Leg
from groundref.estimation.states import States
from groundref.reports import naming, svg, words
from groundref.reports.figures import above, as_planned, circle_labels, earth, ground, held, marks
from groundref.reports.figures.labels import Box, badge_box, freest, text_box
from groundref.reports.figures.plan import Plan, plan_of

_NO_POINTS: Final = np.empty(0)
_INWARD: Final = 24.0  # paper from a leg to its name


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
        ground.draw(m.reference, plan),
        above.before_and_after(states, assessed, plan),
        above.between(states, assessed, plan),
        above.flown(states, assessed, plan),
        as_planned.path(assessed, plan),
        _way(states, assessed, plan),
        _numbers(states, assessed, plan, taken),
        _names(states, assessed, plan, taken),
        circle_labels.ends(states, assessed, plan, taken),
        above.orientation(states, assessed, plan),
        held.draw(debrief, assessed, plan),
        svg.circle(0, 0, 5, class_="cursor", visibility="hidden"),
        ground=earth.lies(debrief.track.frame, plan),
    )


def describe(assessed: Assessed) -> str:
    """Return the picture in words, with its numbers."""
    m, details = assessed.maneuver, assessed.details
    legs = details.legs if isinstance(details, CourseFlown) else ()
    side = "the boundary" if m.reference.source == "given" else "the mean of its side"
    said = "; ".join(_leg_in_words(leg, side) for leg in legs)
    planned = as_planned.described(assessed)
    return (
        f"North is up. {naming.how_many(assessed)}. Wind {words.wind(m.wind)}. {said or 'no leg'}.{planned}"
    )


def _leg_in_words(leg: LegFlown, side: str) -> str:
    return (
        f"circuit {leg.lap} {leg.name}: {words.both_lengths(leg.distance)} outside {side},"
        f" track {words.degrees(abs(leg.off_course))} off"
    )


def _way(states: States, assessed: Assessed, plan: Plan) -> Markup:
    """Return a chevron on the first circuit's legs that shows the way round."""
    legs = assessed.maneuver.laps[0].legs
    parts = []
    for leg in legs:
        index = round(leg.first + 0.7 * (leg.last - leg.first))
        x, y = plan.xy(states.east[index], states.north[index])
        parts.append(marks.chevron(x, y, float(np.degrees(states.track[index]))))
    return Markup("").join(parts)


def _numbers(states: States, assessed: Assessed, plan: Plan, taken: list[Box]) -> Markup:
    """Return the number of each circuit on its first leg."""
    parts = []
    for number, lap in enumerate(assessed.maneuver.laps, 1):
        on = lap.legs[0] if lap.legs else lap
        shares = 0.2 + 0.12 * (number - 1) + 0.08 * np.array([0, 1, 2, 3, 4, 5])
        index = np.clip(np.round(on.first + shares * (on.last - on.first)), on.first, on.last).astype(int)
        x, y = plan.x(states.east[index]), plan.y(states.north[index])
        boxes = [badge_box(a, b) for a, b in zip(x.tolist(), y.tolist(), strict=True)]
        chosen = freest(boxes, taken, _NO_POINTS, _NO_POINTS, plan.height)
        taken.append(boxes[chosen])
        parts.append(circle_labels.badge(float(x[chosen]), float(y[chosen]), number))
    return Markup("").join(parts)


def _names(states: States, assessed: Assessed, plan: Plan, taken: list[Box]) -> Markup:
    """Return the name of each leg beside it, towards the middle, once for all circuits."""
    middle = plan.xy(plan.east, plan.north)
    if assessed.maneuver.reference.places:
        middle = plan.xy(*np.mean(np.array(assessed.maneuver.reference.places), axis=0).tolist())
    seen: set[str] = set()
    parts = []
    for leg in (leg for lap in assessed.maneuver.laps for leg in lap.legs):
        if leg.name in seen:
            continue
        seen.add(leg.name)
        parts.append(_name(states, leg, plan, middle, taken))
    return Markup("").join(parts)


def _name(states: States, leg: Leg, plan: Plan, middle: tuple[float, float], taken: list[Box]) -> Markup:
    index = (leg.first + leg.last) // 2
    at = plan.xy(states.east[index], states.north[index])
    return leg_name(leg.name, leg.course, at, middle, plan, taken)


def leg_name(
    name: str,
    course: float,
    at: tuple[float, float],
    middle: tuple[float, float],
    plan: Plan,
    taken: list[Box],
) -> Markup:
    """Return the name of a leg beside it, towards the middle where there is room.

    Parameters
    ----------
    name, course
        Of the leg, [rad]
    at
        Its middle on paper.
    middle
        That of what it goes round, on paper.
    plan
        The map.
    taken
        Paper that is taken already; what the name takes is added.
    """
    x, y = at
    across = np.cos(course), np.sin(course)  # to the right of the leg, on paper
    inward = 1.0 if (middle[0] - x) * across[0] + (middle[1] - y) * across[1] > 0 else -1.0
    spots = []
    for side, far in ((inward, _INWARD), (inward, 1.6 * _INWARD), (-inward, _INWARD)):
        dx = side * float(across[0])
        anchor = "start" if dx > 0.5 else "end" if dx < -0.5 else "middle"
        reach = far if anchor == "middle" else 0.6 * far
        spots.append((x + reach * dx, y + reach * side * float(across[1]) + 6, anchor))
    boxes = [text_box(a, b, name, anchor) for a, b, anchor in spots]
    chosen = freest(boxes, taken, _NO_POINTS, _NO_POINTS, plan.height)
    taken.append(boxes[chosen])
    return svg.text(spots[chosen][0], spots[chosen][1], name, spots[chosen][2], class_="place")
