"""How far something long has come, for somebody who looks."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def progressing(doing: str) -> Iterator[Callable[[int, int], None] | None]:
    """Show a bar on standard error while something runs, when that is a terminal.

    Parameters
    ----------
    doing
        Such as `checking`.

    Yields
    ------
    callable
        To be told how much is done, and of how much; None where nobody looks.
    """
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(doing, total=None)
        yield lambda done, total: bar.update(task, completed=done, total=total or None)
