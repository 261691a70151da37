"""A folder written whole or not at all."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from groundref.errors import OutputError
from groundref.record.private import FILE, FOLDER
from groundref.writing import unwritable


@contextmanager
def new_folder(path: Path) -> Iterator[Path]:
    """Give a folder to write into, which takes its name only when all of it is on the disk.

    Until then it lies beside the destination under a name of its own that begins with a dot. It is for its
    owner only.

    Parameters
    ----------
    path
        The destination: not there yet, or an empty folder.

    Raises
    ------
    OutputError
        When it cannot be written, or something is there already.
    """
    draft: Path | None = None
    try:
        target = path.expanduser().resolve()
        _check(target, path)
        draft = Path(tempfile.mkdtemp(dir=target.parent, prefix=f".{target.name}.", suffix=".part"))
        yield draft
        _to_disk(draft)
        with suppress(FileNotFoundError):
            target.rmdir()  # empty; where it is no more, the next line would refuse too
        draft.rename(target)
        draft = None
        _flush(target.parent)
    except OSError as problem:
        raise unwritable(str(path), problem) from problem
    finally:
        if draft is not None:
            shutil.rmtree(draft, ignore_errors=True)


def write_file(folder: Path, name: str, content: bytes) -> None:
    """Write a file of the folder, for its owner only.

    Parameters
    ----------
    folder
        From ``new_folder``.
    name
        From there; / parts folders, which are made.
    content
        What to write.
    """
    path = folder / name
    path.parent.mkdir(mode=FOLDER, exist_ok=True)
    with os.fdopen(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, FILE), "wb") as stream:
        stream.write(content)


def _check(target: Path, named: Path) -> None:
    if target.is_dir():
        if any(target.iterdir()):
            raise OutputError("this folder is not empty", str(named), "name a new one")
        if target == Path.cwd():
            raise OutputError("this is the folder you are in", str(named), "name a new one in it")
    elif target.exists():
        raise OutputError("this is a file", str(named), "name a new folder")


def _to_disk(folder: Path) -> None:
    """Flush everything in a folder; last, so that most of it is on its way by then."""
    for place, _, names in os.walk(folder):
        for name in names:
            _flush(Path(place) / name)
        _flush(Path(place))


def _flush(path: Path) -> None:
    folder = path.is_dir()
    if folder and os.name == "nt":
        return  # Windows opens no folders, and writes their entries by itself
    descriptor = os.open(path, os.O_RDONLY if folder else os.O_RDWR)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
