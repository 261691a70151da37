"""The one table of exit codes, and what is said on standard error beside them.

Codes above 63 are those of BSD's sysexits(3); 130 and 141 are what a shell reports for a program that was
ended by an interrupt or by a closed pipe.
"""

from __future__ import annotations

import logging
import os
import sys
import traceback
from contextlib import suppress
from typing import Final

from groundref.errors import (
    GroundrefError,
    InputError,
    NoSolutionError,
    NothingToWorkOnError,
    OutputError,
    RecordError,
    UsageError,
)

DONE: Final = 0
USAGE: Final = 2
INPUT: Final = 3
NOTHING: Final = 4
DEFECT: Final = 70
NO_MEMORY: Final = 71
OUTPUT: Final = 73
RECORD: Final = 74
INTERRUPTED: Final = 130
PIPE_CLOSED: Final = 141

CODES: Final[tuple[tuple[type[BaseException], int], ...]] = (
    (UsageError, USAGE),
    (NoSolutionError, USAGE),
    (InputError, INPUT),
    (NothingToWorkOnError, NOTHING),
    (OutputError, OUTPUT),
    (RecordError, RECORD),
    (MemoryError, NO_MEMORY),
    (KeyboardInterrupt, INTERRUPTED),
    (BrokenPipeError, PIPE_CLOSED),
)
SHOW_TRACEBACK: Final = "GROUNDREF_TRACEBACK"


def code_for(problem: BaseException) -> int:
    """Return the exit code of a failure; what the table does not know is a defect of ours."""
    return next((code for kind, code in CODES if isinstance(problem, kind)), DEFECT)


def conclude(problem: BaseException) -> int:
    """Say on standard error what went wrong, in one line, and return the exit code."""
    code = code_for(problem)
    if code == PIPE_CLOSED:
        _close_standard_output()
    elif code != INTERRUPTED:
        say(_sentence(problem))
    if code == OUTPUT and isinstance(problem, GroundrefError) and problem.where == "standard output":
        _close_standard_output()
    if code == DEFECT:
        _how_to_report(problem)
    return code


def say(sentence: str) -> None:
    """Print one line on standard error, whatever the sentence contains."""
    print("groundref: " + " ".join(sentence.split()), file=sys.stderr, flush=True)


class _InOneLine(logging.Handler):
    """Says what a library reports and goes on after, without its traceback."""

    def emit(self, record: logging.LogRecord) -> None:
        problem = record.exc_info[1] if record.exc_info else None
        if not isinstance(problem, KeyboardInterrupt):  # which is raised on
            say(f"warning: {record.getMessage()}{'' if problem is None else f' ({problem})'}")


IN_ONE_LINE: Final = _InOneLine()


def _sentence(problem: BaseException) -> str:
    if isinstance(problem, GroundrefError):
        return str(problem)
    if isinstance(problem, MemoryError):
        return "there is not enough memory for a recording of this size; cut it with --from and --to"
    return f"this is a defect of groundref, not of your input ({type(problem).__name__}: {problem})"


def _how_to_report(problem: BaseException) -> None:
    if os.environ.get(SHOW_TRACEBACK):
        traceback.print_exception(problem, file=sys.stderr)
    say(
        f"to report it, run the same command with {SHOW_TRACEBACK}=1 and send the maintainers what it "
        "prints, the command and, if you may share it, the recording (see CONTRIBUTING.md)"
    )


def _close_standard_output() -> None:
    """Let nothing more be written there, or Python would complain once more while it ends."""
    with suppress(OSError):  # standard output may be no file at all
        place = sys.stdout.fileno()
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, place)
        os.close(nowhere)
