"""Work that takes more than it may, for the workers' limits."""

from __future__ import annotations

import os
import time

from groundref.errors import InputError


def sleep(seconds: float) -> str:
    time.sleep(seconds)
    return "slept"


def take(megabytes: int) -> int:
    return len(bytearray(megabytes << 20))


def die() -> None:
    os.abort()


def refuse() -> None:
    raise InputError("it is no recording", "lesson.gpx: line 1", "give another")


def answer(value: int) -> int:
    return value + 1


def process() -> int:
    return os.getpid()
