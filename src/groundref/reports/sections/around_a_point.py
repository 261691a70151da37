"""Turns around a point."""

from __future__ import annotations

from groundref.assessment.assessed import Assessed
from groundref.debriefing import Debrief
from groundref.reports import facts, places, tables
from groundref.reports.figures import circle
from groundref.reports.sections import common
from groundref.reports.sections.parts import Figure, Key, Section, Table, Track, swatch


def _above(debrief: Debrief, assessed: Assessed, name: str) -> Figure:
    m = assessed.maneuver
    if m.drifts:
        keys = [
            Key(swatch("asked thin"), "the circle as begun"),
            Key(swatch("drift"), "from the center of one lap to the next"),
        ]
    else:
        keys = [Key(swatch("asked-band wide", "asked thin"), "radius to hold"), *common.side_keys(assessed)]
    keys += common.planned_keys(assessed)
    named = places.named_by_wind(assessed) and not m.drifts
    return Figure(
        "circle",
        "The circle from above",
        circle.draw(debrief, assessed, f"{name}-circle"),
        keys,
        "Places are named by the way the airplane flies there: downwind is where the wind pushes it along."
        if named
        else "",
    )


def _figures(debrief: Debrief, assessed: Assessed, name: str) -> list[Figure]:
    return [_above(debrief, assessed, name), common.bank_figure(debrief, assessed, name)]


def _tables(debrief: Debrief, assessed: Assessed) -> list[Table]:
    rows = tables.lap_rows(debrief, assessed)
    return [common.lap_table(debrief, assessed, rows), common.place_table(debrief, assessed)]


def _moving(debrief: Debrief, assessed: Assessed) -> dict[str, Track]:
    return {
        "circle": common.on_the_ground(debrief, assessed),
        "bank": common.by_position(debrief, assessed),
    }


SECTION = Section(_figures, common.along_figure, _tables, facts.facts, _moving, common.says_bank)
