"""Users of the served page, many at once: each brings a recording, then looks at what came of it.

A user brings one recording of its own, reads eight pages with a pause of half a second to a second and a half
before each, and begins again. Nothing is brought twice: what differs is a comment at the end of the file, so
that the server has all the work of a new one.
"""

from __future__ import annotations

import asyncio
import random
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import httpx

READ = ("/", "/lessons/{}", "/lessons/{}", "/api/lessons/{}/replay", "/lessons/{}/seat", "/try")
_PAGES = 8  # between one recording and the next
_PAUSE = (0.5, 1.5)  # [s]  to look at a page; a person takes longer


@dataclass
class Seen:
    """What the users met.

    Attributes
    ----------
    pages, debriefs
        How long each answer took [s]
    errors
        A sentence for each answer that was none.
    memory
        Of the server and its workers, once a second [byte]
    """

    pages: list[float] = field(default_factory=list)
    debriefs: list[float] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)
    memory: list[int] = field(default_factory=list)


def together(
    address: str,
    recordings: list[bytes],
    *,
    users: int,
    seconds: float,
    measured: Callable[[], int],
    pause: tuple[float, float] = _PAUSE,
) -> Seen:
    """Return what users met who worked at the same time.

    Parameters
    ----------
    address
        Of the server, without a slash at the end.
    recordings
        GPX files that they bring variations of.
    users
        How many.
    seconds
        For how long; what was begun is finished.
    measured
        Memory of the server now [byte]
    pause
        Before each page, least and most [s]
    """
    return asyncio.run(_together(address, recordings, users, seconds, measured, pause))


async def _together(
    address: str,
    recordings: list[bytes],
    users: int,
    seconds: float,
    measured: Callable[[], int],
    pause: tuple[float, float],
) -> Seen:
    seen, end = Seen(), time.monotonic() + seconds
    everybody = [_user(address, recordings, number, end, seen, pause) for number in range(users)]
    await asyncio.gather(_watch(measured, end, seen), *everybody)
    return seen


async def _watch(measured: Callable[[], int], end: float, seen: Seen) -> None:
    while time.monotonic() < end:
        seen.memory.append(measured())
        await asyncio.sleep(1.0)
    seen.memory.append(measured())


async def _user(
    address: str, recordings: list[bytes], number: int, end: float, seen: Seen, pause: tuple[float, float]
) -> None:
    chance, turn = random.Random(number), 0
    async with httpx.AsyncClient(base_url=address, timeout=60.0) as client:
        await asyncio.sleep(chance.uniform(0.0, pause[1]))
        while time.monotonic() < end:
            content = recordings[(number + turn) % len(recordings)] + f"<!-- {number}.{turn} -->".encode()
            answer = await _timed(
                seen,
                seen.debriefs,
                client.post(
                    "/lessons",
                    files={"recordings": (f"{number}-{turn}.gpx", content)},
                    headers={"accept": "application/json"},
                ),
            )
            turn += 1
            if answer is None:
                continue
            lesson = answer.json()["lesson"]
            for _ in range(_PAGES):
                await asyncio.sleep(chance.uniform(*pause))
                if time.monotonic() >= end:
                    return
                await _timed(seen, seen.pages, client.get(chance.choice(READ).format(lesson)))


async def _timed(seen: Seen, times: list[float], asking) -> httpx.Response | None:
    start = time.perf_counter()
    try:
        answer = await asking
    except httpx.HTTPError as problem:
        seen.errors.append(repr(problem))
        return None
    times.append(time.perf_counter() - start)
    if answer.status_code >= 400:
        seen.errors.append(f"{answer.status_code} {answer.url}: {answer.text[:200]}")
        return None
    return answer


def memory_of(process: int) -> dict[int, int]:
    """Return the memory of a process and all its children, by their ids [byte]; needs Linux."""
    found: dict[int, int] = {}
    for one in (process, *children(process)):
        try:
            text = Path(f"/proc/{one}/status").read_text("utf-8")
        except OSError:  # it has ended
            continue
        found[one] = int(text.partition("VmRSS:")[2].split()[0]) << 10
    return found


def children(process: int) -> list[int]:
    """Return the processes that a process started, and theirs; needs Linux."""
    try:
        texts = [path.read_text("utf-8") for path in Path(f"/proc/{process}/task").glob("*/children")]
    except OSError:
        return []
    own = [int(word) for text in texts for word in text.split()]
    return [*own, *(later for one in own for later in children(one))]
