"""From the words on the command line to an exit code."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from typing import Final

from cyclopts import App, CycloptsError, UnusedCliTokensError

from groundref.cli import exits
from groundref.cli.record import COMMANDS as RECORD_COMMANDS
from groundref.cli.record import record_app
from groundref.errors import UsageError

# Each is the function of its name in the module of its name.
COMMANDS: Final = ("plan", "debrief", "wind", "simulate", "standards", "aircraft", "demo", "serve")
HELP: Final = frozenset({"--help", "-h"})


def build(*, loaded: bool = True) -> App:
    """Return the command line with all its commands.

    Parameters
    ----------
    loaded
        Whether each is loaded now, as their list in the help needs it, or when it is run.
    """
    app = App(
        name="groundref",
        help="Plan ground reference maneuvers for today's wind, and turn the recorded flight into a "
        "debrief of them.\n\n"
        "A training aid for use on the ground, before and after the flight; not for use in flight.",
        version=_version,
        help_format="markdown",
        print_error=False,
        exit_on_error=False,
        suppress_keyboard_interrupt=False,
        result_action="return_none",
    )
    for name in COMMANDS:
        app.command(f"groundref.cli.{name}:{name}", name=name)
    app.command(record_app())
    if loaded:
        _load(app, COMMANDS)
        _load(app["record"], RECORD_COMMANDS)
    return app


def _load(app: App, names: Iterable[str]) -> None:
    for name in names:
        app[name]  # looking it up loads it


def main(words: Sequence[str] | None = None) -> int:
    """Run one command.

    Parameters
    ----------
    words
        The command line without the program's name; that of the process when None.

    Returns
    -------
    int
        The exit code, from the table in ``exits``.
    """
    try:
        _run(sys.argv[1:] if words is None else list(words))
        sys.stdout.flush()
    except (Exception, KeyboardInterrupt) as problem:
        return exits.conclude(problem)
    return exits.DONE


def _run(words: list[str]) -> None:
    try:
        build(loaded=len(words) < 2 or not HELP.isdisjoint(words))(words)
    except UnusedCliTokensError as problem:
        extra = ", ".join(f"'{word}'" for word in problem.unused_tokens or [])
        raise UsageError(
            f"nothing is expected where {extra} stands", remedy="groundref COMMAND --help says what is"
        ) from problem
    except CycloptsError as problem:
        chain = " ".join(problem.command_chain or ())
        help_ = f"groundref {chain} --help says what is" if chain else "groundref --help lists the commands"
        raise UsageError(_one_clause(str(problem)), remedy=help_) from problem


# What the library that reads the command line calls kinds of numbers.
_PLAIN: Final = (("into int", "into a whole number"), ("into float", "into a number"))


def _one_clause(message: str) -> str:
    clause = " ".join(message.split()).partition(" Available commands:")[0].rstrip(".")
    for technical, plain in _PLAIN:
        clause = clause.replace(technical, plain)
    return clause[:1].lower() + clause[1:]


def _version() -> str:
    from groundref import __version__

    return __version__
