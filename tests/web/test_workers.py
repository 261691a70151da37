"""Work on files that nobody vouches for: what it takes too much of ends its process, and nothing else."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine, Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any, TypeVar

import pytest

from groundref.errors import InputError
from groundref.web.workers import Workers
from tests.web import harmful

Result = TypeVar("Result")


def run(work: Coroutine[Any, Any, Result]) -> Result:
    """Run it in a thread of its own, as the thread of the tests may have the browser's loop."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(asyncio.run, work).result()


@pytest.fixture
def workers() -> Iterator[Workers]:
    made = Workers(1, seconds=20, memory=1 << 30)
    yield made
    made.close()


def test_work_is_done_and_what_it_raises_comes_back(workers: Workers) -> None:
    async def several() -> None:
        assert await workers.run(harmful.answer, 1) == 2
        with pytest.raises(InputError, match=r"lesson\.gpx: line 1: it is no recording; give another"):
            await workers.run(harmful.refuse)
        first = await workers.run(harmful.process)
        assert await workers.run(harmful.process) == first

    run(several())


def test_a_process_that_dies_is_replaced(workers: Workers) -> None:
    async def several() -> None:
        with pytest.raises(InputError, match="made to do harm"):
            await workers.run(harmful.die)
        assert await workers.run(harmful.answer, 1) == 2

    run(several())


def test_memory_has_a_limit(workers: Workers) -> None:
    async def several() -> None:
        with pytest.raises(InputError, match="too much memory"):
            await workers.run(harmful.take, 2000)
        assert await workers.run(harmful.take, 10) == 10 << 20

    run(several())


def test_time_has_a_limit() -> None:
    workers = Workers(1, seconds=20)

    async def several() -> None:
        await workers.run(harmful.answer, 1)  # the process has started
        workers.seconds = 0.3
        with pytest.raises(InputError, match=r"longer than 0\.3 s"):
            await workers.run(harmful.sleep, 60)
        workers.seconds = 20
        assert await workers.run(harmful.answer, 1) == 2

    try:
        run(several())
    finally:
        workers.close()


def test_one_that_fails_does_not_disturb_others() -> None:
    workers = Workers(2, seconds=20)

    async def several() -> list[object]:
        return await asyncio.gather(
            workers.run(harmful.die),
            *(workers.run(harmful.answer, n) for n in range(10)),
            workers.run(harmful.die),
            return_exceptions=True,
        )

    try:
        first, *others, last = run(several())
    finally:
        workers.close()
    assert {type(first), type(last)} == {InputError}
    assert others == [n + 1 for n in range(10)]
