"""What is slow to make and the same for all, made once in a run of the tests, whatever process asks first."""

from __future__ import annotations

import os
import pickle
from collections.abc import Callable
from pathlib import Path
from typing import Final, TypeVar

SHARED: Final = "GROUNDREF_TEST_SHARED"  # names a folder of this run of the tests
Made = TypeVar("Made")


def once(name: str, make: Callable[[], Made]) -> Made:
    """Return what was made under a name in this run, or make it.

    Two processes that ask at the same moment both make it, and the later one's stays: it is the same.
    """
    if SHARED not in os.environ:
        return make()
    kept = Path(os.environ[SHARED]) / f"{name}.pickle"
    if not kept.exists():
        draft = kept.with_suffix(f".{os.getpid()}")
        draft.write_bytes(pickle.dumps(make()))
        draft.replace(kept)
    made: Made = pickle.loads(kept.read_bytes())
    return made
