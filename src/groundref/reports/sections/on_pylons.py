"""Eights on pylons: the wing held on a pylon by height alone."""

from __future__ import annotations

import numpy as np

from groundref.assessment.assessed import Assessed
from groundref.assessment.details import PivotalFlown
from groundref.debriefing import Debrief
from groundref.reports import facts, svg, tables, words
from groundref.reports.cells import Cell, Row, length
from groundref.reports.figures import path, quantities, strips
from groundref.reports.sections import common
from groundref.reports.sections.parts import Figure, Floats, Key, Section, Table, Track, mark, swatch

_WHY = (
    "Why two pivotal heights: the handbook's GS² / 11.3 counts the ground speed twice, which is exact in"
    " still air only. The pylon stays on the wing when the line to it and the nose turn alike, and the nose"
    " turns by the airspeed: exact is true airspeed times ground speed times the cosine of the crab, over"
    " gravity. With the wind behind, the handbook's height is too high, against the wind too low, by about"
    " the share that the wind is of the airspeed."
)
_LOW = "A pylon that moves ahead of the wing asks to descend, one that falls behind asks to climb."


def _figures(debrief: Debrief, assessed: Assessed, name: str) -> list[Figure]:
    m = assessed.maneuver
    pylon = mark(svg.tag("path", d="M20 1l6 10h-12z", class_="pylon"))
    keys = [Key(pylon, f"the pylons, {facts.how_known(m.reference)}"), *common.lap_keys(assessed, plain=True)]
    if (assessed.profile.lap == 0).any():
        keys.append(Key(swatch("between"), "straight between the loops"))
    keys += common.planned_keys(assessed)
    above = Figure(
        "above", "The loops from above", path.draw(debrief, assessed, f"{name}-above"), keys,
        "The distance from a pylon is not held: it grows and shrinks with the wind.",
    )  # fmt: skip
    drawn = strips.drawable(debrief, assessed, (quantities.above_pylon, quantities.ahead))
    if not drawn:
        return [above]
    heights = common.time_figure(
        debrief, assessed, f"{name}-pivotal", "Height and pylon, moment by moment", drawn, f"{_LOW} {_WHY}"
    )
    return [above, heights]


def _tables(debrief: Debrief, assessed: Assessed) -> list[Table]:
    details = assessed.details
    rows = tables.common_rows(debrief, assessed)
    if not isinstance(details, PivotalFlown):
        return [common.lap_table(debrief, assessed, rows)]
    found = [common.lap_table(debrief, assessed, [*rows[:3], *_pivotal_rows(assessed, details), *rows[3:]])]
    return [*found, _segments(debrief, details)] if details.segments else found


def _pivotal_rows(assessed: Assessed, details: PivotalFlown) -> list[Row]:
    """Return height, pivotal heights and the pylon's angle, extremes by loop."""
    nothing = np.full(details.pivotal.size, np.nan)
    height = nothing if details.height is None else details.height
    off = height - details.pivotal
    said: tuple[tuple[str, Floats], ...] = (
        ("height above the pylon", height),
        ("pivotal height, exact", details.pivotal),
        ("by the handbook", details.handbook),
    )
    laps = range(1, len(assessed.maneuver.laps) + 1)
    lengths = [
        Row(name, tuple(_between(values[assessed.profile.lap == n]) for n in laps)) for name, values in said
    ]
    return [
        *lengths,
        common.lap_row(
            assessed, "farthest above exact", lambda n: _most(off[assessed.profile.lap == n], 1.0)
        ),
        common.lap_row(
            assessed, "farthest below exact", lambda n: _most(off[assessed.profile.lap == n], -1.0)
        ),
        common.lap_row(assessed, "pylon farthest ahead", lambda n: _angle(assessed, details, n, 1.0)),
        common.lap_row(assessed, "pylon farthest behind", lambda n: _angle(assessed, details, n, -1.0)),
    ]


def _between(values: Floats) -> Cell:
    """Return the least and the largest of some lengths."""
    known = values[np.isfinite(values)]
    if known.size == 0:
        return Cell(words.CANNOT_TELL)
    low, high = length(float(known.min())), length(float(known.max()))
    return Cell(
        f"{low.main.rpartition(' ')[0]}–{high.main}", f"{low.metric.rpartition(' ')[0]}–{high.metric}"
    )


def _most(values: Floats, side: float) -> Cell:
    known = side * values[np.isfinite(values)]
    if known.size == 0:
        return Cell(words.CANNOT_TELL)
    return length(float(known.max())) if known.max() > 0 else Cell("never")


def _angle(assessed: Assessed, details: PivotalFlown, lap: int, side: float) -> Cell:
    values = side * details.ahead[assessed.profile.lap == lap]
    if not np.isfinite(values).any():
        return Cell(words.CANNOT_TELL)
    at = int(np.nanargmax(values))
    sd = float(details.ahead_sd[assessed.profile.lap == lap][at])
    return Cell(tables.with_degrees(float(values[at]), sd)) if values[at] > 0 else Cell("never")


def _segments(debrief: Debrief, details: PivotalFlown) -> Table:
    epoch = debrief.track.recording.epoch
    rows = [
        (
            f"{n} to {n + 1}",
            [
                Cell(words.moment(epoch, each.start)),
                Cell(f"{words.number(each.end - each.start, 1)} s"),
                Cell(words.degrees(each.weave)),
            ],
        )
        for n, each in enumerate(details.segments, 1)
    ]
    heads = ("loop", "began, UTC", "wings level for", "track to and fro")
    return Table("segments", "Straight between the loops", "Each straight stretch between loops", heads, rows)


def _moving(debrief: Debrief, assessed: Assessed) -> dict[str, Track]:
    return {"above": common.on_the_ground(debrief, assessed)}


def _says(debrief: Debrief, assessed: Assessed, step: int) -> tuple[str, ...]:
    details = assessed.details
    bank = abs(float(debrief.states.bank[assessed.maneuver.first + step]))
    if not isinstance(details, PivotalFlown) or not assessed.profile.lap[step]:
        return (f"bank {words.degrees(bank)}",)
    height = float("nan") if details.height is None else float(details.height[step])
    ahead = float(details.ahead[step])
    where = "ahead of" if ahead > 0 else "behind"
    return (
        f"{words.length(height)} above the pylon",
        f"pivotal height {words.length(float(details.pivotal[step]))}",
        f"pylon {words.degrees(abs(ahead))} {where} the wing" if words.known(ahead) else "",
        f"bank {words.degrees(bank)}",
    )


SECTION = Section(_figures, common.along_figure, _tables, facts.facts, _moving, _says)
