"""Names and numbers on the circle from above, placed so that none hides another."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from groundref.assessment.assessed import Assessed
from groundref.estimation.states import States
from groundref.reports import places, svg
from groundref.reports.figures.labels import Box, badge_box, broken, freest, on_paper, text_box
from groundref.reports.figures.plan import HEIGHT, Plan

Floats = NDArray[np.float64]

_STAGGER: Final = 0.035  # of a lap between the numbers of one lap and the next
_FEW: Final = 3  # laps; where there are more, each has its number twice
_BEFORE: Final = 70.0, 50.0, 95.0, 130.0, 30.0, 0.0  # paper from the turn to the name of the way in
_AFTER: Final = 110.0, 90.0, 140.0, 170.0, 60.0, 30.0, 0.0  # and to that of the way out
_NO_POINTS: Final = np.empty(0)


def draw(states: States, assessed: Assessed, plan: Plan, written: Sequence[Box]) -> Markup:
    """Return the places, the number of each lap, entry and exit.

    Parameters
    ----------
    states, assessed, plan
        As for the picture they lie on.
    written
        Paper that other labels have taken already.
    """
    taken = list(written)
    return svg.group(
        _place_names(assessed, plan, taken),
        _numbers(states, assessed, plan, taken),
        ends(states, assessed, plan, taken),
    )


def ends(states: States, assessed: Assessed, plan: Plan, taken: list[Box]) -> Markup:
    """Return the names of the way in and the way out, with an arrow where the turn began.

    Parameters
    ----------
    states, assessed, plan
        As for the picture they lie on.
    taken
        Paper that other labels have taken already; what these take is added.
    """
    return _entry(states, assessed, plan, taken) + _exit(states, assessed, plan, taken)


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
    """Return an arrow where the turn began, along the track just before it, with its name on the way in."""
    entry = assessed.maneuver.entry
    index = int(np.clip(np.searchsorted(states.time, entry.turn_time), 0, len(states) - 1))
    x, y = plan.xy(states.east[index], states.north[index])
    if not (np.isfinite(entry.track) and 0 < x < svg.WIDTH and 0 < y < plan.height):
        return Markup("")
    turn = f"translate({x:.1f} {y:.1f}) rotate({np.degrees(entry.track):.1f})"
    return svg.group(
        svg.tag("path", d="M-6 7L0-7L6 7Z", class_="entry", transform=turn),
        _beside(states, assessed, plan, ("entry", _BEFORE), (x, y, entry.track + np.pi), taken),
    )


def _exit(states: States, assessed: Assessed, plan: Plan, taken: list[Box]) -> Markup:
    """Return the name of the way out beside it, where it was recorded."""
    last = assessed.maneuver.last
    after = min(last + 1, len(states) - 1)
    if after == last or states.piece[after] != states.piece[last] or not np.isfinite(states.track[after]):
        return Markup("")
    at = plan.xy(states.east[after], states.north[after])
    return _beside(states, assessed, plan, ("exit", _AFTER), (*at, float(states.track[after])), taken)


def _beside(
    states: States,
    assessed: Assessed,
    plan: Plan,
    named_at: tuple[str, tuple[float, ...]],
    line: tuple[float, float, float],
    taken: list[Box],
) -> Markup:
    """Return a name beside a straight line from a place in a true direction, where it hides nothing else."""
    (name, distances), (x, y, direction) = named_at, line
    m = assessed.maneuver
    middle_x, middle_y = plan.xy(plan.east, plan.north)
    if m.reference.type == "point":
        middle_x, middle_y = plan.xy(m.reference.east, m.reference.north)
    along, across = (np.sin(direction), -np.cos(direction)), (np.cos(direction), np.sin(direction))
    # Away from the circle first.
    outward = 1.0 if (x - middle_x) * across[0] + (y - middle_y) * across[1] >= 0 else -1.0
    named = [
        (
            float(x + far * along[0] + side * off * across[0]),
            float(y + far * along[1] + side * off * across[1]) + 6,
            _anchor(float(side * across[0])),
        )
        for side in (outward, -outward)
        for far in distances
        for off in (12.0, 18.0, 24.0, 32.0)
    ]
    named = [each for each in named if on_paper(text_box(*each[:2], name, each[2]), plan.height)]
    if not named:
        return Markup("")
    boxes = [text_box(a, b, name, anchor) for a, b, anchor in named]
    near = slice(max(m.first - 40, 0), m.last + 40)
    lines = broken(plan.x(states.east[near]), plan.y(states.north[near]), ())
    chosen = freest(boxes, taken, *lines, plan.height)
    taken.append(boxes[chosen])
    return svg.text(named[chosen][0], named[chosen][1], name, named[chosen][2], class_="quiet")


def _anchor(across: float) -> str:
    return "start" if across > 0.35 else "end" if across < -0.35 else "middle"
