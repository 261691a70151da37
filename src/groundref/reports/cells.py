"""Cells, rows and facts: numbers ready for a table, with the metric twin apart."""

from __future__ import annotations

from dataclasses import dataclass

from groundref.reports import words


@dataclass(frozen=True, slots=True)
class Cell:
    """A value in the reader's unit with the other one beside it, ``metric``, which may be empty."""

    main: str
    metric: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """A quantity with one cell a lap."""

    name: str
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Fact:
    """A name and what is known under it; ``again`` when a printed page says it elsewhere, too."""

    name: str
    value: str
    again: bool = False


def length(value: float | None, sd: float | None = None) -> Cell:
    """Return a length [m] as a cell, without its metric twin when it cannot be told."""
    if not words.known(value):
        return Cell(words.CANNOT_TELL)
    unit, name = words.length_units()[0]
    return Cell(f"{words.with_sd(value, sd, unit)} {name}", words.length_beside(value))


def inline(cell: Cell) -> str:
    """Return a cell in one line, as ``72 ±15 ft (22 m)``."""
    return f"{cell.main} ({cell.metric})" if cell.metric else cell.main


def speed(value: float | None) -> Cell:
    """Return a speed [m s⁻¹] as a cell."""
    if not words.known(value):
        return Cell(words.CANNOT_TELL)
    return Cell(words.speed(value), words.speed_beside(value))
