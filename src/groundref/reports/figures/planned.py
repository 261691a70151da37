"""The plan from above: the path in the wind, what it is flown about, what to fly at each marked position."""

from __future__ import annotations

from math import ceil, cos, degrees, sin
from typing import Final

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from groundref.detection import named
from groundref.detection.maneuver import Reference
from groundref.planning import Plan
from groundref.reports import plan_words, svg, words
from groundref.reports.figures import (
    earth,
    ground,
    marks,
    on_paper,
    planned_glide,
    planned_marks,
    planned_stop,
)
from groundref.reports.figures.labels import Box, freest
from groundref.reports.figures.plan import Plan as Map
from groundref.reports.scales import bar_length, bar_words

Floats = NDArray[np.float64]

LETTER: Final = 15.0
_LEAST, TALLEST = 380.0, 640.0
_SPAN: Final = 3.1  # of an airplane, in letters
_FINE: Final = 121  # points of a piece of the path
_WAY_IN: Final = 0.3  # of the path's size


def draw(
    plan: Plan, name: str = "plan", *, letter: float = LETTER, tallest: float = TALLEST, alone: bool = True
) -> Markup:
    """Return the picture.

    Parameters
    ----------
    plan
        What was planned.
    name
        Starts the ids inside.
    letter
        Height of its letters, the picture being `svg.WIDTH` wide.
    tallest
        Height of the picture at most.
    alone
        Whether it brings its own look, or is set into a page that does.
    """
    letter = letter if alone else on_paper.on_a_page(letter)
    paper = _map(plan, letter, tallest)
    path = _path(plan, paper)
    found = planned_marks.spots(plan, paper)
    planes, boxes = planned_marks.airplanes(plan, found, _SPAN * letter)
    taken: list[Box] = [*boxes]
    lies = _reference(plan)
    below = ground.draw(lies, paper) if lies else Markup("")
    way_in = _way_in(plan, paper, taken)
    center = _center(plan, paper, taken, letter)
    seen = _and_reference(plan, path, lies, paper)
    reach = planned_glide.line(plan, paper)
    lines = np.append(seen[0], reach[0]), np.append(seen[1], reach[1])
    corner = _wind(plan, lines, taken, letter, paper.height)
    corner += _scale(paper, lines, taken, letter) + _north(lines, taken, letter, paper.height)
    said = _way_in_said(plan, paper, seen, taken, letter)
    said += planned_marks.labels(plan, found, taken, seen, letter, paper.height)
    glide = planned_glide.draw(plan, paper, taken, seen, letter)
    lowest = max(max(box[3] for box in taken), float(path[1].max()))
    height = min(ceil(lowest + 8.0), paper.height)
    return svg.picture(
        name,
        f"{named.title(plan.inputs.kind)} from above, as planned",
        describe(plan),
        height,
        on_paper.style(letter) if alone else Markup(""),
        below,
        glide,
        svg.polyline(*path, class_="asked"),
        _way(path, letter),
        way_in,
        planned_stop.draw(plan, height, letter),  # beneath every word and number
        center,
        corner,
        planes,
        said,
        ground=None if alone else _lies(plan, paper),
    )


def _lies(plan: Plan, paper: Map) -> str | None:
    """Return where on the earth the picture lies; None where the plan has no place on it."""
    latitude, longitude = plan.inputs.latitude, plan.inputs.longitude
    if latitude is None or longitude is None:
        return None
    from groundref.geo.frame import LocalFrame

    return earth.lies(LocalFrame(latitude, longitude), paper)


def describe(plan: Plan) -> str:
    """Return the picture in words, with its numbers."""
    schedule = plan.schedule
    rows = "; ".join(
        f"{n}, {schedule.name[i]}: bank {plan_words.sided(schedule.bank[i])}, "
        f"{words.speed(schedule.ground_speed[i])} over the ground, heading "
        f"{plan_words.named_direction(plan, schedule.heading[i])}, {schedule.time[i]:.0f} s"
        for n, i in enumerate(planned_marks.marked(plan), 1)
    )
    stop = "Not to be flown so. " if planned_stop.stopped(plan) else ""
    return f"{stop}North is up. Wind {wind_said(plan)}. {rows}."


def wind_said(plan: Plan) -> str:
    """Return the wind in a few words."""
    given = plan.inputs
    if given.wind_speed == 0.0:
        return "calm"
    return f"from {plan_words.named_direction(plan, given.wind_from)} at {words.speed(given.wind_speed)}"


def _map(plan: Plan, letter: float, tallest: float) -> Map:
    """Return a map that holds path, entry and reference, with room for labels round it."""
    layout, schedule = plan.layout, plan.schedule
    begin = _begin(plan)
    places = np.array(layout.places if layout.reference in {"point", "rectangle", "pylons"} else ())
    points = places.reshape(-1, 2)
    east = np.concatenate((schedule.east, points[:, 0], [begin[0], layout.entry.place[0]]))
    north = np.concatenate((schedule.north, points[:, 1], [begin[1], layout.entry.place[1]]))
    rim_x, rim_y = 6.2 * letter, 5.0 * letter
    wide, tall = max(float(np.ptp(east)), 1.0), max(float(np.ptp(north)), 1.0)
    across = svg.WIDTH - 2 * rim_x
    height = round(min(max(tall * across / wide + 2 * rim_y, _LEAST), tallest))
    scale = 1.0 / max(wide / across, tall / (height - 2 * rim_y))
    middle = (float(east.min() + east.max()) / 2, float(north.min() + north.max()) / 2)
    return Map(*middle, scale, 0.0, float(height), height)


def _begin(plan: Plan) -> tuple[float, float]:
    """Return where the way in begins on the map [m]."""
    schedule, entry = plan.schedule, plan.layout.entry
    far = _WAY_IN * max(float(np.ptp(schedule.east)), float(np.ptp(schedule.north)))
    return entry.place[0] - far * sin(entry.track), entry.place[1] - far * cos(entry.track)


def _path(plan: Plan, paper: Map) -> tuple[Floats, Floats]:
    """Return the path on paper, points close together."""
    pieces = [piece.at(plan.inputs.air, np.linspace(0.0, 1.0, _FINE)) for piece in plan.layout.pieces]
    x = paper.x(np.concatenate([samples.east for samples in pieces]))
    y = paper.y(np.concatenate([samples.north for samples in pieces]))
    along = np.concatenate(([0.0], np.cumsum(np.hypot(np.diff(x), np.diff(y)))))
    at = np.linspace(0.0, along[-1], max(int(along[-1] / 4.0), 2))
    return np.interp(at, along, x), np.interp(at, along, y)


def _way(path: tuple[Floats, Floats], letter: float) -> Markup:
    """Return chevrons along the path."""
    x, y = path
    every = round(11 * letter / 4.0)
    rows = range(every // 2, x.size - 2, every)
    courses = np.degrees(np.arctan2(x[2:] - x[:-2], y[:-2] - y[2:]))
    return Markup("").join(marks.chevron(float(x[i]), float(y[i]), float(courses[i - 1])) for i in rows)


def _reference(plan: Plan) -> Reference | None:
    """Return what the maneuver is flown about, for the figures of the ground."""
    layout = plan.layout
    if layout.reference in {"none", "point"}:
        return None
    bearing = float("nan")
    if layout.reference == "line":
        (e0, n0), (e1, n1) = layout.places
        bearing = float(np.arctan2(e1 - e0, n1 - n0))
    return Reference(layout.reference, layout.places, 0.0, "given", bearing)


def _and_reference(
    plan: Plan, path: tuple[Floats, Floats], lies: Reference | None, paper: Map
) -> tuple[Floats, Floats]:
    """Return points of the path and of the line, rectangle or radius: labels should leave all in sight."""
    if plan.layout.reference == "point":
        start = (float(plan.schedule.east[0]), float(plan.schedule.north[0]))
        places = np.array([plan.layout.places[0], start])
    elif lies is None or lies.type == "pylons":
        return path
    else:
        places = np.array(lies.places if lies.type == "line" else (*lies.places, lies.places[0]))
    x, y = paper.x(places[:, 0]), paper.y(places[:, 1])
    if plan.layout.reference == "line":  # right across the paper
        x, y = x.mean() + 40.0 * (x - x.mean()), y.mean() + 40.0 * (y - y.mean())
    along = np.concatenate(([0.0], np.cumsum(np.hypot(np.diff(x), np.diff(y)))))
    at = np.arange(0.0, along[-1], 5.0)
    return np.concatenate((path[0], np.interp(at, along, x))), np.concatenate(
        (path[1], np.interp(at, along, y))
    )


def _center(plan: Plan, paper: Map, taken: list[Box], letter: float) -> Markup:
    """Return the point or the pylons, with the radius to the first position."""
    layout, schedule = plan.layout, plan.schedule
    if layout.reference == "pylons":
        lies = _reference(plan)
        for place in layout.places:  # mark and name of each as one: no label may stand on it
            x, y = paper.xy(*place)
            half = on_paper.wide("pylon 1", letter) / 2
            taken.append((x - half, y - letter, x + half, y + 2.2 * letter))
        return Markup("") if lies is None else ground.pylons(lies, paper, taken)
    if layout.reference != "point":
        return Markup("")
    x, y = paper.xy(*layout.places[0])
    start = paper.xy(float(schedule.east[0]), float(schedule.north[0]))
    taken.append((x - 8, y - 8, x + 8, y + 8))
    far = words.length(layout.radius)
    middle = (x + start[0]) / 2, (y + start[1]) / 2
    left = middle[0] - on_paper.wide(far, letter) / 2
    box = _box(left, middle[1], far, letter)
    taken.append(box)
    return svg.group(
        svg.line(x, y, *start, class_="radius"),
        svg.circle(x, y, 7.5, class_="ring"),
        svg.circle(x, y, 3.5, class_="point"),
        svg.text(left, middle[1], far, class_="place plum"),
    )


def _box(x: float, y: float, said: str, letter: float) -> Box:
    return x, y - 0.8 * letter, x + on_paper.wide(said, letter), y + 0.25 * letter


def _way_in(plan: Plan, paper: Map, taken: list[Box]) -> Markup:
    """Return the way in with its arrow; the paper that it takes is added."""
    entry, schedule = plan.layout.entry, plan.schedule
    begin, place = paper.xy(*_begin(plan)), paper.xy(*entry.place)
    first = paper.xy(float(schedule.east[0]), float(schedule.north[0]))
    turn = f"translate({_middle(begin, place)}) rotate({degrees(entry.track):.1f})"
    x, y = np.array([begin[0], place[0], first[0]]), np.array([begin[1], place[1], first[1]])
    for share in np.linspace(0.0, 1.0, 11).tolist():
        at = begin[0] + share * (place[0] - begin[0]), begin[1] + share * (place[1] - begin[1])
        taken.append((at[0] - 4, at[1] - 4, at[0] + 4, at[1] + 4))
    return svg.group(
        svg.polyline(x, y, class_="entry-line"),
        svg.tag("path", d="M0-9L6 6L0 2.5L-6 6Z", class_="arrow", transform=turn),
    )


def _middle(begin: tuple[float, float], end: tuple[float, float]) -> str:
    return f"{(begin[0] + end[0]) / 2:.1f} {(begin[1] + end[1]) / 2:.1f}"


def _way_in_said(
    plan: Plan, paper: Map, seen: tuple[Floats, Floats], taken: list[Box], letter: float
) -> Markup:
    """Return the heading of the way in beside it, where it hides least."""
    begin, place = paper.xy(*_begin(plan)), paper.xy(*plan.layout.entry.place)
    said = f"in on heading {plan_words.direction(plan, plan.roll_in.heading)}"
    wide = on_paper.wide(said, letter)
    spots = []
    for share in (0.0, 0.25, 0.5):
        x, y = begin[0] + share * (place[0] - begin[0]), begin[1] + share * (place[1] - begin[1])
        right, left = x + 0.8 * letter, x - 0.8 * letter - wide
        spots += [
            (right, y + letter),
            (left, y + letter),
            (right, y - 0.4 * letter),
            (left, y - 0.4 * letter),
        ]
        spots += [(x - wide / 2, y + 1.6 * letter), (x - wide / 2, y - letter)]
        spots += [(x - wide / 2, y + 3 * letter), (x - wide / 2, y - 3 * letter)]
        spots += [(right, y + 2.4 * letter), (left, y - 2 * letter)]
    boxes = [_box(x, y, said, letter) for x, y in spots]
    chosen = freest(boxes, taken, *seen, paper.height)
    taken.append(boxes[chosen])
    return svg.text(*spots[chosen], said, class_="place")


def _corner(
    size: tuple[float, float], path: tuple[Floats, Floats], taken: list[Box], height: float
) -> tuple[float, float]:
    """Return the freest place along the rim of the paper for something of a size; it is then taken."""
    wide, tall = size
    low, far = 4.0, svg.WIDTH - wide - 4.0
    columns = [low, far, *np.linspace(low, far, 9)[1:-1].tolist()]
    boxes = [(x, y, x + wide, y + tall) for y in (4.0, height - tall - 4.0) for x in columns]
    boxes += [(x, y, x + wide, y + tall) for x in (low, far) for y in (0.3 * height, 0.5 * height)]
    box = boxes[freest(boxes, taken, *path, height)]
    taken.append(box)
    return box[0], box[1]


def _wind(plan: Plan, path: tuple[Floats, Floats], taken: list[Box], letter: float, height: float) -> Markup:
    """Return an arrow that flies with the wind, and the wind in words."""
    given = plan.inputs
    lines = ["calm"]
    if given.wind_speed:
        gust = f", gusts {words.speed(given.wind_speed + given.gust)}" if given.gust else ""
        lines = [f"wind {words.bearing(given.wind_from)} true", f"{words.speed(given.wind_speed)}{gust}"]
        if given.variation is not None:
            lines.insert(1, f"{words.bearing(given.wind_from - given.variation)} magnetic")
    wide = 3.4 * letter + max(on_paper.wide(line, letter, strong=not n) for n, line in enumerate(lines))
    tall = max(3.4 * letter, 1.15 * letter * len(lines))
    x, y = _corner((wide, tall), path, taken, height)
    drawn = []
    if given.wind_speed:
        size = letter / 15.0 * 0.85
        turn = (
            f"translate({x + 1.6 * letter:.1f} {y + tall / 2:.1f}) "
            f"rotate({degrees(given.wind_from) + 180.0:.1f}) scale({size:.2f})"
        )
        drawn.append(svg.tag("path", d="M0 26V-16M-8-11L0-28L8-11Z", class_="wind", transform=turn))
    top = y + tall / 2 - 1.15 * letter * len(lines) / 2
    drawn += [
        svg.text(x + 3.4 * letter, top + 1.15 * letter * (n + 0.75), line, class_="strong" if not n else None)
        for n, line in enumerate(lines)
    ]
    return svg.group(*drawn)


def _scale(paper: Map, path: tuple[Floats, Floats], taken: list[Box], letter: float) -> Markup:
    longest = 9.0 * letter
    unit, name = words.length_units()[0]
    round_one = bar_length(longest / paper.scale / unit)
    wide = longest + on_paper.wide(f" {bar_words(round_one, name)}", letter) + 7
    x, y = _corner((wide, 2.8 * letter), path, taken, paper.height)
    return marks.scale_bar(paper.scale, x + 1, y + 0.8 * letter, longest, 1.35 * letter)


def _north(path: tuple[Floats, Floats], taken: list[Box], letter: float, height: float) -> Markup:
    x, y = _corner((32.0, 52.0 + letter), path, taken, height)
    return marks.north(x + 16, y + letter + 26)
