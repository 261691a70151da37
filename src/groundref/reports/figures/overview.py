"""The whole flight from above, with where each maneuver was."""

from __future__ import annotations

from typing import Final

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from groundref.debriefing import Debrief
from groundref.reports import naming, svg, words
from groundref.reports.figures import earth, marks
from groundref.reports.figures.labels import Box, badge_box, freest, text_box
from groundref.reports.scales import thin
from groundref.units import nautical_mile

Floats = NDArray[np.float64]

HEIGHT: Final = 420
_NORTH: Final = svg.WIDTH - 30.0, 50.0
_SCALE: Final = 16.0, HEIGHT - 56.0
_APART: Final = 37.0  # from one bar of the scale to the other
_RIM: Final = 58.0
_FOOT: Final = 78.0  # paper kept free below, for the scale
_REACHES: Final = (10, 24, 40, 60, 90, 130, 180, 240)  # paper from an end to its name, the nearest first
_LED: Final = 30.0  # from here on a line leads from the end to its name
_TOGETHER: Final = 24.0  # start and end nearer than this on paper have one name


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
    x, y, wide = places(debrief)
    # Where the first sample lies on paper and in the frame says where the origin does.
    origin = float(x[0] - track.east[0] / wide), float(y[0] + track.north[0] / wide)
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
        *_marks(debrief, x, y, _ends(ends, x, y)),
        svg.circle(0, 0, 5, class_="cursor", visibility="hidden"),
        marks.north(*_NORTH),
        marks.scale_bar(1 / wide, *_SCALE, apart=_APART),
        ground=earth.origin(track.frame, *origin, 1 / wide),
    )


def places(debrief: Debrief) -> tuple[Floats, Floats, float]:
    """Return where each sample lies on paper, and how many meters one unit of it is."""
    east, north = debrief.track.east, debrief.track.north
    wide = max(
        float(np.ptp(east)) / (svg.WIDTH - 2 * _RIM), float(np.ptp(north)) / (HEIGHT - _RIM - _FOOT), 0.5
    )
    x = svg.WIDTH / 2 + (east - (east.min() + east.max()) / 2) / wide
    y = (_RIM + HEIGHT - _FOOT) / 2 - (north - (north.min() + north.max()) / 2) / wide
    return x, y, wide


def describe(debrief: Debrief) -> str:
    """Return the map in words, with its numbers."""
    track = debrief.track
    miles = [float(np.ptp(v)) / nautical_mile for v in (track.east, track.north)]
    said = [
        f"maneuver {n}, {naming.within(one)}, {words.moment(track.recording.epoch, one.maneuver.start)} UTC"
        for n, one in enumerate(debrief.maneuvers, 1)
    ]
    found = words.listed(said) if said else "no maneuver was found"
    return f"The flight spans {miles[0]:.1f} NM east to west and {miles[1]:.1f} NM north to south; {found}."


_Named = list[tuple[float, float, str]]


def _ends(ends: tuple[float, float, float, float], x: Floats, y: Floats) -> _Named:
    """Return where the flight began and ended, as one where they lie together."""
    start, end = (float(ends[0]), float(ends[1])), (float(ends[2]), float(ends[3]))
    if np.hypot(start[0] - end[0], start[1] - end[1]) < _TOGETHER:
        return [(*start, "start and end")]
    return [(*start, "start"), (*end, "end")]


def _marks(debrief: Debrief, x: Floats, y: Floats, ends: _Named) -> list[Markup]:
    """Return the maneuvers and the ends with their names where they hide least of the track."""
    taken: list[Box] = [marks.paper_of_north(*_NORTH), marks.paper_of_scale(*_SCALE, apart=_APART)]
    found = [_maneuver(debrief, n, x, y, taken) for n in range(len(debrief.maneuvers))]
    return found + [_end(a, b, label, x, y, taken) for a, b, label in ends]


def _end(at_x: float, at_y: float, label: str, x: Floats, y: Floats, taken: list[Box]) -> Markup:
    spots = [
        (at_x + side * across, at_y + drop, "start" if side > 0 else "end")
        for reach in _REACHES
        for across, drop in (
            (reach, 6), (reach, -0.6 * reach), (0.7 * reach, reach), (0.0, 6 + reach), (0.0, 6 - reach)
        )
        for side in (1, -1)
    ]  # fmt: skip
    boxes = [text_box(a, b, label, anchor) for a, b, anchor in spots]
    chosen = freest(boxes, taken, x, y, HEIGHT)
    taken.append(boxes[chosen])
    box = boxes[chosen]
    near = min(max(at_x, box[0]), box[2]), min(max(at_y, box[1]), box[3])
    far = float(np.hypot(near[0] - at_x, near[1] - at_y)) > _LED
    return svg.group(
        svg.line(at_x, at_y, *near, class_="leader") if far else Markup(""),
        svg.rectangle(at_x - 3.5, at_y - 3.5, at_x + 3.5, at_y + 3.5, class_="end"),
        svg.text(spots[chosen][0], spots[chosen][1], label, spots[chosen][2], class_="quiet"),
    )


def _maneuver(debrief: Debrief, index: int, x: Floats, y: Floats, taken: list[Box]) -> Markup:
    """Return one maneuver drawn strongly, with its number beside it."""
    m = debrief.maneuvers[index].maneuver
    inside = slice(m.first, m.last + 1)
    px, py = x[inside], y[inside]
    kept = thin(px, py)
    left, right, middle_x, middle_y = px.min(), px.max(), px.mean(), py.mean()
    spots = [
        (right + 18, middle_y),
        (left - 18, middle_y),
        (middle_x, py.min() - 18),
        (middle_x, py.max() + 18),
    ]
    boxes = [badge_box(float(a), float(b)) for a, b in spots]
    chosen = freest(boxes, taken, x, y, HEIGHT)
    taken.append(boxes[chosen])
    at_x, at_y = (float(v) for v in spots[chosen])
    return svg.group(
        svg.polyline(px[kept], py[kept], class_="found"),
        svg.circle(at_x, at_y, 13, class_="badge"),
        svg.text(at_x, at_y + 5.5, str(index + 1), "middle", class_="badge-number"),
    )
