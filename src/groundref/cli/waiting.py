"""A word to somebody who waits at a terminal."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Timer


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
