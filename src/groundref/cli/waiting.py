"""A word to somebody who waits at a terminal, and an ear for an interrupt."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Timer
from time import monotonic

from groundref.cli.interrupting import between_steps


@contextmanager
def waiting(doing: str) -> Iterator[None]:
    """Say on standard error what is being done when it takes more than a second and somebody looks.

    Parameters
    ----------
    doing
        Such as `reading lesson.gpx`.
    """
    if not sys.stderr.isatty():
        yield
        return
    timer = Timer(1.0, lambda: print(f"groundref: {doing} …", file=sys.stderr, flush=True))
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()


@contextmanager
def counting(doing: str) -> Iterator[Callable[[int, int], None]]:
    """Show on standard error how far something is when it takes more than a second and somebody looks.

    An interrupt takes effect between two steps.

    Parameters
    ----------
    doing
        Such as `writing file`; the numbers follow.

    Yields
    ------
    callable
        To be told how many of how many are done.
    """
    with between_steps() as look, _shown(doing) as show:

        def step(done: int, of: int) -> None:
            look()
            show(done, of)

        yield step


@contextmanager
def _shown(doing: str) -> Iterator[Callable[[int, int], None]]:
    if not sys.stderr.isatty():
        yield lambda done, of: None
        return
    said, shown = monotonic(), False

    def show(done: int, of: int) -> None:
        nonlocal said, shown
        if monotonic() - said >= 1.0:
            said, shown = monotonic(), True
            print(f"\rgroundref: {doing} {done:,} of {of:,} …", end="", file=sys.stderr, flush=True)

    try:
        yield show
    finally:
        if shown:
            print(file=sys.stderr, flush=True)
