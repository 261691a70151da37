"""Where results go: each to a place of its own, and none over what the command reads."""

from __future__ import annotations

import os
import sys
from collections.abc import Hashable, Iterable
from contextlib import suppress
from pathlib import Path
from stat import S_ISREG
from typing import Final

from groundref.errors import UsageError

_STANDARD: Final = "-"
_REMEDY: Final = "name another file for it"


def check_destinations(
    results: Iterable[str | None], recordings: Iterable[str] = (), others: Iterable[str | None] = ()
) -> None:
    """Refuse two results for one place, and a result in the place of an input.

    Links and different spellings of a path are one place.

    Parameters
    ----------
    results
        What is to be written, None where it was not asked for; `-` is standard output.
    recordings
        Recordings that are read; `-` is standard input, which may come from a file too.
    others
        Files that the options name, None where an option is not given; a name that is no file does no harm.

    Raises
    ------
    UsageError
        When a result has no place of its own.
    """
    flown = {identity for name in recordings for identity in _of_input(name)}
    read = {identity for name in others if name for identity in _of_file(name)}
    taken: set[Hashable] = set()
    for name in results:
        if name is None:
            continue
        identities = {_STANDARD} if name == _STANDARD else _of_file(name)
        if taken & identities:
            raise UsageError("two results cannot go to one place", name, "give each its own file")
        if flown & identities:
            raise UsageError("the result would overwrite the recording", name, _REMEDY)
        if read & identities:
            raise UsageError("the result would overwrite a file that this command reads", name, _REMEDY)
        taken |= identities


def _of_input(name: str) -> set[Hashable]:
    if name != _STANDARD:
        return _of_file(name)
    with suppress(OSError, ValueError, AttributeError):  # standard input may be no file, or not be at all
        return _number(os.fstat(sys.stdin.fileno()))
    return set()


def _of_file(name: str) -> set[Hashable]:
    """Return what is the same for every name of a file: its real path and its number on the disk.

    Pipes, devices and the terminal have neither: writing to what is read harms nothing there.
    """
    path = Path(name)
    with suppress(OSError, ValueError):  # reading or writing it will say why
        real: Hashable = os.path.normcase(path.resolve())
        if not path.exists():
            return {real}
        number = _number(path.stat())
        return {real, *number} if number else set()
    return set()


def _number(found: os.stat_result) -> set[Hashable]:
    return {(found.st_dev, found.st_ino)} if S_ISREG(found.st_mode) else set()
