"""Recordings named on the command line, read."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from groundref.cli.options import check_names
from groundref.cli.waiting import waiting

if TYPE_CHECKING:
    from groundref.track.recording import Recording


def read_recordings(names: list[str], columns: str | None = None) -> Recording:
    """Return one recording from one file, several parts of a flight, or standard input (`-`).

    Parameters
    ----------
    names
        The files.
    columns
        A file that says which column of a text table holds what.
    """
    check_names(names)
    from groundref.readers import read, read_many

    mapping = Path(columns) if columns else None
    with waiting(f"reading {', '.join(names)}"):
        if names == ["-"]:
            return read(sys.stdin.buffer, columns=mapping)
        return read(names[0], columns=mapping) if len(names) == 1 else read_many(names, columns=mapping)
