"""Recordings of a flight, read by what they contain."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import BinaryIO

from groundref.readers._sniff import kind_of
from groundref.readers._source import Source, open_source
from groundref.track.joining import join
from groundref.track.recording import Recording

__all__ = ["read", "read_many"]


def read(path: str | Path | BinaryIO, *, columns: Path | BinaryIO | None = None) -> Recording:
    """Read one recording: GPX, a CSV log, or an ADS-B state-vector table in CSV, JSON or Parquet.

    The format is told by the content, plain or packed with gzip. The samples stay in the order of the file
    and nothing is mended; rows without a readable time or position are listed as rejected.

    Parameters
    ----------
    path
        A file, or a binary stream such as ``sys.stdin.buffer``.
    columns
        A mapping file, or the stream of one, that says which column is which, where the headings do not.

    Raises
    ------
    InputError
        When it cannot be read as a recording.
    NothingToWorkOnError
        When it was read and has no sample with time and position.
    """
    with open_source(path) as source:
        return _read(source, kind_of(source), columns)


def read_many(paths: Iterable[str | Path | BinaryIO], *, columns: Path | BinaryIO | None = None) -> Recording:
    """Read several recordings of one flight and put them together in the order of their times.

    Raises
    ------
    UsageError
        When two of them were in different places at the same time; and as ``read`` does.
    """
    return join([read(path, columns=columns) for path in paths])


def _read(source: Source, kind: str, columns: Path | BinaryIO | None) -> Recording:
    """Hand the source to its reader; each is loaded only when it is needed."""
    if kind == "gpx":
        from groundref.readers.gpx import read_gpx

        return read_gpx(source)
    if kind == "table":
        from groundref.readers.csv_log import read_csv

        return read_csv(source, columns)
    from groundref.readers.adsb import read_json, read_parquet

    return read_json(source, columns) if kind == "json" else read_parquet(source, columns)
