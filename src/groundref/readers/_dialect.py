"""How a text table is laid out: its line of headings, what separates its cells, how it writes decimals."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from groundref.errors import InputError
from groundref.readers._cells import is_missing
from groundref.readers._mapping import Mapping
from groundref.readers._units import is_unit_word
from groundref.readers.headings import Heading, understand

SPACES: Final = " "  # runs of blanks of any length
WIDE_SPACES: Final = "  "  # runs of at least two, so that a heading may hold one
_DELIMITERS: Final = (",", ";", "\t", "|", WIDE_SPACES, SPACES)
_MOST_LINES: Final = 150  # in which headings are looked for
_MARKS: Final = "#%;/* \t"  # that may begin a comment line, and sometimes the line of headings
_DECIMAL_COMMA: Final = re.compile(r"[NSEW]?\s*[+-]?\d+,\d+\s*[NSEW]?", re.IGNORECASE)
_ESSENTIAL: Final = 3  # latitude, longitude, time
_FIT: Final = 20  # rows that should have as many cells as there are headings
_TRIAL: Final = 60  # rows that show how decimals are written
_RUNS: Final = {SPACES: re.compile(r"\s+"), WIDE_SPACES: re.compile(r" {2,}|\t+")}


@dataclass(frozen=True, slots=True)
class Dialect:
    """The layout of a text table.

    Attributes
    ----------
    delimiter
        What separates cells.
    headings
        The columns.
    first_row
        Number of lines above the first row.
    decimal_comma
        Whether numbers are written with a comma.
    preamble
        The lines above the headings.
    """

    delimiter: str
    headings: tuple[Heading, ...]
    first_row: int
    decimal_comma: bool
    preamble: str


def find_dialect(text: str, mapping: Mapping, where: str) -> Dialect:
    """Find the line of headings that is understood best, over all common delimiters.

    Raises
    ------
    InputError
        When the table has a single column, or none of the columns that the mapping file names.
    """
    lines = [line.rstrip("\r") for line in text.split("\n")]
    best = max(_candidates(lines, mapping), key=lambda candidate: candidate[0], default=None)
    if best is None or len(best[3]) < _ESSENTIAL:
        raise InputError(
            "is text without a table of columns", where, "give a GPX file, a CSV log or a state-vector table"
        )
    _, number, delimiter, cells = best
    units, below = _unit_row(lines, number, delimiter, len(cells))
    headings = tuple(mapping.apply(understand(cells, units), where))
    first_row = number + 1 + below
    rows = [split(line, delimiter) for line in lines[first_row : first_row + _TRIAL] if line.strip()]
    return Dialect(
        delimiter=delimiter,
        headings=headings,
        first_row=first_row,
        decimal_comma=mapping.decimal_comma
        if mapping.decimal_comma is not None
        else _writes_comma(rows, headings),
        preamble="\n".join(lines[: max(number, 0)]),
    )


def _candidates(
    lines: Sequence[str], mapping: Mapping
) -> Iterator[tuple[tuple[int, ...], int, str, list[str]]]:
    """Give each line that could hold the headings, with its merit, for each delimiter."""
    if mapping.headings_line == 0:
        first = next((line for line in lines if line.strip()), "")
        for delimiter in mapping.delimiters or _DELIMITERS:
            count = len(split(first, delimiter))
            yield (count,), -1, delimiter, [str(number + 1) for number in range(count)]
        return
    for number, line in enumerate(lines[:_MOST_LINES]):
        if not line.strip() or (mapping.headings_line and number + 1 != mapping.headings_line):
            continue
        complete = False
        for rank, delimiter in enumerate(mapping.delimiters or _DELIMITERS):
            cells = split(_bare(line, delimiter), delimiter)
            if len(cells) > 1:
                merit = _merit(cells, mapping, (number, rank), lines, delimiter)
                complete = complete or merit[0] > 0 or merit[1] == _ESSENTIAL
                yield merit, number, delimiter, cells
        if complete:
            return


def _merit(
    cells: Sequence[str], mapping: Mapping, place: tuple[int, int], lines: Sequence[str], delimiter: str
) -> tuple[int, ...]:
    """Return how well a line serves as headings: named and understood columns, rows that fit, early."""
    understood = {heading.quantity for heading in understand(cells) if heading.quantity}
    named = sum(cell in mapping.names for cell in cells)
    essential = len(understood & {"latitude", "longitude"}) + bool(
        understood & {"time", "time_utc", "elapsed"}
    )
    numbers = sum(cell[:1].isdigit() or cell[:1] in "+-." for cell in cells)
    number, rank = place
    rows = [row for row in lines[number + 1 : number + 1 + _FIT] if row.strip()] if named or essential else []
    fit = sum(len(split(row, delimiter)) == len(cells) for row in rows)
    width = 0 if numbers else len(cells)
    return named, essential, fit, len(understood), -numbers, width, -number, -rank


def _bare(line: str, delimiter: str) -> str:
    """Take the mark of a comment off a line, but no delimiter: a first cell may be empty."""
    return line.lstrip("\ufeff" + _MARKS.replace(delimiter, ""))


def split(line: str, delimiter: str) -> list[str]:
    """Split a line into cells without surrounding blanks."""
    if delimiter in _RUNS:
        return [cell.strip().strip('"') for cell in _RUNS[delimiter].split(line.strip())]
    try:
        return [cell.strip() for cell in next(csv.reader([line], delimiter=delimiter, skipinitialspace=True))]
    except (csv.Error, StopIteration):
        return [cell.strip() for cell in line.split(delimiter)]


def _unit_row(lines: Sequence[str], number: int, delimiter: str, width: int) -> tuple[list[str], int]:
    """Find a row of units below or above the headings, and how many lines it takes below them."""
    for place, below in ((number + 1, 1), (number - 1, 0)):
        if number < 0 or not 0 <= place < len(lines):
            continue
        cells = split(_bare(lines[place], delimiter), delimiter)
        filled = [cell for cell in cells if cell]
        words = sum(is_unit_word(cell) for cell in filled)
        if (
            len(cells) <= width + 1
            and len(filled) > 1
            and words > 0.6 * len(filled)
            and not any(map(_number, filled))
        ):
            return cells, below
    return [], 0


def _number(cell: str) -> bool:
    try:
        float(cell.replace(",", "."))
    except ValueError:
        return False
    return not is_missing(cell)


def _writes_comma(rows: Sequence[Sequence[str]], headings: Sequence[Heading]) -> bool:
    """Tell from latitudes and longitudes whether decimals are written with a comma."""
    places = [heading.index for heading in headings if heading.quantity in {"latitude", "longitude"}]
    cells = [row[place] for row in rows for place in places if place < len(row)]
    return sum(bool(_DECIMAL_COMMA.fullmatch(cell)) for cell in cells) > len(cells) / 2
