"""S-turns and elementary eights: half circles and loops of one radius."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from groundref.assessment.assessed import Assessed
from groundref.assessment.details import Crossing, EightFlown, LegFlown, LineFlown
from groundref.debriefing import Debrief
from groundref.reports import facts, naming, svg, tables, words
from groundref.reports.cells import Cell, Row, length, speed
from groundref.reports.figures import arcs
from groundref.reports.laps import during
from groundref.reports.sections import common
from groundref.reports.sections.parts import Figure, Key, Section, Table, Track, mark, swatch

_TITLES = {
    "s-turns": "The half circles from above",
    "eights-along-a-road": "The loops from above",
    "eights-across-a-road": "The loops from above",
    "eights-around-pylons": "The loops from above",
}


def _above(debrief: Debrief, assessed: Assessed, name: str) -> Figure:
    m = assessed.maneuver
    keys = [Key(swatch("asked-band wide", "asked thin"), "radius to hold"), *common.side_keys(assessed)]
    if m.reference.type == "line":
        keys.append(Key(swatch("road", "road-middle"), f"the line, {facts.how_known(m.reference)}"))
    else:
        pylon = svg.tag("path", d="M20 1l6 10h-12z", class_="pylon")
        keys.append(Key(mark(pylon), f"the pylons, {facts.how_known(m.reference)}"))
    if isinstance(assessed.details, LineFlown) and assessed.details.crossings:
        keys.append(Key(mark(svg.circle(20, 6, 4.5, class_="crossing")), "the line crossed"))
    if (assessed.profile.lap == 0).any():
        keys.append(Key(swatch("between"), f"between the {naming.parts(m.kind)}"))
    keys += common.planned_keys(assessed)
    return Figure("above", _TITLES[m.kind], arcs.draw(debrief, assessed, f"{name}-above"), keys)


def _figures(debrief: Debrief, assessed: Assessed, name: str) -> list[Figure]:
    return [_above(debrief, assessed, name), common.bank_figure(debrief, assessed, name)]


def _tables(debrief: Debrief, assessed: Assessed) -> list[Table]:
    rows = tables.lap_rows(debrief, assessed)
    if assessed.maneuver.kind == "s-turns":
        side = common.lap_row(assessed, "side of the line", lambda n: Cell(side_of_line(assessed, n)))
        rows = [*rows[:3], side, *rows[3:]]
    straight = _straight(assessed)
    found = [common.lap_table(debrief, assessed, [*rows, *straight])]
    if isinstance(assessed.details, LineFlown) and assessed.details.crossings:
        found.append(_crossings(debrief, assessed, assessed.details.crossings))
    if isinstance(assessed.details, EightFlown) and assessed.details.legs:
        found.append(_ways(assessed.details.legs))
    return [*found, common.place_table(debrief, assessed)]


def _ways(legs: tuple[LegFlown, ...]) -> Table:
    """Return how the straight ways between the loops were flown."""
    rows = [
        (
            f"{leg.lap} to {leg.lap + 1}, {leg.name}",
            [
                Cell(words.bearing(leg.course)),
                Cell(tables.sided(leg.off_course, leg.off_course_sd)),
                Cell(tables.sided(leg.crab)),
                Cell(tables.sided(leg.crab_needed, leg.crab_sd)),
                speed(leg.ground_speed),
            ],
        )
        for leg in legs
    ]
    heads = ("loops", "course", "track off course", "crab flown", "crab needed", "ground speed")
    says = "The course is that from one loop to the next; crab is how far the nose stands off it."
    return Table("ways", "Straight between the loops", "Each straight way between loops", heads, rows, says)


def _straight(assessed: Assessed) -> list[Row]:
    """Return how long was flown between a loop and the one before; nothing where they follow at once."""
    laps = assessed.maneuver.laps
    gaps = [after.start - before.end for before, after in pairwise(laps)]
    if not any(gap > 1.5 for gap in gaps):
        return []
    cells = [Cell("–"), *(Cell(words.duration(max(gap, 0.0))) for gap in gaps)]
    return [Row("straight before it", tuple(cells))]


def side_of_line(assessed: Assessed, number: int) -> str:
    """Return on which side of the line a half circle lies: upwind or downwind of it, else by the compass."""
    m = assessed.maneuver
    inside = assessed.profile.lap == number
    azimuth = assessed.profile.azimuth[inside]
    azimuth = azimuth[np.isfinite(azimuth)]
    if azimuth.size == 0 or not np.isfinite(m.reference.bearing):
        return words.CANNOT_TELL
    square = m.reference.bearing + np.pi / 2
    side = square if np.cos(azimuth - square).mean() > 0 else square + np.pi
    if m.wind is not None and words.has_direction(m.wind):
        along = float(np.cos(side - m.wind.direction_to))
        if abs(along) > _ALONG:
            return "downwind" if along > 0 else "upwind"
    names = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")
    return names[round(float(side) / (np.pi / 4)) % 8]


_ALONG = 0.26  # a wind within 15° of the line blows on no side of it


def _crossings(debrief: Debrief, assessed: Assessed, crossings: tuple[Crossing, ...]) -> Table:
    epoch = debrief.track.recording.epoch
    between = len(crossings) == len(assessed.maneuver.laps) - 1
    rows = [
        (
            f"{n} to {n + 1}" if between else f"{n}",
            [
                Cell(words.moment(epoch, each.time)),
                Cell(off(each.off_square, each.off_square_sd)),
                Cell(banked(each.bank, each.bank_sd)),
                length(each.along),
            ],
        )
        for n, each in enumerate(crossings, 1)
    ]
    first = naming.parts(assessed.maneuver.kind) if between else "crossing"
    heads = (first, "UTC", "track off square", "bank at the line", "along the line")
    return Table(
        "crossings", "Crossing the line", "Each crossing of the line, in the order flown", heads, rows
    )


def off(angle: float, sd: float) -> str:
    """Return how far to the left or right of something a direction lies [rad]."""
    return tables.sided(angle, sd)


def banked(bank: float, sd: float) -> str:
    """Return a bank with its side, or that the wings were level [rad]."""
    if words.degrees(abs(bank)) != "0°":
        return tables.sided(bank, sd)
    return f"level {tables.with_degrees(0.0, sd).split(' ')[-1]}" if words.known(sd) else "level"


def _moving(debrief: Debrief, assessed: Assessed) -> dict[str, Track]:
    return {"above": common.on_the_ground(debrief, assessed), "bank": common.by_position(debrief, assessed)}


def _says(debrief: Debrief, assessed: Assessed, step: int) -> tuple[str, ...]:
    if assessed.profile.lap[step]:
        return common.says_bank(debrief, assessed, step)
    return (f"bank {words.degrees(abs(float(during(debrief.states.bank, assessed)[step])))}",)


SECTION = Section(_figures, common.along_figure, _tables, facts.facts, _moving, _says)
