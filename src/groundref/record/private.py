"""The record's files, for their owner only."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable
from pathlib import Path
from typing import Final

FILE: Final = 0o600
FOLDER: Final = 0o700
_BESIDE: Final = ("", "-wal", "-shm")  # SQLite gives those beside a record the rights that it has
_OTHERS: Final = stat.S_IRWXG | stat.S_IRWXO


def tighten(path: Path, say: Callable[[str], None] | None) -> None:
    """Take from others the right to read or write a record, should they have it.

    Parameters
    ----------
    path
        Of the record.
    say
        Told in one sentence when others could.
    """
    if os.name == "nt":
        return  # rights come from the folder there, and the user's own data folder is private
    open_to_others = [each for each in map(_beside(path), _BESIDE) if _is_open(each)]
    if not open_to_others:
        return
    try:
        for each in open_to_others:
            each.chmod(FILE)
        told = "others on this machine had rights to the record's file; now it is for you alone"
    except OSError:
        told = "others on this machine have rights to the record's file, and you may not take them away"
    if say is not None:
        say(f"{path}: {told}")


def _beside(path: Path) -> Callable[[str], Path]:
    return lambda ending: path.with_name(path.name + ending)


def _is_open(path: Path) -> bool:
    try:
        return bool(path.stat().st_mode & _OTHERS)
    except OSError:
        return False
