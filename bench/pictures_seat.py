"""Pictures of the view from the seat and of a try on the ground, for docs/page.md.

    python bench/pictures_seat.py [seat|try...]   writes docs/pictures/seat.png, try.png

Needs a Chromium on the path.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

import uvicorn
from playwright.sync_api import Page, sync_playwright

import groundref
from groundref.record.asked import Asked
from groundref.record.lessons import NewLesson, add
from groundref.record.place import Place
from groundref.record.store import Record, open_record
from groundref.simulation.write import to_bytes
from groundref.units import knot
from groundref.web.app import build
from groundref.web.server import listen
from groundref.web.work import debrief

PICTURES: Final = Path(__file__).parents[1] / "docs" / "pictures"
IN_SPACE: Final = ["--no-sandbox", "--use-angle=swiftshader", "--enable-unsafe-swiftshader"]
WIDE, TALL = 1000, 800
BANKS: Final = ((7.3, -38), (26.0, "h"))  # seconds after which the bank, or a key, is given
FLOWN: Final = 70.0  # [s]


@contextmanager
def served(record: Record) -> Iterator[str]:
    """Serve a record; give the address."""
    listening = listen("127.0.0.1", 0)
    name = f"127.0.0.1:{listening.getsockname()[1]}"
    server = uvicorn.Server(uvicorn.Config(build(record, [name]), log_level="error"))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.05)
    yield f"http://{name}"
    server.should_exit = True
    thread.join(20)


def brought(record: Record) -> None:
    """Put a simulated lesson into the record."""
    recording, _ = groundref.simulate("turns-around-a-point", wind_speed=15 * knot, recorder="avionics")
    parts = (("lesson.csv", to_bytes(recording, "lesson.csv")),)
    add(record, NewLesson(parts, Asked(), debrief(parts, Asked()).document, groundref.__version__))


def seat(page: Page, address: str) -> None:
    """Show the view from the seat where the crab is greatest."""
    page.goto(f"{address}/lessons/1/seat?at=850")
    page.wait_for_selector(".from-seat.in-space canvas")
    page.wait_for_timeout(1500)
    page.locator(".view").screenshot(path=PICTURES / "seat.png")


def try_it(page: Page, address: str) -> None:
    """Hold the bank in the wind for a lap."""
    page.goto(f"{address}/try?from_deg=240&wind_kt=15&tas_kt=90&radius=1200")
    page.keyboard.press("Space")
    began = time.monotonic()
    for at, what in BANKS:
        page.wait_for_timeout(max(0.0, 1000 * (at - (time.monotonic() - began))))
        if isinstance(what, str):
            page.keyboard.press(what)
        else:
            page.locator("#bank").evaluate(
                "(slider, to) => { slider.value = to; slider.dispatchEvent(new Event('input')); }", what
            )
    page.wait_for_timeout(max(0.0, 1000 * (FLOWN - (time.monotonic() - began))))
    page.locator(".trying").screenshot(path=PICTURES / "try.png")


DRAWN: Final[dict[str, Callable[[Page, str], None]]] = {"seat": seat, "try": try_it}


def main(names: list[str]) -> None:
    """Write the pictures asked for, all when none is."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        record = open_record(Place(path=Path(folder) / "record.sqlite"), make=True)
        brought(record)
        found = shutil.which("chromium") or shutil.which("google-chrome")
        browser = playwright.chromium.launch(executable_path=found, args=IN_SPACE)
        page = browser.new_page(viewport={"width": WIDE, "height": TALL})
        with served(record) as address:
            for name in names or list(DRAWN):
                DRAWN[name](page, address)
                print(f"docs/pictures/{name}.png")
        browser.close()


if __name__ == "__main__":
    main(sys.argv[1:])
