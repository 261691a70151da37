"""Work on files that nobody vouches for, in processes of its own: with a limit of memory and of time.

A file that takes too much ends its process and nothing else. The processes are warm: what reading and
debriefing need is loaded before the first file comes.
"""

from __future__ import annotations

import asyncio
import multiprocessing
import os
import sys
from collections.abc import Callable
from contextlib import suppress
from multiprocessing.connection import Connection
from typing import Any, Final, TypeVar

from groundref.errors import InputError

MEMORY: Final = 2 << 30  # [byte]  a day of recording at 1 Hz takes a tenth of that
SECONDS: Final = 60.0
_CUT: Final = "cut the recording and try again"
Result = TypeVar("Result")


class Workers:
    """A few processes that each do one piece of work at a time.

    Parameters
    ----------
    number
        How many; one for each processor, two at most, unless said.
    seconds
        That one piece of work may take.
    memory
        That one process may take [byte]
    """

    def __init__(self, number: int | None = None, *, seconds: float = SECONDS, memory: int = MEMORY) -> None:
        self.seconds = seconds
        self._workers = [_Worker(memory) for _ in range(number or min(2, os.cpu_count() or 1))]
        self._idle: asyncio.Queue[_Worker] = asyncio.Queue()
        for worker in self._workers:
            self._idle.put_nowait(worker)

    async def run(self, work: Callable[..., Result], *what: object, remedy: str = _CUT) -> Result:
        """Return the result of a piece of work.

        Parameters
        ----------
        work
            A function of a module; it and all it takes and gives can be pickled.
        what
            It is called with.
        remedy
            What to do when it took too much.

        Raises
        ------
        GroundrefError
            What the work raised, or an InputError when it took too much memory or time.
        """
        worker = await self._idle.get()
        try:
            done: Result = await asyncio.to_thread(worker.ask, work, what, self.seconds, remedy)
        finally:
            self._idle.put_nowait(worker)
        return done

    def close(self) -> None:
        """End the processes."""
        for worker in self._workers:
            worker.end()


class _Worker:
    """One process, started anew after each that had to be ended."""

    def __init__(self, memory: int) -> None:
        self._memory = memory
        self._start()

    def _start(self) -> None:
        spawning = multiprocessing.get_context("spawn")
        self._line, other = spawning.Pipe()
        self._process = spawning.Process(target=_serve, args=(other, self._memory), daemon=True)
        self._process.start()
        other.close()

    def ask(self, work: Callable[..., Any], what: tuple[object, ...], seconds: float, remedy: str) -> Any:
        """Return what the work returns, or raise what it raises."""
        try:
            self._line.send((work, what))
            if not self._line.poll(seconds):
                self._again()
                raise InputError(f"it takes longer than {seconds:g} s", remedy=remedy)
            result = self._line.recv()
        except (EOFError, OSError) as problem:
            self._again()
            raise InputError("it takes too much memory, or is made to do harm", remedy=remedy) from problem
        if isinstance(result, MemoryError):
            self._again()  # what is left of its memory is nobody's to rely on
            raise InputError("it takes too much memory", remedy=remedy)
        if isinstance(result, BaseException):
            raise result
        return result

    def _again(self) -> None:
        self.end()
        self._start()

    def end(self) -> None:
        self._process.kill()
        self._process.join()
        self._line.close()


def _serve(line: Connection, memory: int) -> None:
    """Work until the server hangs up."""
    _load()
    _limit(memory)
    with suppress(EOFError, OSError, KeyboardInterrupt):
        while True:
            work, what = line.recv()
            line.send(_outcome(work, what))


def _outcome(work: Callable[..., Any], what: tuple[object, ...]) -> Any:
    """Return what the work returns, or what it raises."""
    try:
        return work(*what)
    except Exception as problem:
        return problem


def _load() -> None:
    """Load what most work needs, before it counts against the limit of time."""
    from importlib import import_module

    for name in ("groundref.record.asked", "groundref.reports.html", "groundref.web.work"):
        import_module(name)


def _limit(memory: int) -> None:
    """Let the process take no more memory than that, where the system can do so."""
    if sys.platform != "win32":
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (memory, memory))
