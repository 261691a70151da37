"""What every request passes and every answer carries: whose page this is, and what it may do.

The server answers only under the names it was started with: another name that leads to this machine (DNS
rebinding) is refused. A request that changes something must come from a page of this server: browsers say
where from in `Sec-Fetch-Site` and `Origin` (Fetch Metadata, W3C; RFC 6454), and a program that says neither
is no browser that a foreign page could have sent.
"""

from __future__ import annotations

from collections.abc import Collection
from typing import Final
from urllib.parse import urlsplit

from litestar.enums import ScopeType
from litestar.types import ASGIApp, Message, Receive, Scope, Send

SAFE: Final = frozenset({"GET", "HEAD", "OPTIONS"})
_OWN: Final = ("same-origin", "none")


def policy(tiles: str | None = None) -> str:
    """Return the Content-Security-Policy (CSP level 3, W3C): everything from this server, nothing inline.

    Parameters
    ----------
    tiles
        Origin of a map's tiles that the user named; images may come from there, and nothing else.
    """
    other = f" {tiles}" if tiles else ""
    return "; ".join(
        (
            "default-src 'none'",
            "script-src 'self'",
            "style-src 'self'",
            f"img-src 'self' data: blob:{other}",
            "font-src 'self'",
            "connect-src 'self'",
            "worker-src 'self' blob:",
            "form-action 'self'",
            "frame-ancestors 'none'",
            "base-uri 'none'",
        )
    )


class Guard:
    """The outermost layer of the application.

    Parameters
    ----------
    app
        What is guarded.
    names
        `host` or `host:port` that the server answers under.
    tiles
        Origin of a map's tiles that the user named.
    """

    def __init__(self, app: ASGIApp, names: Collection[str], tiles: str | None = None) -> None:
        self._app = app
        self._names = frozenset(name.lower() for name in names)
        self._headers = [
            (b"content-security-policy", policy(tiles).encode()),
            (b"x-content-type-options", b"nosniff"),
            # Not `no-referrer`, which makes browsers name the origin of a form as `null`. Servers of tiles
            # want to know who asks: they learn the address without its path.
            (b"referrer-policy", b"strict-origin-when-cross-origin" if tiles else b"same-origin"),
            (b"cross-origin-opener-policy", b"same-origin"),
            (b"cross-origin-resource-policy", b"same-origin"),
            (b"permissions-policy", b"geolocation=(), camera=(), microphone=()"),
        ]

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or refuse it."""
        if scope["type"] not in (ScopeType.HTTP, ScopeType.WEBSOCKET):
            await self._app(scope, receive, send)
            return
        refusal = self._refusal(scope)
        if refusal is None:
            await self._app(scope, receive, self._with_headers(send))
        elif scope["type"] == ScopeType.WEBSOCKET:
            await receive()
            await send({"type": "websocket.close", "code": 4403, "reason": refusal[1]})
        else:
            await _refuse(refusal, self._with_headers(send))

    def _refusal(self, scope: Scope) -> tuple[int, str] | None:
        """Return status and sentence of a refusal, None for what may pass."""
        headers = {name.lower(): value.decode("latin-1") for name, value in scope["headers"]}
        host = headers.get(b"host", "").lower()
        if host not in self._names:
            return 421, "This server does not answer under that name; use the address that it printed."
        changes = scope["type"] == ScopeType.WEBSOCKET or scope["method"] not in SAFE
        if changes and not self._from_here(headers, host):
            return 403, "A page of another site may not change anything here."
        return None

    def _from_here(self, headers: dict[bytes, str], host: str) -> bool:
        site, origin = headers.get(b"sec-fetch-site"), headers.get(b"origin")
        if site is not None and site not in _OWN:
            return False
        return origin is None or urlsplit(origin).netloc.lower() == host

    def _with_headers(self, send: Send) -> Send:
        async def sending(message: Message) -> None:
            if message["type"] == "http.response.start":
                message["headers"] = [*message.get("headers", []), *self._headers]
            await send(message)

        return sending


async def _refuse(refusal: tuple[int, str], send: Send) -> None:
    status, sentence = refusal
    body = sentence.encode()
    headers = [(b"content-type", b"text/plain; charset=utf-8"), (b"content-length", str(len(body)).encode())]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body, "more_body": False})
