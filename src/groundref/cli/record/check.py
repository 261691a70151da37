"""``groundref record check``: whether the record is sound, and what to do where it is not."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any, Final

from cyclopts import Parameter

from groundref.cli.record.common import JsonOption, RecordOption, YesOption, agreed, opened, write_json
from groundref.cli.waiting import counting, waiting
from groundref.errors import DamagedError

if TYPE_CHECKING:
    from groundref.record.checking import Checked
    from groundref.record.store import Record

_SHOWN: Final = 20


def check_(
    *,
    mend: Annotated[bool, Parameter(negative=(), show_default=False)] = False,
    yes: YesOption = False,
    json: JsonOption = None,
    record: RecordOption = None,
) -> None:
    """Look whether everything in the record is as it was written, and say what to do where it is not.

    Parameters
    ----------
    mend
        Put right what can be with certainty, from what is sound: indexes, figures that stand in a debrief,
        tallies, content that nothing refers to, who may read the files.
    yes
        Agree to --mend without being asked.
    json
        Write what was found as JSON to this file; - is standard output, and then nothing else goes there.
    record
        The record: a file, or postgresql://user@host/database of a school's.
    """
    store = opened(record)
    found = _checked(store)
    mendable = [trouble for trouble in found.troubles if trouble.mendable]
    can = f"{_count(len(mendable), 'thing')} can be put right with certainty"
    if mend and mendable and agreed(f"{can}; do so?", yes=yes, why=can):
        from groundref.record.soundness.mending import mend as put_right

        put_right(store, found.troubles)
        found = _checked(store)
    if json is not None:
        write_json("record-check", _plain(store, found), json)
    if json != "-":
        _show(store, found)
    if not found.sound:
        raise DamagedError(
            f"{_count(sum(one.serious for one in found.troubles), 'thing')} in it not as written",
            str(store.place),
            "what to do stands beside each",
        )


def _checked(store: Record) -> Checked:
    from groundref.record.checking import check

    with waiting("checking the database"), counting("checking") as progress:
        return check(store, progress)


def _plain(store: Record, found: Checked) -> dict[str, Any]:
    from groundref.record.migrations import NEWEST

    return {
        "record": str(store.place),
        "shape": NEWEST,
        "sound": found.sound,
        "lessons": found.lessons,
        "rows": found.rows,
        "contents": found.contents,
        "lessons_affected": list(found.affected),
        "troubles": [
            {
                "kind": one.kind,
                "where": one.where,
                "what": one.what,
                "remedy": one.remedy,
                "lessons": list(one.lessons),
                "serious": one.serious,
                "mendable": one.mendable,
            }
            for one in found.troubles
        ],
    }


def _show(store: Record, found: Checked) -> None:
    from groundref.cli.screen import console

    out = console()
    looked = f"{_count(found.lessons, 'lesson')}, {_count(found.rows, 'row')}, "
    looked += f"{found.contents:,} recordings, debriefs and plans"
    for trouble in found.troubles[:_SHOWN]:
        out.print(f"• {trouble}", markup=False)
    if len(found.troubles) > _SHOWN:
        out.print(f"and {len(found.troubles) - _SHOWN:,} more; --json FILE lists them all.")
    if found.sound:
        out.print(f"The record is sound: {looked} are as they were written.", markup=False)
        return
    out.print(f"Looked at: {looked}.", markup=False)
    if found.affected:
        numbers = ", ".join(map(str, found.affected[:_SHOWN]))
        more = f" and {len(found.affected) - _SHOWN:,} more" if len(found.affected) > _SHOWN else ""
        out.print(f"Lessons affected: {numbers}{more}. All others are as they were written.")


def _count(number: int, what: str) -> str:
    return f"{number:,} {what}{'' if number == 1 else 's'}"
