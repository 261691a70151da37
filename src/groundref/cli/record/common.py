"""What every subcommand of ``groundref record`` shares: where the record is, and JSON out."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import Parameter

from groundref.cli import exits, options
from groundref.errors import UsageError

if TYPE_CHECKING:
    from groundref.record.store import Record

RecordOption = Annotated[str | None, options.taking("FILE|postgresql://…", name="--record")]
YesOption = Annotated[bool, Parameter(name="--yes", negative=(), show_default=False)]
LessonNumber = Annotated[int, Parameter(show_default=False)]
UnitsOption = Annotated[str | None, options.taking("us|metric")]
JsonOption = Annotated[str | None, options.taking("FILE|-")]


def opened(named: str | None, *, make: bool = False) -> Record:
    """Open the record that an option, the variable or the user's data folder names.

    Parameters
    ----------
    named
        What `--record` says.
    make
        Whether to make a new one where there is none.
    """
    import logging

    from groundref.cli.waiting import waiting
    from groundref.record.place import place_of
    from groundref.record.store import open_record

    logging.getLogger("sqlalchemy").addHandler(exits.IN_ONE_LINE)
    with waiting("bringing the record up to date"):
        return open_record(place_of(named), make=make, say=exits.say)


def agreed(question: str, *, yes: bool, why: str = "this cannot be undone", told: str = "") -> bool:
    """Return whether the user agrees to what cannot be undone.

    Parameters
    ----------
    question
        Asked on the terminal.
    told
        What would be done; said before the question, and also where nobody can be asked.
    yes
        Whether `--yes` was given; then nobody is asked.
    why
        Why it is asked.

    Raises
    ------
    UsageError
        When it was not, and nobody can be asked.
    """
    if yes:
        return True
    if not sys.stdin.isatty():
        if told:
            exits.say(told)
        raise UsageError(
            f"{why} and nobody can be asked here",
            "--yes",
            "give it to agree; nothing was changed",
        )
    print(f"{told} {question} [y/N] ".lstrip(), end="", file=sys.stderr, flush=True)
    return sys.stdin.readline().strip().casefold() in ("y", "yes")


def write_json(schema: str, content: dict[str, Any], destination: str) -> None:
    """Write a document that names its schema, `groundref/SCHEMA/1`."""
    from groundref import documents, writing

    whole = documents.to_json({"schema": f"groundref/{schema}/1", **content})
    writing.write(destination, whole, private=True)
