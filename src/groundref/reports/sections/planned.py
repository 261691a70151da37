"""Plan and flight in a report: what differed in words, and the numbers side by side."""

from __future__ import annotations

from math import ceil

from groundref.comparison.compare import Comparison
from groundref.comparison.row import Row
from groundref.reports import words
from groundref.reports.cells import Cell, length
from groundref.reports.reading import metric
from groundref.reports.sections.parts import Table
from groundref.units import degree


def belongs(comparison: Comparison | None, number: int) -> bool:
    """Return whether a plan is for a maneuver of the debrief, counted from 1."""
    return comparison is not None and comparison.number == number


def elsewhere(comparison: Comparison | None) -> str:
    """Return the sentence on a plan that nothing was flown by; empty for none."""
    if comparison is None or comparison.number is not None:
        return ""
    return comparison.says[0]


def sentences(comparison: Comparison) -> list[str]:
    """Return what differed, in words."""
    said = comparison.says_metric if metric() and comparison.says_metric else comparison.says
    short = comparison.in_short_metric if metric() and comparison.in_short_metric else comparison.in_short
    return list(said) or [short]


def table(comparison: Comparison) -> Table:
    """Return the numbers side by side."""
    return Table(
        name="planned",
        title="Planned and flown",
        caption="Each number as planned and as flown",
        heads=("", "planned", "flown"),
        rows=[
            (row.name, (_cell(row, row.planned, None), _cell(row, row.flown, row.sd)))
            for row in comparison.rows
        ],
    )


def _direction(value: float, sd: float | None) -> str:
    """Return a direction with its standard deviation, rounded up: none is known to 0°."""
    if sd is None:
        return words.bearing(value)
    if sd >= words.LOOSE_DIRECTION:
        return words.CANNOT_TELL
    return f"{words.bearing(value)} ±{max(ceil(sd / degree - 1e-9), 1)}°"


def _cell(row: Row, value: float | None, sd: float | None) -> Cell:
    """Return a number as a cell."""
    if value is None:
        return Cell("–")
    match row.quantity:
        case "length":
            return length(value, sd)
        case "speed":
            unit, name = words.speed_units()[0]
            return Cell(f"{words.with_sd(value, sd, unit)} {name}", words.speed_beside(value))
        case "direction":
            return Cell(_direction(value, sd))
        case "angle":
            return Cell(f"{words.with_sd(value, sd, degree)}°")
        case _:
            return Cell(f"{value:.0f} s")
