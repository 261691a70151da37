"""Pictures, tables and facts that several kinds of maneuver share."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from groundref.assessment.assessed import Assessed
from groundref.debriefing import Debrief
from groundref.reports import facts, naming, places, svg, tables, verdicts, words
from groundref.reports.cells import Cell, Fact, Row
from groundref.reports.figures import as_planned, bank, plan, strips
from groundref.reports.figures.quantities import Strip
from groundref.reports.laps import DASHES, dash, during, tone, turn_sign
from groundref.reports.sections.parts import Figure, Key, Table, Track, mark, swatch
from groundref.units import degree

Floats = NDArray[np.float64]


def lap_keys(assessed: Assessed, *, plain: bool = False) -> list[Key]:
    """Return the pattern of each lap; from above all have one colour, elsewhere later ones are gray."""
    m = assessed.maneuver
    word = naming.lap(m.kind)
    return [
        Key(swatch("flown" if plain else tone(n), dash=dash(n)), f"{word} {n}", n)
        for n in range(1, len(m.laps) + 1)
    ]


def side_keys(assessed: Assessed) -> list[Key]:
    """Return what the looks of a line outside, inside and on the circle mean."""
    return [
        Key(swatch("flown outside"), "outside: thick, striped"),
        Key(swatch("flown inside"), "inside: thin, dotted"),
        Key(swatch("flown on"), "too close to tell, or to within 3%"),
    ]


def planned_keys(assessed: Assessed) -> list[Key]:
    """Return what the planned path is; nothing where there is none."""
    says = as_planned.key(assessed)
    return [Key(planned_swatch(), says)] if says else []


def planned_swatch() -> Markup:
    """Return what a planned line looks like."""
    return mark(svg.tag("path", d="M1 6h38", class_="planned"), as_planned.diamond(20.0, 6.0))


def bank_figure(debrief: Debrief, assessed: Assessed, name: str) -> Figure:
    """Return bank flown against bank required by position."""
    m = assessed.maneuver
    required = bool(np.isfinite(assessed.profile.bank_required).any())
    keys = [Key(swatch("asked-band wide", "asked"), "required")] if required else []
    planned = [Key(planned_swatch(), "as planned")] if bank.planned_bank(assessed).size else []
    parts = naming.parts(m.kind)
    said = (
        "Required is the bank that keeps this radius at the ground speed and crab of that moment: the line is"
        f" the mean of the {parts}, the band how it differed and its uncertainty."
        if required
        else "The bank required can't be told without the wind."
    )
    many = (
        f" After six {parts} the line patterns come round again; the numbers tell them apart."
        if len(m.laps) > len(DASHES)
        else ""
    )
    limit = verdicts.bank_limit(debrief, assessed)
    return Figure(
        "bank",
        "Bank flown against bank required",
        bank.draw(debrief, assessed, f"{name}-bank"),
        [*keys, *planned, *lap_keys(assessed)],
        f"{said} Bank limit: {limit}. Rolling in and out is thin and gray.{many}",
        "bank",
    )


def along_figure(debrief: Debrief, assessed: Assessed, name: str) -> Figure:
    """Return what was to be held along time."""
    drawn = strips.strips(debrief, assessed)
    return time_figure(debrief, assessed, f"{name}-strips", "Along time", drawn)


def time_figure(
    debrief: Debrief, assessed: Assessed, name: str, title: str, drawn: Sequence[Strip], says: str = ""
) -> Figure:
    """Return quantities along time, with a key to what is drawn of them.

    Parameters
    ----------
    debrief, assessed
        The maneuver.
    name
        Id of the picture.
    title
        Its heading.
    drawn
        The quantities.
    says
        Written below it.
    """
    drawing = strips.draw(debrief, assessed, name, drawn)
    return Figure(name.split("-", 1)[1], title, drawing, strip_keys(debrief, assessed, drawn), says)


def strip_keys(debrief: Debrief, assessed: Assessed, drawn: Sequence[Strip]) -> list[Key]:
    """Return what the looks of lines and bands along time mean."""
    keys = []
    if any(strip.reference is not None and np.isfinite(strip.reference) for strip in drawn):
        keys.append(Key(swatch("asked"), "to hold"))
    for strip in drawn:
        for curve in strip.curves:
            if any(curve.says == key.says for key in keys):
                continue
            looks = ("asked-band wide", curve.look) if curve.sd is not None else (curve.look,)
            keys.append(Key(swatch(*looks), curve.says))
    keys.append(Key(swatch("flown-band wide", "flown"), "flown"))
    within = [strip.limit for strip in drawn if strip.limit]
    if within:
        box = svg.tag("rect", x="0", y="1", width="40", height="10", class_="permitted")
        edges = svg.tag("path", d="M0 1h40M0 11h40", class_="limit")
        keys.append(Key(mark(box, edges), f"within the limits: {words.listed(within)}"))
    if any(len(strip.bounds) == 1 for strip in drawn):
        keys.append(Key(swatch(strips.BOUND), f"bank limit: {verdicts.bank_limit(debrief, assessed)}"))
    ends = facts.band(debrief, assessed)
    if ends and any(len(strip.bounds) > 1 for strip in drawn):
        keys.append(Key(swatch(strips.BAND), ends))
    return keys


def lap_table(debrief: Debrief, assessed: Assessed, rows: Sequence[Row], says: str = "") -> Table:
    """Return the table with a column a lap."""
    m = assessed.maneuver
    word = naming.lap(m.kind)
    return Table(
        "laps",
        f"{word.capitalize()} by {word}",
        f"What was flown in each {word}",
        ("", *(f"{word} {n}" for n in range(1, len(m.laps) + 1))),
        [(row.name, row.cells) for row in rows],
        says,
        by_lap=True,
    )


def place_table(debrief: Debrief, assessed: Assessed) -> Table:
    """Return what was flown near each place of each lap."""
    kind = assessed.maneuver.kind
    rows = tables.place_rows(debrief, assessed)
    title = naming.round_it(kind)
    caption = f"Means within 20° of each place, {naming.lap(kind)} by {naming.lap(kind)}"
    heads = (tables.place_head(assessed), *tables.place_heads(assessed))
    return Table("places", title[0].upper() + title[1:], caption, heads, rows)


def on_the_ground(debrief: Debrief, assessed: Assessed) -> Track:
    """Return where each sample lies on the map of the maneuver."""
    paper = plan.plan_of(debrief.states, assessed)
    return (
        paper.x(during(debrief.states.east, assessed)),
        paper.y(during(debrief.states.north, assessed)),
    )


def by_position(debrief: Debrief, assessed: Assessed) -> Track:
    """Return where each sample lies in the picture of bank by position; NaN off the paper while rolling."""
    across, up = bank.scales(debrief, assessed)
    flown = turn_sign(assessed) * during(debrief.states.bank, assessed) / degree
    flown = np.where((flown >= up.low) & (flown <= up.high) & (assessed.profile.lap > 0), flown, np.nan)
    angle = places.unrolled(assessed).angle / degree
    angle = np.where((angle >= across.low) & (angle <= across.high), angle, np.nan)
    return across(angle), up(flown)


def says_bank(debrief: Debrief, assessed: Assessed, step: int) -> tuple[str, ...]:
    """Return bank flown and required, and how far off the circle, of one sample."""
    profile, sign = assessed.profile, float(turn_sign(assessed)[step])
    at = assessed.maneuver.first + step
    return (
        f"bank {words.degrees(sign * float(debrief.states.bank[at]))}",
        f"required {words.degrees(sign * float(profile.bank_required[step]))}",
        places.side(float(profile.radial[step])),
    )


def lap_row(assessed: Assessed, name: str, cell: Callable[[int], Cell]) -> Row:
    """Return a row with a cell for each lap, counted from 1."""
    return Row(name, tuple(cell(n) for n in range(1, len(assessed.maneuver.laps) + 1)))


def first_turn(assessed: Assessed) -> Fact:
    """Return which way the first turn went."""
    return Fact("first turn", "right" if assessed.maneuver.laps[0].turn > 0 else "left")
