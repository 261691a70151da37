"""A folder written whole or not at all."""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Final

from groundref.errors import OutputError
from groundref.record.private import FILE, FOLDER
from groundref.writing import unwritable

_PREFIX: Final = ".groundref-export."
_NO_LOCKS: Final = -1  # where the system or the disk has none


@contextmanager
def new_folder(path: Path) -> Iterator[Path]:
    """Give a folder to write into, which takes its name only when all of it is on the disk.

    Until then it lies beside the destination under a name of its own that begins with a dot. It is for its
    owner only. What an export that was killed left there is deleted first.

    Parameters
    ----------
    path
        The destination: not there yet, or an empty folder.

    Raises
    ------
    OutputError
        When it cannot be written, or something is there already.
    """
    try:
        target = path.expanduser().resolve()
        _check(target, path)
        remove_abandoned(target.parent)
        with _draft(target.parent) as draft:
            yield draft
            _to_disk(draft)
            with suppress(FileNotFoundError):
                target.rmdir()  # empty; where it is no more, the next line would refuse too
            draft.rename(target)
            _flush(target.parent)
    except OSError as problem:
        raise unwritable(str(path), problem) from problem


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


def abandoned_folders(beside: Path) -> list[Path]:
    """Return the drafts in a folder whose program no longer runs, which a killed export leaves.

    Who writes one holds a lock on it, which the system takes back when the program ends, however it ends.
    Windows has no such lock on folders, so that nothing is told to be abandoned there.
    """
    return [draft for draft in sorted(beside.glob(f"{_PREFIX}*")) if _is_abandoned(draft)]


def remove_abandoned(beside: Path) -> None:
    """Delete the drafts in a folder whose program no longer runs."""
    for draft in abandoned_folders(beside):
        shutil.rmtree(draft, ignore_errors=True)


@contextmanager
def _draft(beside: Path) -> Iterator[Path]:
    """Give a new folder that is locked, and gone afterwards unless it got another name."""
    lock: int | None = None
    while lock is None:  # another export may have taken it for abandoned before the lock was there
        draft = Path(tempfile.mkdtemp(dir=beside, prefix=_PREFIX))
        lock = _locked(draft)
    try:
        yield draft
    finally:
        shutil.rmtree(draft, ignore_errors=True)
        if lock != _NO_LOCKS:
            os.close(lock)


def _is_abandoned(draft: Path) -> bool:
    if draft.is_symlink() or not draft.is_dir():
        return False
    try:
        lock = _locked(draft)
    except OSError:
        return False  # somebody else's
    if lock is None or lock == _NO_LOCKS:
        return False
    os.close(lock)
    return True


def _locked(draft: Path) -> int | None:
    """Return the lock on a draft, None where another program holds it or the draft is gone."""
    if sys.platform == "win32":
        return _NO_LOCKS
    import fcntl

    try:
        descriptor = os.open(draft, os.O_RDONLY | os.O_DIRECTORY | os.O_NOFOLLOW)
    except FileNotFoundError:
        return None
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as problem:
        os.close(descriptor)
        return None if isinstance(problem, BlockingIOError) else _NO_LOCKS
    if draft.is_dir():
        return descriptor
    os.close(descriptor)
    return None


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
