"""Recordings named on the command line, read."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from groundref.cli.options import check_names
from groundref.cli.waiting import waiting

if TYPE_CHECKING:
    from groundref.track.recording import Recording


def read_recordings(names: list[str]) -> Recording:
    """Return one recording from one file, several parts of a flight, or standard input (`-`)."""
    check_names(names)
    from groundref.readers import read, read_many

    with waiting(f"reading {', '.join(names)}"):
        if names == ["-"]:
            return read(sys.stdin.buffer)
        return read(names[0]) if len(names) == 1 else read_many(names)
