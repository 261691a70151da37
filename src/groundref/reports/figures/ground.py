"""What lies on the ground under a maneuver: the line, the pylons, the rectangle."""

from __future__ import annotations

from typing import Final

import numpy as np
from markupsafe import Markup

from groundref.detection.maneuver import Reference
from groundref.reports import svg
from groundref.reports.figures.labels import Box, freest, text_box
from groundref.reports.figures.plan import SDS, Plan

_NO_POINTS: Final = np.empty(0)


def draw(reference: Reference, plan: Plan) -> Markup:
    """Return what a maneuver was flown about, to lie under its paths.

    Parameters
    ----------
    reference
        Of the maneuver.
    plan
        The map.
    """
    if reference.type == "line":
        return _line(reference, plan)
    if reference.type == "rectangle":
        return _rectangle(reference, plan)
    return Markup("")


def _line(reference: Reference, plan: Plan) -> Markup:
    """Return the line right across the map, as broad as it is uncertain where that can be seen."""
    x, y = plan.xy(reference.east, reference.north)
    along = np.sin(reference.bearing), -np.cos(reference.bearing)
    reaches = _reach(x, along[0], 0.0, svg.WIDTH), _reach(y, along[1], plan.top, plan.bottom)
    low, high = max(r[0] for r in reaches), min(r[1] for r in reaches)
    ends = (x + low * along[0], y + low * along[1], x + high * along[0], y + high * along[1])
    doubt = 2 * SDS * reference.sd * plan.scale
    wide = svg.line(*ends, class_="line-doubt", stroke_width=doubt) if doubt > 10.0 else Markup("")
    return wide + svg.line(*ends, class_="road") + svg.line(*ends, class_="road-middle")


def _reach(at: float, step: float, low: float, high: float) -> tuple[float, float]:
    """Return how far a line may go back and forth before it leaves the paper in one direction."""
    if abs(step) < 1e-9:
        return -1e4, 1e4
    first, second = (low - at) / step, (high - at) / step
    return min(first, second), max(first, second)


def _rectangle(reference: Reference, plan: Plan) -> Markup:
    """Return the boundary: solid where it was given, dashed where it was fitted to what was flown."""
    x = plan.x(np.array([place[0] for place in reference.places]))
    y = plan.y(np.array([place[1] for place in reference.places]))
    look = "field" if reference.source == "given" else "field fitted"
    return svg.tag("path", d=svg.path_data(x, y) + "Z", class_=look)


def pylons(reference: Reference, plan: Plan, taken: list[Box]) -> Markup:
    """Return the pylons with their numbers and how surely they are known, to lie above the paths.

    Parameters
    ----------
    reference, plan
        As above.
    taken
        Paper that is taken already; what the numbers take is added.
    """
    parts = []
    for number, place in enumerate(reference.places, 1):
        x, y = plan.xy(*place)
        ring = SDS * reference.sd * plan.scale
        spots = [
            (x, y + 26, "middle"),
            (x, y - 16, "middle"),
            (x + 14, y + 6, "start"),
            (x - 14, y + 6, "end"),
        ]
        boxes = [text_box(a, b, f"pylon {number}", anchor) for a, b, anchor in spots]
        chosen = freest(boxes, taken, _NO_POINTS, _NO_POINTS, plan.height)
        taken.append(boxes[chosen])
        parts += [
            svg.circle(x, y, ring, class_="doubt") if ring > 9.0 else Markup(""),
            svg.tag("path", d=f"M{x:.1f} {y - 9:.1f}l8 14h-16z", class_="pylon"),
            svg.text(spots[chosen][0], spots[chosen][1], f"pylon {number}", spots[chosen][2], class_="quiet"),
        ]
    return Markup("").join(parts)
