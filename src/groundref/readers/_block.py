"""A block of rows of a table as text or numbers; wraps a data frame without importing its library."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from groundref.readers._cells import degrees, in_one_line, is_missing, without_absurd

if TYPE_CHECKING:
    import polars

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

_TRUE = frozenset({"1", "1.0", "true", "t", "yes", "y"})


@dataclass(frozen=True, slots=True)
class Unreadable:
    """Cells that are neither a number nor a usual way to write that there is none, by column."""

    count: Counter[int] = field(default_factory=Counter)
    example: dict[int, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Block:
    """Rows of a table.

    Attributes
    ----------
    frame
        The cells; columns in the order of ``columns``.
    columns
        Number in the file of each column of the frame.
    decimal_comma
        Whether numbers are written with a comma.
    unreadable
        Where unreadable cells are counted, over all blocks.
    """

    frame: polars.DataFrame
    columns: tuple[int, ...]
    decimal_comma: bool
    unreadable: Unreadable

    def __len__(self) -> int:
        """Return the number of rows."""
        return self.frame.height

    def text(self, column: int) -> list[str]:
        """Return a column as text without surrounding blanks; empty where a cell is missing."""
        series = self._series(column)
        if not _is_text(series):
            series = series.cast(str, strict=False)
        return series.str.strip_chars().fill_null("").to_list()

    def is_counted(self, column: int) -> bool:
        """Tell whether a column holds numbers at all, rather than moments written out."""
        series = self._series(column)
        return series.dtype.is_numeric() or (_is_text(series) and not series.str.contains(r"\d[-:]\d").any())

    def numbers(self, column: int, *, position: bool = False) -> Floats:
        """Return a column as numbers; NaN where a cell has none.

        Parameters
        ----------
        column
            Number of the column in the file.
        position
            Whether cells may carry a hemisphere letter or minutes.
        """
        series = self._series(column)
        if not _is_text(series):
            return _finite(series.cast(float, strict=False))
        series = series.str.strip_chars()
        if self.decimal_comma:
            series = series.str.replace(",", ".", literal=True)
        read = series.cast(float, strict=False)
        values = _finite(read)
        odd = series.filter(read.is_null()).drop_nulls()
        strange = [cell for cell in odd.unique(maintain_order=True).to_list() if not is_missing(cell)]
        if not strange:
            return values
        if position:
            meaning = {cell: degrees(cell) for cell in strange}
            rows = np.flatnonzero(read.is_null().to_numpy())
            cells = series.gather(rows).to_list()
            values[rows] = [meaning.get(cell, np.nan) for cell in cells]
            strange = [cell for cell in strange if np.isnan(meaning[cell])]
        if strange:
            self.unreadable.count[column] += int(odd.is_in(strange).sum())
            self.unreadable.example.setdefault(column, in_one_line(strange[0]))
        return values

    def flags(self, column: int) -> Bools:
        """Return a column as yes or no; a missing cell is no."""
        return np.array([cell.lower() in _TRUE for cell in self.text(column)], dtype=np.bool_)

    def _series(self, column: int) -> polars.Series:
        return self.frame.to_series(self.columns.index(column))


def _is_text(series: polars.Series) -> bool:
    return str(series.dtype) == "String"


def _finite(series: polars.Series) -> Floats:
    return without_absurd(np.array(series.to_numpy(), dtype=np.float64))
