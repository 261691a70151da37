"""What is slow to make and the same for all, made once in a run of the tests, whatever process asks first."""

from __future__ import annotations

import os
import pickle
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Final, TypeVar

SHARED: Final = "GROUNDREF_TEST_SHARED"  # names a folder of this run of the tests
Made = TypeVar("Made")


def once(name: str, make: Callable[[], Made]) -> Made:
    """Return what was made under a name in this run, or make it; who asks meanwhile waits for it."""
    if SHARED not in os.environ:
        return make()
    kept = Path(os.environ[SHARED]) / f"{name}.pickle"
    if not kept.exists():
        with _alone(kept.with_suffix(".lock")):
            if not kept.exists():
                draft = kept.with_suffix(".draft")
                draft.write_bytes(pickle.dumps(make()))
                draft.replace(kept)
    made: Made = pickle.loads(kept.read_bytes())
    return made


@contextmanager
def _alone(path: Path) -> Iterator[None]:
    """Let one process after the other go on; the system lets go of what a process held that has ended.

    The lock is a database's, as that is the one in the standard library that every system has.
    """
    with closing(sqlite3.connect(path, timeout=3600.0, isolation_level=None)) as held:
        held.execute("BEGIN EXCLUSIVE")
        yield
