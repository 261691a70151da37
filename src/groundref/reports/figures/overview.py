"""The whole flight from above, with where each maneuver was."""

from __future__ import annotations

from typing import Final

import numpy as np
from markupsafe import Markup

from groundref.debriefing import Debrief
from groundref.reports import svg, words
from groundref.reports.figures import marks
from groundref.reports.scales import thin
from groundref.units import nautical_mile

HEIGHT: Final = 400
_RIM: Final = 58.0


def draw(debrief: Debrief, name: str) -> Markup:
    """Return the map of the flight.

    Parameters
    ----------
    debrief
        The flight.
    name
        Id of the picture, unique on the page.
    """
    track = debrief.track
    east, north = track.east, track.north
    wide = max(float(np.ptp(east)) / (svg.WIDTH - 2 * _RIM), float(np.ptp(north)) / (HEIGHT - 2 * _RIM), 0.5)
    x = svg.WIDTH / 2 + (east - (east.min() + east.max()) / 2) / wide
    y = HEIGHT / 2 - (north - (north.min() + north.max()) / 2) / wide
    x, y = x.copy(), y.copy()
    ends = x[0], y[0], x[-1], y[-1]
    # A gap is a break in the line, not a straight flight.
    breaks = np.flatnonzero(np.diff(track.piece)) + 1
    px, py = np.insert(x, breaks, np.nan), np.insert(y, breaks, np.nan)
    kept = thin(px, py, 1.5)
    return svg.picture(
        name,
        "The whole flight from above, north up",
        describe(debrief),
        HEIGHT,
        svg.polyline(px[kept], py[kept], class_="transit"),
        _end(ends[0], ends[1], "start"),
        _end(ends[2], ends[3], "end"),
        *[_maneuver(debrief, n, x, y) for n in range(len(debrief.maneuvers))],
        marks.north(svg.WIDTH - 30.0, 50.0),
        marks.scale_bar(1 / wide, 16.0, HEIGHT - 26.0),
    )


def describe(debrief: Debrief) -> str:
    """Return the map in words, with its numbers."""
    track = debrief.track
    miles = [float(np.ptp(v)) / nautical_mile for v in (track.east, track.north)]
    said = [
        f"maneuver {n}, {words.kind(one.maneuver.kind).lower()},"
        f" {words.both_lengths(one.maneuver.radius)} about its point"
        for n, one in enumerate(debrief.maneuvers, 1)
    ]
    found = words.listed(said) if said else "no maneuver was found"
    return f"The flight spans {miles[0]:.1f} NM east to west and {miles[1]:.1f} NM north to south; {found}."


def _end(x: float, y: float, label: str) -> Markup:
    return svg.group(
        svg.rectangle(x - 3.5, y - 3.5, x + 3.5, y + 3.5, class_="end"),
        svg.text(
            float(np.clip(x, 40, svg.WIDTH - 40)),
            y + (22 if label == "start" else -12),
            label,
            "middle",
            class_="quiet",
        ),
    )


def _maneuver(debrief: Debrief, index: int, x: np.ndarray, y: np.ndarray) -> Markup:
    """Return one maneuver drawn strongly, with its number beside it."""
    m = debrief.maneuvers[index].maneuver
    inside = slice(m.first, m.last + 1)
    px, py = x[inside], y[inside]
    kept = thin(px, py)
    at_x, at_y = float(px.max()) + 18, float(py.mean())
    return svg.group(
        svg.polyline(px[kept], py[kept], class_="found"),
        svg.circle(at_x, at_y, 13, class_="badge"),
        svg.text(at_x, at_y + 5.5, str(index + 1), "middle", class_="badge-number"),
    )
