"""``groundref record person``: people of the record, listed, added, called otherwise."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from groundref.cli import options
from groundref.cli.record.common import JsonOption, RecordOption, YesOption, agreed, opened, write_json
from groundref.errors import UsageError

if TYPE_CHECKING:
    from groundref.record.people import Person
    from groundref.record.store import Record


def person(
    name: str | None = None,
    /,
    *,
    add: Annotated[bool, Parameter(negative=(), show_default=False)] = False,
    rename: Annotated[str | None, options.taking("NAME")] = None,
    join: Annotated[str | None, options.taking("NAME")] = None,
    yes: YesOption = False,
    json: JsonOption = None,
    record: RecordOption = None,
) -> None:
    """List people, add one, or put a name right.

    Parameters
    ----------
    name
        The person; everybody unless given.
    add
        Put the person into the record.
    rename
        Call the person so from now on.
    join
        The person is this one of the record, put in twice by a slip of the pen: all that refers to the one
        refers to the other, and the first name is gone.
    yes
        Do not ask before two are joined.
    json
        Write the people as JSON to this file; - is standard output.
    record
        The record: a file, or postgresql://user@host/database of a school's.
    """
    wishes = [wish for wish in ("--add" if add else "", rename and "--rename", join and "--join") if wish]
    if len(wishes) > 1 or (wishes and name is None):
        raise UsageError(
            "these are two requests" if len(wishes) > 1 else "the person is not named",
            "record person",
            "give a name and one of --add, --rename and --join",
        )
    from groundref.record.people import people

    store = opened(record, make=add)
    called, said = _done(store, name, add=add, rename=rename, join=join, yes=yes)
    with store.reading() as connection:
        everybody = people(connection)
    shown = _of(everybody, called)
    if json is not None:
        write_json("record-people", {"people": [asdict(one) for one in shown]}, json)
    if json != "-":
        _show(shown, said)


def _done(
    store: Record, name: str | None, *, add: bool, rename: str | None, join: str | None, yes: bool
) -> tuple[str | None, str]:
    """Do what was wished; return whom to show, and what to say."""
    from groundref.record.names import newcomers
    from groundref.record.people import add_person, join_people, rename_person

    if name is None:
        return None, ""
    if add:
        with store.reading() as connection:
            new = newcomers(connection, [name])
        return name, f"New in the record: {new[0]}" if add_person(store, name) and new else "Already there."
    if rename is not None:
        called = rename_person(store, name, rename)
        return called, f"{name} is called {called} now."
    if join is not None:
        told = f"All of {name} becomes {join}'s, and the name {name} goes. This cannot be undone."
        if not agreed("Go on?", yes=yes, told=told):
            return name, "Nothing was changed."
        stays, places = join_people(store, name, join)
        changed = f"{places:,} place{'' if places == 1 else 's'} in the record"
        return stays, f"{name} is {stays} now, in {changed}."
    return name, ""


def _of(everybody: tuple[Person, ...], name: str | None) -> tuple[Person, ...]:
    """Return those who are to be shown."""
    if name is None:
        return everybody
    from groundref.errors import NotInRecordError

    wanted = " ".join(name.split()).casefold()
    found = tuple(one for one in everybody if one.name.casefold() == wanted)
    if not found:
        names = ", ".join(one.name for one in everybody) or "nobody yet"
        raise NotInRecordError(f"there is no person called {name!r}", "record", f"the record holds {names}")
    return found


def _show(shown: tuple[Person, ...], said: str) -> None:
    from rich.table import Table
    from rich.text import Text

    from groundref.cli.screen import console

    out = console()
    if said:
        out.print(said, markup=False)
    if not shown:
        out.print("There is nobody in the record; people come into it with their first lesson.")
        return
    table = Table(box=None, pad_edge=False)
    table.add_column("name", overflow="fold")
    table.add_column("lessons had", justify="right")
    table.add_column("lessons given", justify="right")
    tried = any(one.tries for one in shown)
    if tried:
        table.add_column("tries on the ground", justify="right")
    table.add_column("in the record since")
    for one in shown:
        counts = (one.as_student, one.as_instructor, *((one.tries,) if tried else ()))
        table.add_row(Text(one.name), *(f"{count:,}" for count in counts), one.added[:10])
    out.print(table)
