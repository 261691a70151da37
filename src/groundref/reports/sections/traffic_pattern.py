"""The airport traffic pattern: circuits of a runway that was given by its two ends."""

from __future__ import annotations

from collections.abc import Sequence

from groundref.assessment.pattern import PatternFlown
from groundref.debriefing import Debrief
from groundref.reports import words
from groundref.reports.cells import Cell, length
from groundref.reports.figures import pattern
from groundref.reports.laps import dash
from groundref.reports.sections.parts import Figure, Key, Table, swatch
from groundref.reports.sections.rectangular_course import corners_table, legs_table

_ENDINGS = {"full-stop": "full stop", "touch-and-go": "touch-and-go", "low-approach": "low approach"}
_LANDED = {"full-stop", "touch-and-go"}
_DISTANCES = (
    "Distances are from the runway: of the downwind leg from the centerline, of crosswind and base from the"
    " runway's ends, of upwind and final beyond the extended centerline; − is inside. Crab is how far the"
    " nose stands off the leg's course."
)


def heading(patterns: Sequence[PatternFlown]) -> str:
    """Return the title, such as ``Traffic pattern, left, 3 circuits``."""
    ways = list(dict.fromkeys(each.direction for each in patterns))
    return f"Traffic pattern, {' and '.join(ways)}, {words.count(len(patterns), 'circuit')}"


def figure(debrief: Debrief, patterns: Sequence[PatternFlown], name: str) -> Figure:
    """Return the circuits from above."""
    keys = [Key(swatch("flown", dash=dash(n)), f"circuit {n}") for n in range(1, len(patterns) + 1)]
    keys.append(Key(swatch("centerline"), "extended centerline"))
    drawing = pattern.draw(debrief, patterns, f"{name}-above")
    return Figure("above", "The circuits from above", drawing, keys)


def tables(debrief: Debrief, patterns: Sequence[PatternFlown]) -> list[Table]:
    """Return the circuits, their legs and their corners by numbers."""
    return [
        _circuits(debrief, patterns),
        legs_table([leg for each in patterns for leg in each.legs], _DISTANCES),
        corners_table([corner for each in patterns for corner in each.corners]),
    ]


def _circuits(debrief: Debrief, patterns: Sequence[PatternFlown]) -> Table:
    epoch = debrief.track.recording.epoch
    heads = (
        "", "began, UTC", "over the threshold", "landing direction", "ended", "lowest over the runway",
        "downwind leg from the centerline", "turn onto final", "wind",
    )  # fmt: skip
    rows = [
        (
            f"circuit {n}, {each.direction}",
            [
                Cell(words.moment(epoch, each.start)),
                Cell(words.moment(epoch, each.end)),
                Cell(words.bearing(each.bearing)),
                Cell(words.CANNOT_TELL if each.ending is None else _ENDINGS[each.ending]),
                _lowest(each),
                length(each.width, each.width_sd),
                _onto_final(each),
                Cell(_wind(each)),
            ],
        )
        for n, each in enumerate(patterns, 1)
    ]
    return Table("circuits", "Circuit by circuit", "Each circuit of the runway", heads, rows)


def _lowest(flown: PatternFlown) -> Cell:
    """Return the least height over the runway; none is measured of an airplane that stood on it."""
    return Cell("on it") if flown.ending in _LANDED else length(flown.lowest)


def _onto_final(flown: PatternFlown) -> Cell:
    """Return how far the turn onto final went beyond the extended centerline, or stayed short of it."""
    far = length(abs(flown.overshoot), flown.overshoot_sd)
    if words.length(abs(flown.overshoot)) in {words.length(0.0), words.CANNOT_TELL}:
        return far
    return Cell(f"{far.main} {'beyond' if flown.overshoot > 0 else 'short'}", far.metric)


def _wind(flown: PatternFlown) -> str:
    if flown.wind is None or not words.has_direction(flown.wind):
        return words.CANNOT_TELL if flown.wind is None else f"light, {words.speed(flown.wind.speed)}"
    return f"{words.bearing(flown.wind.direction_from)} {words.speed(flown.wind.speed)}"
