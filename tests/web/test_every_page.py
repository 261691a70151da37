"""What holds for every page of the server, whatever is on it: WCAG 2.2 AA, and what the trade's tablets ask.

Success criteria of WCAG 2.2: 1.4.10 (reflow at 320 CSS px, which is 1280 px at 400 %), 2.5.5 (targets of 44
CSS px, the enhanced size), 2.4.7 and 2.4.11 (focus seen and not covered), 2.4.1 (a way past what repeats).
"""

from __future__ import annotations

from collections.abc import Callable

import httpx
import pytest
from axe_playwright_python.sync_playwright import Axe
from litestar.handlers import HTTPRouteHandler
from playwright.sync_api import Page, ViewportSize

from groundref.web.app import ROUTES
from tests.record.invented import flown
from tests.web.sending import send

PAGES = {
    "/": "/",
    "/lessons/{number:int}": "/lessons/1",
    "/lessons/{number:int}/seat": "/lessons/1/seat",
    "/lessons/{number:int}/debriefs/{turn:int}": "/lessons/1/debriefs/1",
    "/try": "/try",
    "/plan": "/plan",
    "/plan/seat": "/plan/seat?wind=240/14",
    "/students": "/students",
    "/students/{name:str}": "/students/Jo%20Brandt",
    "/compare": "/compare?a=1.1",
}
# Needs a try that was just flown (test_try_browser), and a plan that was kept (test_planned_lesson).
ELSEWHERE = {"/tried/{name:str}", "/lessons/{number:int}/plan"}
FILES = (".css", ".js", ".pdf")
FAILED = {"no such lesson": ("/lessons/9", 404), "nowhere": ("/nowhere", 404)}
VISITED = [(path, 0) for path in PAGES.values()] + list(FAILED.values())
TOUCH = 44  # CSS px

# Elements to be touched that are smaller than TOUCH in height, or in width where they stand alone.
SMALL = """(least) => {
  const text = "p, li, dd, figcaption, td, footer";
  const all = "main a, nav a, button, input, select, summary, textarea";
  const running = (e) => getComputedStyle(e).display === "inline" && e.closest(text);
  return [...document.querySelectorAll(all)].filter((e) => {
    if (e.type === "hidden" || !e.checkVisibility({ visibilityProperty: true }) || running(e)) return false;
    const box = (/^(checkbox|radio)$/.test(e.type) && e.labels[0] ? e.labels[0] : e).getBoundingClientRect();
    if (box.width < 2 || e.closest(".store")) return false;
    return Math.min(box.width, box.height) < least - 0.5;
  }).map((e) => `${e.outerHTML.slice(0, 90)} ${JSON.stringify(e.getBoundingClientRect())}`);
}"""
ZOOMED: ViewportSize = {"width": 320, "height": 256}  # what 1280 by 1024 px leaves at 400 %
# The name, which the keyboard reaches, of each table that goes on behind the edge of the screen.
CUT = """() => [...document.querySelectorAll(".scroll")].filter((e) => e.scrollWidth > e.clientWidth + 1)
  .map((e) => e.tabIndex === 0 && e.getAttribute("role") === "group" && (e.getAttribute("aria-label") ||
    document.getElementById(e.getAttribute("aria-labelledby")).textContent))"""
# Running text whose lines are too long to find back from, measured in the digit 0 of its own letters.
LONG = """() => {
  const zero = document.createElement("span");
  zero.textContent = "0".repeat(100);
  Object.assign(zero.style, { position: "absolute", whiteSpace: "nowrap" });
  const long = [];
  for (const e of document.querySelectorAll("main p, main li, main dd, main figcaption, footer li")) {
    if (!e.checkVisibility() || e.textContent.trim().length < 80) continue;
    if (e.querySelector("div, svg, table, p, li, a.as-button")) continue;
    e.append(zero);
    const one = zero.getBoundingClientRect().width / 100;
    zero.remove();
    const range = document.createRange();
    range.selectNodeContents(e);
    if (range.getBoundingClientRect().width > 72 * one) long.push(e.textContent.trim().slice(0, 80));
  }
  return long;
}"""
# What stays where it is while the page is scrolled, and leaves less than two thirds of the height to read in.
COVERED = """() => [...document.querySelectorAll("body *")]
  .filter((e) => /sticky|fixed/.test(getComputedStyle(e).position))
  .filter((e) => e.checkVisibility({ visibilityProperty: true }))
  .filter((e) => e.getBoundingClientRect().height > innerHeight / 3)
  .map((e) => e.outerHTML.slice(0, 90))"""
STOPS = """() => [
  ...document.querySelectorAll("a[href], button, input, select, textarea, summary, [tabindex='0']")
].filter((e) => e.type !== "hidden" && !e.disabled && e.tabIndex >= 0)
  .filter((e) => e.checkVisibility({ visibilityProperty: true }))
  .filter((e) => e.type !== "radio" || e.checked).length"""
# What has the focus: whether that is seen, and whether anything lies over all of it.
FOCUS = """() => {
  const e = document.activeElement;
  if (!e || e === document.body) return null;
  const style = getComputedStyle(e), box = e.getBoundingClientRect();
  const seen = (style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2);
  const over = [[0.5, 0.5], [0.1, 0.2], [0.9, 0.8]].some(([x, y]) => {
    const top = document.elementFromPoint(box.left + x * box.width, box.top + y * box.height);
    return top && (e.contains(top) || top.contains(e) || [...(e.labels || [])].some((l) => l.contains(top)));
  });
  e.dataset.stop = e.dataset.stop || String(document.querySelectorAll("[data-stop]").length);
  return { stop: e.dataset.stop, seen, clear: over, what: e.outerHTML.slice(0, 120) };
}"""


@pytest.fixture
def visited(opened: Callable[..., Page], address: str) -> Callable[..., Page]:
    """Open a page of a server that has a lesson."""
    files = {"recordings": ("lesson.gpx", flown().parts[0][1])}
    answer = httpx.post(f"{address}/lessons", files=files, headers={"accept": "application/json"}, timeout=60)
    assert answer.json()["lesson"] == 1
    who = {"student": "Jo Brandt", "instructor": "Ines Okafor"}
    with httpx.Client(base_url=address, timeout=60) as client:
        assert send(client, 1, "who", who).status_code == 303
        assert send(client, 1, "corrections", {"ground_ft": "640"}).status_code == 303  # the second debrief

    def visit(path: str, refused: int, width: int = 1366, **options: object) -> Page:
        page = opened(path, width, refused=refused, **options)
        page.wait_for_load_state("networkidle")
        return page

    return visit


def test_no_page_is_forgotten() -> None:
    """A route that answers with a page belongs into PAGES."""
    there = {
        path
        for route in ROUTES
        if isinstance(route, HTTPRouteHandler) and "GET" in route.http_methods and not route.include_in_schema
        for path in route.paths
        if not path.endswith(FILES)
    }
    assert there - ELSEWHERE == set(PAGES)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(("path", "refused"), VISITED)
def test_axe_finds_no_fault_and_nothing_moves_for_who_asked_for_less_motion(
    visited, path: str, refused: int, scheme: str
) -> None:
    page = visited(path, refused, color_scheme=scheme, reduced_motion="reduce")
    for width in (1366, 360) if scheme == "dark" else (1366,):
        page.set_viewport_size({"width": width, "height": 900})
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()
    assert page.evaluate("() => document.getAnimations().length") == 0


@pytest.mark.parametrize(("path", "refused"), VISITED)
def test_nothing_is_wider_than_the_screen_or_too_small_to_touch(visited, path: str, refused: int) -> None:
    page = visited(path, refused, 320)
    for width in (320, 360, 820, 1440, 2560):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate("() => document.documentElement.scrollWidth") <= width
        assert page.evaluate(SMALL, TOUCH) == [], width
        cut = page.evaluate(CUT)
        assert all(name for name in cut) if width < 1440 else cut == [], (width, cut)
    assert page.evaluate(LONG) == []
    assert page.locator("[target]").count() == 0  # whatever leads somewhere leads there in the same tab
    page.set_viewport_size(ZOOMED)
    assert page.evaluate(COVERED) == []
    page.emulate_media(media="print")
    assert page.locator(":is(button, select, input, textarea):visible").count() == 0


@pytest.mark.parametrize(("path", "refused"), VISITED)
def test_the_keyboard_reaches_everything_and_shows_where_it_is(visited, path: str, refused: int) -> None:
    page = visited(path, refused, 820, reduced_motion="reduce")
    stops, met = page.evaluate(STOPS), {}
    page.keyboard.press("Tab")
    assert "skip" in page.evaluate(FOCUS)["what"]
    for _ in range(stops + 5):
        focus = page.evaluate(FOCUS)
        if focus is None:
            break
        met[focus["stop"]] = focus
        page.keyboard.press("Tab")
    assert [one["what"] for one in met.values() if not (one["seen"] and one["clear"])] == []
    assert len(met) >= stops
    # The first stop leads past what every page repeats.
    page.evaluate("() => { scrollTo(0, 0); document.querySelector('.skip').focus() }")
    page.keyboard.press("Enter")
    assert page.evaluate("() => document.activeElement.id") == "main"
