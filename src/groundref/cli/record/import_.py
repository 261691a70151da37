"""``groundref record import``: a folder that was exported, taken into the record."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import Parameter

from groundref.cli.record.common import JsonOption, RecordOption, opened, write_json

if TYPE_CHECKING:
    from pathlib import Path

    from groundref.record.folder.take import Taken


def import_(
    folder: str,
    /,
    *,
    keep_own: Annotated[bool, Parameter(name="--keep-own", negative=(), show_default=False)] = False,
    json: JsonOption = None,
    record: RecordOption = None,
) -> None:
    """Take a folder that was exported into the record, all of it or nothing.

    Parameters
    ----------
    folder
        That `groundref record export` wrote, here or on another computer.
    keep_own
        Where the record holds a lesson already and says something else about it, leave it and take the rest.
    json
        Write what was taken as JSON to this file; - is standard output, and then nothing else goes there.
    record
        The record: a file, or postgresql://user@host/database of a school's.
    """
    from pathlib import Path

    from groundref.cli.waiting import counting
    from groundref.record.folder.read import brought
    from groundref.record.folder.take import take

    with (
        counting("reading file") as reading,
        brought(Path(folder), beside=_beside(record), step=reading) as found,
        counting("writing lesson") as writing,
    ):
        taken = take(opened(record, make=True), found, keep_own=keep_own, step=writing)
        # Still in here: an interrupt does not keep from being said what is in the record.
        if json is not None:
            write_json("record-import", {"folder": folder, **_plain(taken)}, json)
        if json != "-":
            _say(taken, folder)


def _beside(record: str | None) -> Path | None:
    """Return the folder of the record's file, whose disk has to have room for it all anyway."""
    from groundref.record.place import place_of

    path = place_of(record).path
    return None if path is None or not path.parent.is_dir() else path.parent


def _plain(taken: Taken) -> dict[str, Any]:
    return {
        "lessons": [
            {"in_folder": one.in_folder, "lesson": one.number, "what": one.what} for one in taken.lessons
        ],
        "new_people": taken.people,
        "new_airplanes": taken.airplanes,
        "new_sites": taken.sites,
        "new_recordings": taken.recordings,
        "differing": list(taken.differing),
    }


def _say(taken: Taken, folder: str) -> None:
    from groundref.cli.screen import console

    out = console()
    counts = {what: sum(one.what == what for one in taken.lessons) for what in ("new", "known", "kept")}
    lines = [
        f"{folder}: {len(taken.lessons):,} lesson{'' if len(taken.lessons) == 1 else 's'}, "
        f"{counts['new']:,} new, {counts['known']:,} in the record already."
    ]
    if counts["kept"]:
        lines[0] = lines[0][:-1] + f", {counts['kept']:,} left as the record has them."
    lines += [
        f"Lesson {one.in_folder} of the folder is lesson {one.number} here, as the number was taken."
        for one in taken.lessons
        if one.what == "new" and one.number != one.in_folder
    ]
    lines += [f"Left as it is here: {what}." for what in taken.differing]
    for line in lines:
        out.print(line, soft_wrap=True, markup=False)
