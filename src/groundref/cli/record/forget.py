"""``groundref record forget``: a person taken out of the record, for good."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Annotated, Any, Final

from cyclopts import Parameter

from groundref.cli.record.common import (
    JsonOption,
    RecordOption,
    YesOption,
    agreed,
    opened,
    write_json,
)

if TYPE_CHECKING:
    from groundref.record.forgetting import Forgetting

_FILE_REACH: Final = (
    "Backups and exports elsewhere, and what the disk itself keeps (snapshots, worn cells), cannot be "
    "reached from here: delete them yourself."
)
_SERVER_REACH: Final = (
    "The server keeps what was forgotten in its own log and backups until it writes over them; backups and "
    "exports elsewhere cannot be reached from here either: delete them yourself."
)


def forget(
    name: Annotated[str, Parameter(show_default=False)],
    /,
    *,
    keep_lessons: Annotated[bool, Parameter(negative=(), show_default=False)] = False,
    yes: YesOption = False,
    json: JsonOption = None,
    record: RecordOption = None,
) -> None:
    """Take a person out of the record, for good.

    A student's lessons go with all about them. Lessons of others stay, without the name of the instructor who
    was forgotten. The name is taken out of remarks, of the names of files, and of what recordings and plans
    say beside their figures; the record's file is then written anew, so that nothing is left in it.

    Parameters
    ----------
    name
        The person.
    keep_lessons
        Keep lessons flown by the person, without the person, for the school's own figures.
    yes
        Do not ask.
    json
        Write what was done as JSON to this file; - is standard output, and then nothing else goes there.
    record
        The record: a file, or postgresql://user@host/database of a school's.
    """
    from groundref.cli.waiting import counting, waiting
    from groundref.record.forgetting import Judged, look
    from groundref.record.forgetting import forget as forget_person
    from groundref.record.restoring import replaced
    from groundref.record.wiping import wipe

    store = opened(record)
    judged = Judged()
    with counting("looking through recordings and debriefs,") as step:
        found = look(store, name, keep_lessons=keep_lessons, judged=judged, step=step)
    told = f"Forget {found.person}: {'; '.join(_will(found))}. This cannot be undone."
    if not agreed("Go on?", yes=yes, told=told):
        _say("Nothing was changed.", json)
        return
    with waiting("forgetting, and writing the record anew"):
        done = forget_person(store, name, keep_lessons=keep_lessons, judged=judged)
        copies = wipe(store)
    aside = [str(path) for path in replaced(store.place)]
    if json is not None:
        write_json("record-forget", _plain(done, copies, aside), json)
    for sentence in _sentences(done, copies, aside, on_server=store.place.path is None):
        _say(sentence, json)


def _say(sentence: str, json: str | None) -> None:
    from groundref.cli.screen import console

    if json != "-":
        console().print(sentence, markup=False)


def _will(found: Forgetting) -> list[str]:
    """Return what is done, as clauses; what is not there is left out."""
    from groundref.track.counting import counted

    lost = len(found.recordings_removed)
    clauses = (
        (found.lessons_removed, "lesson", "flown, with recordings and debriefs: gone"),
        (found.lessons_anonymous, "lesson", "flown: kept without the name"),
        (found.lessons_given, "lesson", "given: kept without the instructor's name"),
        (found.signatures, "signature", "kept, as of somebody who was forgotten"),
        (found.verdicts, "verdict", "kept without who gave them"),
        (found.texts, "text", "that name them: reworded"),
        (found.documents, "debrief or plan", "that name them: reworded"),
        (found.recordings_altered, "recording", "that name them: reworded, with what was flown unchanged"),
        (lost, "recording", "that cannot be searched for the name: gone, while their debriefs stay"),
    )
    done = [f"{counted(number, noun)} {what}" for number, noun, what in clauses if number]
    return done or ["nothing else names them"]


def _plain(done: Forgetting, copies: int, aside: list[str]) -> dict[str, Any]:
    """Return what was done as plain data, without the name."""
    figures = {name: value for name, value in asdict(done).items() if name != "person"}
    return {**figures, "copies_deleted": copies, "replaced_records": aside}


def _sentences(done: Forgetting, copies: int, aside: list[str], *, on_server: bool) -> list[str]:
    told = [f"{done.person} is forgotten: {'; '.join(_will(done))}."]
    if copies:
        what = "1 copy" if copies == 1 else f"{copies} copies"
        told.append(f"Deleted beside the record: {what} from before its shape was changed.")
    if aside:
        told.append(
            f"A record that was replaced may still hold {done.person}: {', '.join(aside)}. "
            "Delete it when nobody needs it any more."
        )
    return [*told, _SERVER_REACH if on_server else _FILE_REACH]
