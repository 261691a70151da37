"""Frames a second of the picture from the seat while it plays, in a real browser and by its renderer."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

from bench.page_plan import processor
from bench.page_users import children
from playwright.sync_api import Browser, Page

SCREENS = ((1440, 900), (820, 1180))
RENDERER = """() => {
  const canvas = new OffscreenCanvas(1, 1), drawing = canvas.getContext("webgl2");
  if (!drawing) return "";
  return drawing.getParameter(drawing.getExtension("WEBGL_debug_renderer_info").UNMASKED_RENDERER_WEBGL);
}"""
FINDING = 2000  # [ms] in which it finds out how finely it can draw
FRAMES = """() => new Promise((done) => {
  const view = groundrefSeat, frames = view.frames, start = performance.now();
  setTimeout(() => done([view.frames - frames, (performance.now() - start) / 1000, view.ratio]), 4000);
})"""


def seats(browser: Browser, lesson: str) -> Iterator[tuple[str, str, str]]:
    """Yield a row for each screen.

    Parameters
    ----------
    browser
        Chromium.
    lesson
        Address of one with a maneuver.
    """
    page = browser.new_page()
    page.goto(f"{lesson}/seat", wait_until="networkidle")
    renderer = page.evaluate(RENDERER)
    for width, height in SCREENS:
        page.set_viewport_size({"width": width, "height": height})
        yield f"frames a second from the seat, {width} × {height}", playing(page) if renderer else "none", ""
    yield "drawn by", renderer or "a browser that draws nothing in three dimensions", ""
    page.close()


def playing(page: Page) -> str:
    """Return frames a second, how finely they are drawn, and the processor time of the browser for each."""
    page.reload(wait_until="networkidle")
    page.locator(".from-seat.in-space").wait_for()
    page.locator("[data-does=play]").click()
    page.wait_for_timeout(FINDING)
    before = _browsers()
    frames, seconds, ratio = page.evaluate(FRAMES)
    each = 1e3 * (_browsers() - before) / max(frames, 1)
    return f"{frames / seconds:.0f}, {ratio:.2f} pixels a CSS pixel, {each:.0f} ms of the processor each"


def _browsers() -> float:
    """Return the processor time of everything that this process started and that still runs [s]."""
    return sum(processor(one) for one in children(os.getpid()) if Path(f"/proc/{one}").exists())
