"""One connection that flies: fixed steps by the clock, orders taken between them, every end with its reason.

What the page does wrong, or does not do, ends its own connection and nothing else. A try that ends because
nobody is there any more is put at hand like one that was ended.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Iterable
from time import monotonic
from typing import Any, Final

from litestar import WebSocket
from litestar.exceptions import WebSocketDisconnect

from groundref.errors import GroundrefError, NothingToWorkOnError
from groundref.reports import metric, reading
from groundref.web.trying.finished import Tries
from groundref.web.trying.flown import STEP, Flown
from groundref.web.trying.orders import LARGEST, order_in

_SLOW: Final = 10.0  # [s] that a page may take to read what it was told
_BEHIND: Final = 0.25  # [s] more than this is not caught up: the flight waits instead of jumping
_ORDERS: Final = 120  # in one second

DONE, MALFORMED, TOO_LARGE, TOO_MANY, NOBODY, UNFLYABLE = 1000, 4400, 1009, 4429, 4408, 4422


class EndError(Exception):
    """The connection ends.

    Attributes
    ----------
    code, reason
        As the page is told.
    """

    def __init__(self, code: int, reason: str) -> None:
        super().__init__(reason)
        self.code = code
        self.reason = reason


async def fly(socket: WebSocket[Any, Any, Any], flown: Flown, tries: Tries, units: str = reading.US) -> None:
    """Fly until the page, the flight or patience is at its end.

    Parameters
    ----------
    socket
        Accepted.
    flown
        The try.
    tries
        Where it is put at hand, with the limits.
    units
        That sentences are told in.
    """
    if tries.flying >= tries.most:
        await _close(
            socket, EndError(TOO_MANY, f"{tries.most} are flying already; try again when one is done")
        )
        return
    tries.flying += 1
    try:
        await _Session(socket, flown, tries.idle, units).run()
    except WebSocketDisconnect:
        pass
    except EndError as end:
        await _ended(socket, end, flown, tries)
    finally:
        tries.flying -= 1


class _Session:
    """The task of one connection."""

    def __init__(self, socket: WebSocket[Any, Any, Any], flown: Flown, idle: float, units: str) -> None:
        self._socket = socket
        self._flown = flown
        self._idle = idle
        self._metric = units == reading.METRIC
        self._heard = monotonic()
        self._counted = (0, 0)

    async def run(self) -> None:
        """Step and listen until something ends it."""
        await self._tell(self._flown.begin())
        listening = asyncio.ensure_future(self._socket.receive())
        due = monotonic() + STEP
        try:
            while not self._flown.over:
                wait = max(due - monotonic(), 0.0)
                await asyncio.wait({listening}, timeout=wait)
                if listening.done():
                    await self._hear(listening.result())
                    listening = asyncio.ensure_future(self._socket.receive())
                due = await self._stepped(due)
                if monotonic() - self._heard > self._idle:
                    raise EndError(NOBODY, "nothing was heard of the page for a while")
        finally:
            listening.cancel()
        raise EndError(DONE, "the flight is over")

    async def _stepped(self, due: float) -> float:
        """Fly what is due; return when the next step is."""
        now = monotonic()
        if now < due:
            return due
        if not self._flown.paused:
            await self._tell(self._flown.step())
        return max(due + STEP, now - _BEHIND)

    async def _hear(self, message: Any) -> None:
        """Take one message of the page."""
        if message["type"] == "websocket.disconnect":
            raise WebSocketDisconnect(detail="the page left", code=message.get("code") or DONE)
        self._count()
        text = message.get("text")
        if text is None:
            raise EndError(MALFORMED, "the message is not text; send what the page sends")
        if len(text) > LARGEST:
            raise EndError(TOO_LARGE, "the message is too long; send what the page sends")
        try:
            order = order_in(text)
        except GroundrefError as problem:
            raise EndError(MALFORMED, str(problem)) from problem
        self._heard = monotonic()
        await self._tell(self._flown.order(order))

    def _count(self) -> None:
        second, number = self._counted
        this = int(monotonic())
        number = number + 1 if this == second else 1
        if number > _ORDERS:
            raise EndError(TOO_MANY, "too many messages; send what the page sends")
        self._counted = (this, number)

    async def _tell(self, documents: Iterable[dict[str, Any]]) -> None:
        for document in documents:
            turned = {"says": metric.text(document["says"])} if self._metric and "says" in document else {}
            await _send(self._socket, document | turned)


async def _ended(socket: WebSocket[Any, Any, Any], end: EndError, flown: Flown, tries: Tries) -> None:
    """Put the try at hand, tell where, and close."""
    try:
        if end.code in (DONE, NOBODY):
            await _send(socket, _finished(flown, tries))
        await _close(socket, end)
    except (WebSocketDisconnect, EndError, RuntimeError):
        return  # the page is gone; what was flown is at hand all the same


def _finished(flown: Flown, tries: Tries) -> dict[str, Any]:
    try:
        return {"told": "done", "page": f"/tried/{tries.finish(flown.asked, flown.moments)}"}
    except NothingToWorkOnError as problem:
        what = f"{problem.what[:1].upper()}{problem.what[1:]}"
        return {"told": "says", "says": f"{what}: {problem.remedy}."}


async def _send(socket: WebSocket[Any, Any, Any], document: dict[str, Any]) -> None:
    try:
        async with asyncio.timeout(_SLOW):
            await socket.send_data(json.dumps(document, allow_nan=False, separators=(",", ":")))
    except TimeoutError as problem:
        raise WebSocketDisconnect(detail="the page does not read") from problem


async def _close(socket: WebSocket[Any, Any, Any], end: EndError) -> None:
    await socket.close(end.code, end.reason.encode()[:120].decode(errors="ignore"))
