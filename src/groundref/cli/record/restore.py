"""``groundref record restore``: a backup back in the place of the record."""

from __future__ import annotations

from pathlib import Path

from groundref.cli.record.common import RecordOption, YesOption, agreed
from groundref.cli.waiting import counting
from groundref.errors import RecordError, UsageError


def restore(backup: Path, /, *, yes: YesOption = False, record: RecordOption = None) -> None:
    """Put a backup in the place of the record. What lies there is kept beside it under another name.

    It also moves a record from a file to an empty database on a server; record backup moves it back.

    Parameters
    ----------
    backup
        A file that record backup wrote, or any other record in a file; it stays as it is.
    yes
        Put it in the place of a record that is there without being asked.
    record
        The record: a file, or postgresql://user@host/database of a school's.
    """
    from groundref.cli.screen import console
    from groundref.record.place import place_of
    from groundref.record.restoring import restore as put_back

    place = place_of(record)
    if not backup.is_file():
        raise RecordError("there is no such file", str(backup), "name the backup")
    if place.path is not None and place.path.exists():
        if backup.exists() and backup.samefile(place.path):
            raise UsageError("this is the record itself", str(backup), "name the backup")
        if not agreed(
            f"{place} is there already; put the backup in its place?",
            yes=yes,
            why=f"{place} is there already",
        ):
            return
    with counting("checking the backup") as progress:
        aside = put_back(backup, place, progress)
        # Still in here: an interrupt does not keep from being said where the other one lies.
        out = console()
        out.print(f"The record in {place} is now as in {backup}.", markup=False)
        if aside is not None:
            out.print(f"What lay there before lies in {aside}.", markup=False)
