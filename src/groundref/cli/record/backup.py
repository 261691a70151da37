"""``groundref record backup``: a copy of the whole record, consistent while it is in use."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from groundref.cli.record.common import RecordOption, YesOption, agreed, opened
from groundref.cli.waiting import counting, waiting
from groundref.errors import OutputError, UsageError

if TYPE_CHECKING:
    from groundref.record.store import Record


def backup(file: Path, /, *, yes: YesOption = False, record: RecordOption = None) -> None:
    """Copy the whole record into a file, as it is at one moment, and check the copy.

    Others may go on using the record. The copy is a record itself: --record FILE looks into it, and record
    restore puts it back, in a file or on a server.

    Parameters
    ----------
    file
        The copy; in a folder, it is named by the moment.
    yes
        Replace a file that is there without being asked.
    record
        The record: a file, or postgresql://user@host/database of a school's.
    """
    store = opened(record)
    path = _target(file)
    if store.place.path is not None and path.exists() and path.samefile(store.place.path):
        raise UsageError("this is the record itself", str(file), "name another file")
    if path.exists() and not agreed(
        f"{path} is there already; replace it?", yes=yes, why=f"{path} is there already"
    ):
        return
    _copy(store, path)
    from groundref.cli.screen import console

    size = path.stat().st_size / 1e6
    console().print(f"The record was copied to {path} ({size:,.1f} MB), and the copy is sound.", markup=False)


def _target(file: Path) -> Path:
    """Return the file to write, a link followed.

    Raises
    ------
    OutputError
        When there is no such folder, or the link leads to itself.
    """
    try:
        path = file.expanduser().resolve()
    except (OSError, RuntimeError) as problem:
        raise OutputError("this link leads to itself", str(file), "name another file") from problem
    if path.is_dir():
        moment = datetime.now(UTC).strftime("%Y-%m-%dT%H%M%SZ")
        return path / f"training-record-{moment}.sqlite"
    if not path.parent.is_dir():
        raise OutputError("the folder does not exist", str(file), "make it first")
    if path.exists() and not path.is_file():
        raise OutputError("this is no file", str(file), "name another")
    return path


def _copy(store: Record, path: Path) -> None:
    from groundref.record.copying import copy_to
    from groundref.record.migrations import NEWEST
    from groundref.record.restoring import prove

    with waiting("copying the record"), counting("checking the copy") as progress:
        copy_to(store, path, NEWEST, lambda copy: prove(copy, "the copy", progress))
