"""How quick the served page is, in a real browser, and how it bears twenty users at once.

    python bench/page.py [--seconds 120] [--users 20]

Prints: the first page from the start of the server, its weight and its time; a dropped recording of an hour
until its debrief is on the screen; a correction, there and back; frames a second of a replay with 10,000
points and of the picture from the seat; a changed number of a plan until its picture is painted; the
server's memory; and what the users met. Needs Linux and a Chromium on the path.
"""

from __future__ import annotations

import argparse
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import httpx
import numpy as np
from bench.page_plan import plans
from bench.page_seat import seats
from bench.page_users import memory_of, together
from bench.speed import lessons
from playwright.sync_api import Browser, Page, sync_playwright
from rich.console import Console
from rich.table import Table

from groundref.simulation.lesson import simulate
from groundref.simulation.write import to_bytes

Row = tuple[str, str, str]
POINTS = 10_000
# Frames a second, counted by the browser's own clock while the replay runs.
COUNT = """() => new Promise((done) => {
  let frames = 0; const start = performance.now();
  const one = (now) => {
    frames += 1;
    if (now - start < 4000) requestAnimationFrame(one); else done((1000 * frames) / (now - start));
  };
  requestAnimationFrame(one);
})"""


@contextmanager
def served(folder: Path) -> Iterator[tuple[str, int, tuple[float, float]]]:
    """Yield address and process of a server with an empty record, and when it and its first page were there.

    Both times are from the start of the command [s].
    """
    start = time.perf_counter()
    server = subprocess.Popen(
        [
            sys.executable,
            "-m",
            "groundref",
            "serve",
            "--port",
            "0",
            "--record",
            str(folder / "record.sqlite"),
        ],
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        said = next(line for line in server.stderr if "http://" in line)
        address = re.search(r"http://[^\s/]+", said).group()
        up = time.perf_counter() - start
        httpx.get(address + "/").raise_for_status()
        yield address, server.pid, (up, time.perf_counter() - start)
    finally:
        server.terminate()
        server.wait(30)
        server.stderr.close()


def first_page(browser: Browser, address: str) -> list[Row]:
    """Return weight and time of the first page in a browser that has seen nothing of it."""
    page = browser.new_page()
    weighed = page.context.new_cdp_session(page)
    weighed.send("Network.enable")
    weight: list[float] = []
    weighed.on("Network.loadingFinished", lambda event: weight.append(event["encodedDataLength"]))
    page.goto(address + "/", wait_until="networkidle")
    took = page.evaluate("() => performance.getEntriesByType('navigation')[0].loadEventEnd")
    page.close()
    return [
        ("first page, over the wire", f"{sum(weight) / 1e3:.0f} kB in {len(weight)} answers", "300 kB"),
        ("first page, loaded", f"{took / 1e3:.2f} s", "0.5 s"),
    ]


def dropped(browser: Browser, address: str, recording: Path) -> tuple[Page, float]:
    """Return the page of a lesson whose recording was brought, and how long that took [s]."""
    page = browser.new_page(viewport={"width": 1366, "height": 900})
    page.goto(address + "/", wait_until="networkidle")
    page.set_input_files("#recordings", str(recording))
    start = time.perf_counter()
    page.click("form.bring button")
    page.wait_for_url("**/lessons/*", wait_until="commit")
    page.locator("article.maneuver svg").first.wait_for()
    return page, time.perf_counter() - start


def corrected(page: Page) -> float:
    """Return how long it takes until a debrief with another elevation of the ground is there [s]."""
    page.fill("[name=ground_ft]", "600")
    start = time.perf_counter()
    with page.expect_navigation(wait_until="commit"):
        page.get_by_role("button", name="Work it out anew").click()
    page.locator("article.maneuver svg").first.wait_for()
    return time.perf_counter() - start


def frames(page: Page) -> float:
    """Return how many frames a second a replay at 16 times the pace draws."""
    page.locator(".replay").wait_for()
    page.select_option(".replay select", "16")
    page.locator(".replay [aria-pressed]").click()
    return page.evaluate(COUNT)


def in_browser(address: str, process: int, folder: Path) -> Iterator[Row]:
    """Yield what a browser meets."""
    hour, long = folder / "hour.gpx", folder / "long.gpx"
    hour.write_bytes(to_bytes(lessons(1.0), "hour.gpx"))
    long.write_bytes(to_bytes(lessons(POINTS / 3600.0), "long.gpx"))
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=shutil.which("chromium") or shutil.which("google-chrome"),
            args=["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
        )
        yield from first_page(browser, address)
        page, took = dropped(browser, address, hour)
        yield "an hour's recording, until its debrief is there", f"{took:.2f} s", "1.5 s"
        yield "a correction of it, there and back", f"{corrected(page):.2f} s", "1 s"
        page.close()
        page, took = dropped(browser, address, long)
        yield f"a recording of {POINTS:,} points, until its debrief is there", f"{took:.2f} s", ""
        yield "frames a second of its replay", f"{frames(page):.0f}", "at least 50"
        lesson = page.url.partition("?")[0]
        page.close()
        yield from seats(browser, lesson)
        yield from plans(browser, address, process)
        browser.close()


def load(address: str, process: int, users: int, seconds: float) -> Iterator[Row]:
    """Yield what users meet."""
    brought = [to_bytes(simulate(seed=seed)[0], "lesson.gpx") for seed in range(1, 7)]
    seen = together(
        address,
        brought,
        users=users,
        seconds=seconds,
        measured=lambda: sum(memory_of(process).values()),
    )
    yield f"{users} users for {seconds:g} s: answers", f"{len(seen.pages) + len(seen.debriefs):,}", ""
    yield "their errors", f"{len(seen.errors)} {' '.join(seen.errors[:2])}", "0"
    for what, times, target in (("page", seen.pages, "0.3 s"), ("debrief", seen.debriefs, "2 s")):
        half, most = np.quantile(times, (0.5, 0.95))
        yield f"a {what} of {len(times):,}: half of them, 95 %", f"{half:.2f} s, {most:.2f} s", target
    third = max(1, len(seen.memory) // 3)
    early, late = (np.mean(part) / 1e6 for part in (seen.memory[third : 2 * third], seen.memory[-third:]))
    yield "memory, middle and last third", f"{early:.0f} MB, {late:.0f} MB", "flat"


def main() -> None:
    """Measure, and print a table."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    asked.add_argument("--seconds", type=float, default=120.0, help="of the load")
    asked.add_argument("--users", type=int, default=20)
    given = asked.parse_args()
    before = os.getloadavg()[0]
    rows: list[Row] = []
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        with served(folder) as (address, process, (up, there)):
            rows.append(("the server says its address, from the start of the command", f"{up:.2f} s", ""))
            rows.append(("its first page, from then", f"{there - up:.2f} s", "0.5 s"))
            rows += in_browser(address, process, folder)
            parts = memory_of(process)
            own, others = parts.pop(process) / 1e6, sum(parts.values()) / 1e6
            rows.append(("memory: the server, and its workers", f"{own:.0f} MB, {others:.0f} MB", ""))
            if given.seconds:
                rows += load(address, process, given.users, given.seconds)
    table = Table("what", "measured", "target")
    for row in rows:
        table.add_row(*row)
    console = Console(width=110)
    console.print(table)
    console.print(f"{os.cpu_count()} processors; load before {before:.1f}, after {os.getloadavg()[0]:.1f}")


if __name__ == "__main__":
    main()
