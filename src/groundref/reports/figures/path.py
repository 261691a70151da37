"""Maneuvers from above that hold no distance: eights on pylons, and steep turns that the wind carries."""

from __future__ import annotations

import numpy as np
from markupsafe import Markup

from groundref.assessment.assessed import Assessed
from groundref.assessment.details import SteepFlown, SteepTurn
from groundref.debriefing import Debrief
from groundref.detection import named
from groundref.estimation.states import States
from groundref.reports import naming, svg, words
from groundref.reports.figures import above, arcs, as_planned, circle_labels, earth, ground, held, marks
from groundref.reports.figures.plan import Plan, plan_of


def draw(debrief: Debrief, assessed: Assessed, name: str) -> Markup:
    """Return the picture of one maneuver; parameters as for the circle from above."""
    states, m = debrief.states, assessed.maneuver
    plan = plan_of(states, assessed)
    taken = list(above.written(states, assessed, plan))
    return svg.picture(
        name,
        f"{named.title(m.kind)} from above: {naming.how_many(assessed)}",
        describe(debrief, assessed),
        plan.height,
        above.before_and_after(states, assessed, plan),
        above.between(states, assessed, plan),
        above.flown(states, assessed, plan),
        as_planned.path(assessed, plan),
        _way(states, assessed, plan),
        _carried(states, assessed, plan),
        ground.pylons(m.reference, plan, taken) if m.reference.type == "pylons" else Markup(""),
        arcs.numbers(states, assessed, plan, taken),
        circle_labels.ends(states, assessed, plan, taken),
        above.orientation(states, assessed, plan),
        held.draw(debrief, assessed, plan),
        svg.circle(0, 0, 5, class_="cursor", visibility="hidden"),
        ground=earth.lies(debrief.track.frame, plan),
    )


def describe(debrief: Debrief, assessed: Assessed) -> str:
    """Return the picture in words, with its numbers."""
    m, details = assessed.maneuver, assessed.details
    turns = details.turns if isinstance(details, SteepFlown) else ()
    said = [_in_words(turn) for turn in turns]
    if m.reference.type == "pylons":
        near = [_nearest(assessed, number) for number in range(1, len(m.laps) + 1)]
        said = [
            f"loop {n}: the pylon {words.both_lengths(v)} away at the nearest" for n, v in enumerate(near, 1)
        ]
    told = "; ".join(said) or "nothing was measured over the ground"
    planned = as_planned.described(assessed)
    return f"North is up. {naming.how_many(assessed)}. Wind {words.wind(m.wind)}. {told}.{planned}"


def _in_words(turn: SteepTurn) -> str:
    return (
        f"turn {turn.lap} was carried {words.both_lengths(turn.drift)};"
        f" the wind alone carries {words.both_lengths(turn.drift_expected)} in that time"
    )


def _nearest(assessed: Assessed, number: int) -> float | None:
    far = assessed.profile.distance[assessed.profile.lap == number]
    far = far[np.isfinite(far)]
    return float(far.min()) if far.size else None


def _way(states: States, assessed: Assessed, plan: Plan) -> Markup:
    """Return chevrons on the line that show the way along it."""
    parts = []
    for lap in assessed.maneuver.laps:
        for share in (0.25, 0.75):
            index = round(lap.first + share * (lap.last - lap.first))
            x, y = plan.xy(states.east[index], states.north[index])
            parts.append(marks.chevron(x, y, float(np.degrees(states.track[index]))))
    return Markup("").join(parts)


def _carried(states: States, assessed: Assessed, plan: Plan) -> Markup:
    """Return an arrow from where each steep turn began to where it ended."""
    if not isinstance(assessed.details, SteepFlown):
        return Markup("")
    parts = []
    for lap in assessed.maneuver.laps:
        start = plan.xy(states.east[lap.first], states.north[lap.first])
        end = plan.xy(states.east[lap.last], states.north[lap.last])
        course = np.degrees(np.arctan2(end[0] - start[0], start[1] - end[1]))
        turn = f"translate({end[0]:.1f} {end[1]:.1f}) rotate({course:.1f})"
        parts += [
            svg.line(*start, *end, class_="drift"),
            svg.tag("path", d="M-5 9L0 0L5 9", class_="drift-head", transform=turn),
        ]
    return Markup("").join(parts)
