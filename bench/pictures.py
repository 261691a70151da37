"""Pictures of the page for the documentation: one a kind, of the simulated flights of docs/maneuvers.md, one
of the demo for the README, and the brief of docs/brief.md.

    python bench/pictures.py [KIND|debrief|brief...]   writes docs/pictures/KIND.png, debrief.png, brief.png

Needs a Chromium on the path, but for the brief.
"""

from __future__ import annotations

import re
import shutil
import sys
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from functools import partial
from math import radians
from pathlib import Path
from typing import Final

from playwright.sync_api import FloatRect, sync_playwright

import groundref
from groundref.aircraft.loading import load_aircraft
from groundref.cli.demo import FAULTS
from groundref.debriefing import DEFAULT_STANDARD
from groundref.planning import Blowing
from groundref.planning.asked import Where
from groundref.reports.brief import render
from groundref.reports.brief.content import People
from groundref.reports.html import page
from groundref.standards.loading import load_standard
from groundref.units import foot, knot

DOCS: Final = Path(__file__).parents[1] / "docs"
# The first example of each kind: what is simulated, and by which standard it is debriefed.
EXAMPLE: Final = re.compile(
    r"groundref simulate (?P<kind>\S+)(?: --height-ft (?P<height>\d+))?"
    r" --fault (?P<fault>\S+)=(?P<size>\S+) -o .*\n.*\n"
    r"\$ groundref debrief \S+(?: --standard (?P<standard>\S+))?"
)
WIDE, RIM, SCALE = 1100, 20, 0.82
DEMO: Final = "debrief"
BRIEF: Final = "brief"
# What a picture shows, from the title down to the pictures of the maneuver.
CLIP: Final = """() => {
  const top = document.querySelector("article.maneuver").getBoundingClientRect().top;
  const foot = document.querySelector("article.maneuver > .pair").getBoundingClientRect().bottom;
  return [top + window.scrollY, foot + window.scrollY];
}"""


def examples() -> dict[str, re.Match[str]]:
    """Return the example of each kind."""
    return {found["kind"]: found for found in EXAMPLE.finditer((DOCS / "maneuvers.md").read_text("utf-8"))}


def written(example: re.Match[str]) -> str:
    """Return the page of a simulated flight."""
    height = None if example["height"] is None else float(example["height"]) * foot
    recording, _ = groundref.simulate(
        example["kind"], faults={example["fault"]: float(example["size"])}, height=height
    )
    standard = load_standard(example["standard"] or DEFAULT_STANDARD)
    return page(groundref.debrief(recording, standard=standard))


def demonstrated() -> str:
    """Return the page that the demo writes."""
    recording, _ = groundref.simulate(faults=FAULTS, seed=4)
    aircraft = load_aircraft("high-wing-trainer")
    return page(groundref.debrief(replace(recording, source="lesson.gpx"), aircraft=aircraft))


def briefed() -> bytes:
    """Return the brief of the example of docs/brief.md."""
    plan = groundref.plan(
        "turns-around-a-point",
        wind=Blowing(speed=14 * knot, direction_from=radians(240)),
        where=Where(latitude=radians(40.1), longitude=radians(-90.2), when=date(2026, 5, 1)),
    )
    return render.page(plan, people=People(student="A. Example"), form="png")


def main(kinds: list[str]) -> None:
    """Write the pictures of some kinds, of all when none is named."""
    if not kinds or BRIEF in kinds:
        (DOCS / "pictures" / f"{BRIEF}.png").write_bytes(briefed())
    if kinds == [BRIEF]:
        return
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=shutil.which("chromium") or shutil.which("google-chrome"),
            args=["--disable-gpu", "--disable-lcd-text"],
        )
        pages: dict[str, Callable[[], str]] = {DEMO: demonstrated}
        pages |= {kind: partial(written, example) for kind, example in examples().items()}
        for kind, made in pages.items():
            if kinds and kind not in kinds:
                continue
            shown = browser.new_page(viewport={"width": WIDE, "height": 900}, device_scale_factor=SCALE)
            shown.set_content(made())
            top, foot = shown.evaluate(CLIP)
            top = 0 if kind == DEMO else top
            clip = FloatRect(x=0, y=top, width=WIDE, height=foot - top + RIM)
            shown.screenshot(path=str(DOCS / "pictures" / f"{kind}.png"), clip=clip, full_page=True)
            shown.close()
        browser.close()


if __name__ == "__main__":
    main(sys.argv[1:])
