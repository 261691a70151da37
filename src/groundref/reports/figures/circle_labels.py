"""Names and numbers on the circle from above, placed so that none hides another."""

from __future__ import annotations

from typing import Final

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from groundref.assessment.assessed import Assessed
from groundref.estimation.states import States
from groundref.reports import places, svg
from groundref.reports.figures.labels import Box, badge_box, freest, text_box
from groundref.reports.figures.plan import HEIGHT, Plan

Floats = NDArray[np.float64]

_STAGGER: Final = 0.035  # of a lap between the numbers of one lap and the next
_FEW: Final = 3  # laps; where there are more, each has its number twice
_NO_POINTS: Final = np.empty(0)
_AROUND: Final = tuple(np.radians(np.arange(0.0, 360.0, 20.0)).tolist())


def draw(states: States, assessed: Assessed, plan: Plan) -> Markup:
    """Return the places, the number of each lap and the entry; parameters as for the picture they lie on."""
    taken: list[Box] = []
    return svg.group(
        _place_names(assessed, plan, taken),
        _numbers(states, assessed, plan, taken),
        _entry(states, assessed, plan, taken),
    )


def _place_names(assessed: Assessed, plan: Plan, taken: list[Box]) -> Markup:
    """Return the four names just inside the circle, each with a tick on it; a drifting circle has none."""
    m = assessed.maneuver
    if m.drifts:
        return Markup("")
    parts = []
    for at, label in zip(places.AT, places.NAMES, strict=True):
        azimuth = places.azimuth_of(assessed, at)
        if azimuth is None:
            continue
        east, north = np.sin(azimuth), np.cos(azimuth)
        x, y = plan.xy(m.reference.east + m.radius * east, m.reference.north + m.radius * north)
        depth = 34.0 + 34.0 * abs(east)
        label_x, label_y = x - depth * east, y + depth * north + 5
        taken.append(text_box(label_x, label_y, label, "middle"))
        parts.append(svg.line(x, y, x - 14 * east, y + 14 * north, class_="tick"))
        parts.append(svg.text(label_x, label_y, label, "middle", class_="place"))
    return Markup("").join(parts)


def _numbers(states: States, assessed: Assessed, plan: Plan, taken: list[Box]) -> Markup:
    """Return the number of each lap near where it begins; with many laps, across the circle once more."""
    laps = assessed.maneuver.laps
    starts = (0.0,) if len(laps) <= _FEW else (0.0, 0.5)
    parts = []
    for number, lap in enumerate(laps, 1):
        for start in starts:
            best = start + _STAGGER * number
            shares = best + _STAGGER * np.array([0, 1, -1, 2, -2, 3, -3, 4, 5, 6]) / 2
            index = np.clip(lap.first + np.round((lap.last - lap.first) * shares), lap.first, lap.last)
            x, y = plan.x(states.east[index.astype(int)]), plan.y(states.north[index.astype(int)])
            boxes = [badge_box(a, b) for a, b in zip(x.tolist(), y.tolist(), strict=True)]
            chosen = freest(boxes, taken, _NO_POINTS, _NO_POINTS, HEIGHT)
            taken.append(boxes[chosen])
            parts.append(badge(float(x[chosen]), float(y[chosen]), number))
    return Markup("").join(parts)


def badge(x: float, y: float, number: int) -> Markup:
    """Return the number of a lap in a ring."""
    return svg.group(
        svg.circle(x, y, 13, class_="badge"),
        svg.text(x, y + 5.5, str(number), "middle", class_="badge-number"),
        data_lap=number,
    )


def _entry(states: States, assessed: Assessed, plan: Plan, taken: list[Box]) -> Markup:
    """Return an arrow where the turn began, along the track just before it, with its name."""
    entry = assessed.maneuver.entry
    index = int(np.clip(np.searchsorted(states.time, entry.turn_time), 0, len(states) - 1))
    x, y = plan.xy(states.east[index], states.north[index])
    if not (np.isfinite(entry.track) and 0 < x < svg.WIDTH and 0 < y < HEIGHT):
        return Markup("")
    turn = f"translate({x:.1f} {y:.1f}) rotate({np.degrees(entry.track):.1f})"
    label_x, label_y, anchor = _entry_place(states, assessed, plan, (x, y), taken)
    return svg.group(
        svg.tag("path", d="M-6 7L0-7L6 7Z", class_="entry", transform=turn),
        svg.text(label_x, label_y, "entry", anchor, class_="quiet"),
    )


def _entry_place(
    states: States, assessed: Assessed, plan: Plan, at: tuple[float, float], taken: list[Box]
) -> tuple[float, float, str]:
    """Return place and anchor of the entry's name: as far out from the circle as hides nothing else."""
    m = assessed.maneuver
    x, y = at
    middle_x, middle_y = plan.xy(m.reference.east, m.reference.north)
    outward = float(np.arctan2(y - middle_y, x - middle_x))
    # Straight outward first, then ever farther to either side of it.
    angles = sorted(_AROUND, key=lambda turn: min(turn, 2 * np.pi - turn))
    spots = [
        (
            x + reach * float(np.cos(outward + turn)),
            y + reach * float(np.sin(outward + turn)) + 5,
            outward + turn,
        )
        for reach in (26.0, 40.0)
        for turn in angles
    ]
    named = [(a, b, _anchor(float(np.cos(angle)))) for a, b, angle in spots]
    boxes = [text_box(a, b, "entry", anchor) for a, b, anchor in named]
    near = slice(max(m.first - 40, 0), m.last + 1)
    chosen = freest(boxes, taken, plan.x(states.east[near]), plan.y(states.north[near]), HEIGHT)
    taken.append(boxes[chosen])
    return named[chosen]


def _anchor(across: float) -> str:
    return "start" if across > 0.35 else "end" if across < -0.35 else "middle"
