"""Results out of the program: whole or not at all, to a file or to standard output."""

from __future__ import annotations

import errno
import os
import sys
import tempfile
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import Final

from groundref.errors import OutputError

STANDARD_OUTPUT: Final = "-"


def write_all(outputs: Mapping[str, bytes], *, private: bool = False) -> None:
    """Write several results, all of them or, when one cannot be written, none.

    Each is first written beside its destination under a name of its own and only then put in place, so that
    a full disk or a crash never leaves half a file. Standard output comes last.

    Parameters
    ----------
    outputs
        What to write, by destination: a path, or `-` for standard output.
    private
        Whether the files are for their owner only, because they hold what is known of people.

    Raises
    ------
    OutputError
        When one of them cannot be written; nothing was then.
    """
    drafts: dict[Path, Path] = {}
    try:
        for destination, content in outputs.items():
            if destination != STANDARD_OUTPUT:
                path = _target(destination)
                if _is_special(path):
                    continue
                drafts[path] = _draft(path, content, private)
        for path, draft in drafts.items():
            _put_in_place(draft, path)
    finally:
        for draft in drafts.values():
            draft.unlink(missing_ok=True)
    for destination, content in outputs.items():
        if destination == STANDARD_OUTPUT:
            _to_standard_output(content)
        elif _is_special(path := _target(destination)):
            _to_special(path, content)


def write(destination: str, content: bytes, *, private: bool = False) -> None:
    """Write one result, completely or not at all; see ``write_all``."""
    write_all({destination: content}, private=private)


def _target(destination: str) -> Path:
    """Return the file itself where the destination is a link to one."""
    path = Path(destination)
    return path.resolve() if path.is_symlink() else path


def _is_special(path: Path) -> bool:
    """Return whether this is a pipe or a device, which cannot be replaced by a file."""
    return path.exists() and not path.is_file() and not path.is_dir()


def _draft(path: Path, content: bytes, private: bool) -> Path:
    """Write the content beside its destination, down to the disk, and return where."""
    if path.is_dir():
        raise OutputError("this is a folder", str(path), "name a file in it")
    draft: Path | None = None
    try:
        if path.exists() and not os.access(path, os.W_OK):
            raise PermissionError(errno.EACCES, "Permission denied")
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
        draft = Path(name)
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        if not private:  # as it is made, a draft is for its owner only
            draft.chmod(_mode(path))
    except OSError as problem:
        if draft is not None:
            with suppress(OSError):
                draft.unlink(missing_ok=True)
        raise unwritable(str(path), problem) from problem
    return draft


def _mode(path: Path) -> int:
    """Return the permissions of the file that is replaced, or those a new file would get."""
    if path.exists():
        return path.stat().st_mode & 0o7777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _put_in_place(draft: Path, path: Path) -> None:
    try:
        draft.replace(path)
    except OSError as problem:
        raise unwritable(str(path), problem) from problem


def _to_special(path: Path, content: bytes) -> None:
    try:
        with path.open("wb") as stream:
            stream.write(content)
    except OSError as problem:
        raise unwritable(str(path), problem) from problem


def _to_standard_output(content: bytes) -> None:
    try:
        sys.stdout.buffer.write(content)
        sys.stdout.buffer.flush()
    except BrokenPipeError:
        raise
    except OSError as problem:
        raise unwritable("standard output", problem) from problem


def unwritable(where: str, problem: OSError) -> OutputError:
    """Say in one sentence why a result cannot be written."""
    remedies = {
        errno.ENOSPC: ("the disk is full", "make room and run it again; nothing was written"),
        errno.EACCES: ("no permission to write here", "choose another folder"),
        errno.EROFS: ("this disk can only be read", "choose another folder"),
        errno.ENOENT: ("the folder does not exist", "make it first"),
        errno.ENOTDIR: ("a part of this path is not a folder", "check the path"),
    }
    reason = (problem.strerror or "unknown reason").lower()
    what, remedy = remedies.get(
        problem.errno or 0, (f"it cannot be written ({reason})", "choose another place")
    )
    return OutputError(what, where, remedy)
