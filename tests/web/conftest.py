"""The served page in a real browser that has no other network: a request to anywhere else fails the test."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlsplit

import pytest
import uvicorn
from playwright.sync_api import Browser, Page

from groundref.record.place import Place
from groundref.record.store import open_record
from groundref.web.app import build
from groundref.web.maps.source import MapSource
from groundref.web.server import listen

# The software renderer's own note on its speed, where a picture is read from it.
DRIVER = "GL Driver Message (OpenGL, Performance, GL_CLOSE_PATH_NV, High): GPU stall due to ReadPixels"


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A server with an empty record, and where it answers."""
    with serving(tmp_path_factory.mktemp("served")) as address:
        yield address


@contextmanager
def serving(folder: Path, source: MapSource | None = None) -> Iterator[str]:
    """Serve an empty record in a folder, with a map beneath or without; where it answers."""
    record = open_record(Place(path=folder / "record.sqlite"), make=True)
    listening = listen("127.0.0.1", 0)
    name = f"127.0.0.1:{listening.getsockname()[1]}"
    server = uvicorn.Server(uvicorn.Config(build(record, [name], source=source), log_level="error"))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    yield f"http://{name}"
    server.should_exit = True
    thread.join(20)


@pytest.fixture
def opened(browser: Browser, address: str) -> Iterator[Callable[..., Page]]:
    """Open a page of the server; whatever it complains of or asks elsewhere fails the test."""
    contexts = []
    trouble: list[str] = []

    def open_page(
        path: str, width: int = 1366, *, refused: int = 0, silent: bool = False, **options: object
    ) -> Page:
        # The browser itself reports an answer such as 422, or none, which a test may be after.
        awaited = "Failed to load resource: "
        awaited += "net::ERR_" if silent else f"the server responded with a status of {refused}"

        context = browser.new_context(viewport={"width": width, "height": 900}, **options)
        contexts.append(context)
        page = context.new_page()
        page.on(
            "console",
            lambda message: (
                None
                if ((refused or silent) and message.text.startswith(awaited)) or DRIVER in message.text
                else trouble.append(f"{message.type}: {message.text}")
            ),
        )
        page.on("pageerror", lambda error: trouble.append(str(error)))
        page.on("request", lambda request: _at_home(request.url, address, trouble))
        page.goto(address + path)
        return page

    yield open_page
    for context in contexts:
        context.close()
    assert trouble == []


def _at_home(url: str, address: str, trouble: list[str]) -> None:
    if (
        urlsplit(url).scheme in ("http", "https", "ws", "wss")
        and urlsplit(url).netloc != urlsplit(address).netloc
    ):
        trouble.append(f"asked elsewhere: {url}")


@pytest.fixture
def recording(tmp_path: Path) -> Path:
    """A recording as a file."""
    from tests.record.invented import flown

    file = tmp_path / "lesson.gpx"
    file.write_bytes(flown().parts[0][1])
    return file
