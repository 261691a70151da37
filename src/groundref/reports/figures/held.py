"""What a maneuver was flown about as places that may be moved by hand, and where on the earth paper lies."""

from __future__ import annotations

from typing import Final

import numpy as np
from markupsafe import Markup

from groundref.angles import difference
from groundref.assessment.assessed import Assessed
from groundref.debriefing import Debrief
from groundref.geo.frame import LocalFrame
from groundref.reports import svg
from groundref.reports.figures.plan import Plan
from groundref.units import foot

_ASKED: Final = {"point": "point", "line": "line", "rectangle": "corners", "pylons": "pylons"}


def draw(debrief: Debrief, assessed: Assessed, plan: Plan) -> Markup:
    """Return an element that draws nothing and holds what moving the places by hand takes.

    Its data: `held`, how a debrief is asked for with such places; `places`, where they lie on paper; `foot`,
    paper for each foot; `earth`, as ``on_earth`` says. Nothing where nothing was flown about.

    Parameters
    ----------
    debrief, assessed
        The maneuver.
    plan
        The map that it is drawn on.
    """
    reference = assessed.maneuver.reference
    if reference.type not in _ASKED:
        return Markup("")
    places = [plan.xy(*place) for place in reference.places]
    return svg.tag(
        "g",
        class_="held",
        data_held=_ASKED[reference.type],
        data_places=" ".join(f"{x:.2f},{y:.2f}" for x, y in places),
        data_foot=f"{plan.scale * foot:.6g}",
        data_earth=" ".join(f"{value:.10g}" for value in on_earth(debrief.track.frame, plan)),
    )


def on_earth(frame: LocalFrame, plan: Plan) -> tuple[float, ...]:
    """Return where on the earth the paper of a map lies.

    Parameters
    ----------
    frame
        Of the metres that the map is drawn from.
    plan
        The map.

    Returns
    -------
    tuple
        Latitude and longitude of the paper's upper left corner, how much of each one unit to the right is,
        and how much of each one unit down [deg]

    Notes
    -----
    Latitude and longitude as linear functions of the place, by central differences over 200 m about the
    middle of the map. What is left out is of second order: at a distance d from the middle at most
    d² tan(latitude) / 2R, 0.1 m at 1 km and 45°, R being the earth's radius.
    """
    d = 100.0
    east = plan.east + np.array([0.0, d, -d, 0.0, 0.0])
    north = plan.north + np.array([0.0, 0.0, 0.0, d, -d])
    middle, right, left, up, down = np.stack(frame.to_geographic(east, north), axis=1)
    across = difference(right, left) / (2 * d * plan.scale)
    below = difference(down, up) / (2 * d * plan.scale)
    x, y = plan.xy(plan.east, plan.north)
    corner = middle - x * across - y * below
    return tuple(np.degrees(np.concatenate((corner, across, below))).tolist())
