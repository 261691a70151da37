"""The server: one socket on this machine, until it is told to stop."""

from __future__ import annotations

import errno
import socket
import webbrowser
from collections.abc import Callable
from typing import Final

import uvicorn

from groundref.errors import UsageError
from groundref.record.store import Record
from groundref.web.app import build
from groundref.web.maps.source import MapSource

_GRACE: Final = 10  # how long requests in work may take after a stop [s]


def run(
    record: Record,
    host: str,
    port: int,
    *,
    say: Callable[[str], None],
    show: bool = False,
    source: MapSource | None = None,
) -> None:
    """Serve until interrupted; requests in work are finished.

    Parameters
    ----------
    record
        The training record.
    host, port
        Where; a port of 0 takes one that is free.
    say
        Told the address once it answers.
    show
        Whether to open it in the browser.
    source
        Of a map beneath the pictures, where the user named one.

    Raises
    ------
    UsageError
        When the port is taken.
    """
    listening = listen(host, port)
    port = listening.getsockname()[1]
    address = f"http://{host}:{port}/"
    app = build(record, [f"{host}:{port}", f"localhost:{port}"], source=source)
    config = uvicorn.Config(
        app,
        log_level="warning",
        access_log=False,
        timeout_graceful_shutdown=_GRACE,
        server_header=False,
        ws_max_size=1 << 16,
    )
    server = uvicorn.Server(config)
    say(f"the page is {address} (Ctrl-C ends it)")
    if show:
        webbrowser.open(address)
    server.run(sockets=[listening])


def listen(host: str, port: int) -> socket.socket:
    """Return a socket that listens there; a UsageError when another program uses the port."""
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((host, port))
        listening.listen(128)  # so that a browser that is quicker than the start waits for it
    except OSError as problem:
        listening.close()
        if problem.errno in (errno.EADDRINUSE, errno.EACCES):
            raise UsageError(
                "another program uses that port", f"port {port}", "give another, or 0 for one that is free"
            ) from problem
        raise
    return listening
