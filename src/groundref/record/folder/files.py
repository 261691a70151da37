"""Files of a folder that somebody else may have written, read with care and compared with what it says."""

from __future__ import annotations

import os
import stat
from hashlib import sha256
from pathlib import Path
from typing import Final

from groundref.errors import InputError
from groundref.record.folder.shape import File

AGAIN: Final = "export it anew, or copy the folder again"
# A link would lead out of the folder, and a pipe would keep the program waiting.
_CAREFUL: Final = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)


def read_file(folder: Path, name: str, most: int) -> bytes:
    """Return the bytes of a file of the folder.

    Parameters
    ----------
    folder
        Where to look.
    name
        From there; it is known to stay inside.
    most
        How many bytes at most.

    Raises
    ------
    InputError
        When it is not there, no plain file, too large, or cannot be read.
    """
    path = folder / name
    try:
        if path.is_symlink() or (path.parent != folder and path.parent.is_symlink()):
            raise InputError("this is a link", str(path), "put the file itself there")
        descriptor = os.open(path, os.O_RDONLY | _CAREFUL)
        with os.fdopen(descriptor, "rb") as stream:
            found = os.fstat(descriptor)
            if not stat.S_ISREG(found.st_mode):
                raise InputError("this is no plain file", str(path), AGAIN)
            if found.st_size > most:
                raise InputError(
                    f"it has {found.st_size:,} bytes, more than the {most:,} that it may have",
                    str(path),
                    AGAIN,
                )
            return stream.read(most + 1)
    except FileNotFoundError as problem:
        raise InputError("there is no such file", str(path), AGAIN) from problem
    except OSError as problem:
        reason = (problem.strerror or "unknown reason").lower()
        raise InputError(f"it cannot be read ({reason})", str(path), AGAIN) from problem


def read_named(folder: Path, file: File) -> bytes:
    """Return the bytes of a file that `record.json` names, compared with its size and its digest.

    Raises
    ------
    InputError
        When it is not there or not what it was.
    """
    content = read_file(folder, file.file, file.size_bytes)
    if len(content) != file.size_bytes:
        what = f"it has {len(content):,} bytes and not {file.size_bytes:,} as record.json says"
        raise InputError(what, str(folder / file.file), AGAIN)
    if sha256(content).hexdigest() != file.sha256:
        raise InputError(
            "it is not the file that was exported (its SHA-256 differs)", str(folder / file.file), AGAIN
        )
    return content
