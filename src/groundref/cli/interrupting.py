"""Interrupts (Ctrl-C) of what works step by step: the step in work is finished first.

Otherwise an exception can be raised at any moment, also where a library closes a connection and reports it
as a failure of its own, or where Python swallows it. So the first interrupt is only noted, and looked for
between two steps; the second ends the program at once, as if it were killed, which the record survives at any
moment.
"""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType
from typing import Final

from groundref.cli.exits import INTERRUPTED

_NOTED: Final = b"\ngroundref: stopping when the step in work is done; Ctrl-C once more stops at once\n"


class _Noting:
    """Takes the place of what Python does at an interrupt."""

    def __init__(self) -> None:
        self.noted = False

    def __call__(self, number: int, frame: FrameType | None) -> None:
        if self.noted:
            os._exit(INTERRUPTED)
        self.noted = True
        if sys.stderr.isatty():
            # Past Python's buffer, which may be in the middle of another line.
            os.write(2, _NOTED)

    def look(self) -> None:
        if self.noted:
            raise KeyboardInterrupt


@contextmanager
def between_steps() -> Iterator[Callable[[], None]]:
    """Let an interrupt take effect only between two steps, and at the latest at the end.

    Yields
    ------
    callable
        To be called between two steps; raises KeyboardInterrupt when there was an interrupt meanwhile.
    """
    usual = signal.getsignal(signal.SIGINT)
    if isinstance(usual, _Noting):  # steps within a step
        yield usual.look
        return
    if usual is not signal.default_int_handler:  # ignored behind nohup, or somebody else's
        yield lambda: None
        return
    noting = _Noting()
    signal.signal(signal.SIGINT, noting)
    try:
        yield noting.look
    finally:
        signal.signal(signal.SIGINT, usual)
    noting.look()
