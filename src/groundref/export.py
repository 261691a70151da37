"""A debrief as data: the JSON document and the series, as bytes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from groundref.documents import to_json as to_json
from groundref.errors import UsageError
from groundref.writing import STANDARD_OUTPUT

if TYPE_CHECKING:
    from numpy.typing import NDArray

Column = Sequence[Any]


def to_series(columns: Mapping[str, NDArray[np.generic] | Column], destination: str) -> bytes:
    """Return columns of one length as CSV or Parquet, by the suffix of the destination.

    Missing numbers (NaN) are empty cells. In CSV, as in the JSON, a time is `2026-05-01T12:00:00.000Z`; in
    Parquet it is a UTC timestamp.

    Raises
    ------
    UsageError
        When the suffix says neither.
    """
    suffix = _suffix(destination, "series")
    import polars

    frame = polars.DataFrame(dict(columns), nan_to_null=True)
    times = [name for name, kind in frame.schema.items() if kind == polars.Datetime]
    if suffix == ".parquet":
        return _parquet(frame.with_columns(polars.col(times).cast(polars.Datetime("ms", "UTC"))))
    written = frame.with_columns(polars.col(times).dt.strftime("%Y-%m-%dT%H:%M:%S%.3fZ"))
    return written.write_csv().encode()


def to_table(columns: Mapping[str, Column], kinds: Mapping[str, type], destination: str) -> bytes:
    """Return a table for a spreadsheet as CSV, or as Parquet, by the suffix of the destination.

    A spreadsheet takes a cell that begins like a formula for one and works it out, whoever wrote it; in CSV
    such words get an apostrophe before them. A CSV file begins with the mark by which spreadsheets know
    UTF-8; standard output does not.

    Parameters
    ----------
    columns
        Values by heading, all of one length, None where there is none.
    kinds
        Kind of each column's values: str, int or float.
    destination
        Ends with .csv or .parquet, or is `-`, which is CSV.

    Raises
    ------
    UsageError
        When the suffix says neither.
    """
    suffix = _suffix(destination, "table")
    import polars

    frame = polars.DataFrame(dict(columns), schema=dict(kinds))
    if suffix == ".parquet":
        return _parquet(frame)
    words = polars.col(polars.String)
    formula = words.str.contains(r"^[=+\-@\t\r]")
    told = frame.with_columns(polars.when(formula).then(polars.lit("'") + words).otherwise(words).name.keep())
    return told.write_csv(include_bom=destination != STANDARD_OUTPUT).encode()


def _suffix(destination: str, noun: str) -> str:
    suffix = Path(destination).suffix.lower()
    if suffix not in {".csv", ".parquet"} and destination != STANDARD_OUTPUT:
        raise UsageError(
            f"a {noun} is written as .csv or .parquet, not {suffix or 'without a suffix'}",
            destination,
            "change the end of the name",
        )
    return suffix


def _parquet(frame: Any) -> bytes:
    from io import BytesIO

    buffer = BytesIO()
    frame.write_parquet(buffer)
    return buffer.getvalue()
