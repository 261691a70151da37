"""From a changed number of a plan to its picture on the screen, kind by kind, in a real browser."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from playwright.sync_api import Browser, Page

from groundref.web.planning.fields import KINDS

TIMES = 40  # changes of each kind; the 95 % is then the second slowest
FIRST = 5  # not counted: the browser compiles what it runs, the server reads what it needs
SLOWEST = "150 ms"
# From the event of a typed letter to the second frame after the new plan is there: the first paints it.
CHANGED = """async ([name, value]) => {
  const field = document.getElementById(name), result = document.querySelector(".result");
  const painted = new Promise((done) => new MutationObserver((_, watch) => {
    watch.disconnect();
    requestAnimationFrame(() => requestAnimationFrame(() => done(performance.now())));
  }).observe(result, {childList: true}));
  field.value = value;
  const begun = performance.now();
  field.dispatchEvent(new Event("input", {bubbles: true}));
  return (await painted) - begun;
}"""


def plans(browser: Browser, address: str, process: int) -> Iterator[tuple[str, str, str]]:
    """Yield a row for each kind of maneuver: half of the times and 95 % of them, and the server's work.

    Parameters
    ----------
    browser
        Chromium.
    address, process
        Of the server.
    """
    page = browser.new_page(viewport={"width": 1440, "height": 900})
    for kind in KINDS:
        page.goto(f"{address}/plan?maneuver={kind}&wind=240/14", wait_until="networkidle")
        took, worked = changes(page, process)
        half, most = np.quantile(took, (0.5, 0.95))
        yield (
            f"{kind}, from a changed number to its picture: half, 95 %",
            f"{half:.0f} ms, {most:.0f} ms; {1e3 * worked:.0f} ms of the server's processor",
            SLOWEST,
        )
    page.close()


def changes(page: Page, process: int) -> tuple[list[float], float]:
    """Return how long each change of the wind took [ms], and the processor time of the server for one [s]."""
    took, before = [], 0.0
    for number in range(FIRST + TIMES):
        if number == FIRST:
            before = processor(process)
        wind = f"{200 + number}/{8 + number % 9}"
        took.append(page.evaluate(CHANGED, ["wind", wind]))
    return took[FIRST:], (processor(process) - before) / TIMES


def processor(process: int) -> float:
    """Return the processor time that a process has had [s]; needs Linux."""
    fields = Path(f"/proc/{process}/stat").read_text("utf-8").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")
