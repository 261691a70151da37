"""Pictures of the page for the documentation, one a kind, from the simulated flights of docs/maneuvers.md.

    python bench/pictures.py [KIND...]         writes docs/pictures/KIND.png

Needs a Chromium on the path.
"""

from __future__ import annotations

import shutil
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Final

from playwright.sync_api import FloatRect, sync_playwright

import groundref
from groundref.reports.html import page
from groundref.standards.loading import load_standard
from groundref.units import foot

PICTURES: Final = Path(__file__).parents[1] / "docs" / "pictures"
FAULTS: Final[Mapping[str, Mapping[str, float]]] = {
    "turns-around-a-point": {"overbanked-upwind": 8.0},
    "s-turns": {"unequal-half-circles": 400.0},
    "rectangular-course": {"wrong-crab": 8.0},
    "eights-along-a-road": {"radius-changed": 400.0},
    "eights-across-a-road": {"wrong-crab": 10.0},
    "eights-around-pylons": {"overbanked-upwind": 8.0},
    "eights-on-pylons": {"pivotal-altitude-not-followed": 150.0},
    "steep-turns": {"rollout-heading-missed": 20.0},
}
HEIGHTS: Final = {"eights-around-pylons": 950 * foot}
COMMERCIAL: Final = ("eights-on-pylons",)
WIDE, RIM, SCALE = 1100, 20, 0.85
# What a picture shows, from the title down to the pictures of the maneuver.
CLIP: Final = """() => {
  const top = document.querySelector("article.maneuver").getBoundingClientRect().top;
  const foot = document.querySelector("article.maneuver > .pair").getBoundingClientRect().bottom;
  return [top + window.scrollY, foot + window.scrollY];
}"""


def written(kind: str) -> str:
    """Return the page of a simulated flight."""
    standard = load_standard("commercial-pilot" if kind in COMMERCIAL else "private-pilot")
    recording, _ = groundref.simulate(kind, faults=FAULTS[kind], height=HEIGHTS.get(kind))
    return page(groundref.debrief(recording, standard=standard))


def main(kinds: list[str]) -> None:
    """Write the pictures of some kinds, of all when none is named."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=shutil.which("chromium") or shutil.which("google-chrome"),
            args=["--disable-gpu", "--disable-lcd-text"],
        )
        for kind in kinds or FAULTS:
            shown = browser.new_page(viewport={"width": WIDE, "height": 900}, device_scale_factor=SCALE)
            shown.set_content(written(kind))
            top, foot = shown.evaluate(CLIP)
            clip = FloatRect(x=0, y=top, width=WIDE, height=foot - top + RIM)
            shown.screenshot(path=str(PICTURES / f"{kind}.png"), clip=clip, full_page=True)
            shown.close()
        browser.close()


if __name__ == "__main__":
    main(sys.argv[1:])
