"""Pictures of the page that an instructor works in.

    python bench/pictures_page.py [NAME...]               those of the docs, into docs/pictures
    python bench/pictures_page.py --all FOLDER [NAME...]  every page, in every size and look

Both serve the invented lessons of `groundref demo --open`. Needs a Chromium on the path.
"""

from __future__ import annotations

import argparse
import base64
import shutil
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
from bench import pages_served, palette
from playwright.sync_api import Browser, FloatRect, Page, sync_playwright

PICTURES: Final = Path(__file__).parents[1] / "docs" / "pictures"
IN_SPACE: Final = [
    "--no-sandbox",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
    "--disable-lcd-text",
]
SIZES: Final = {
    "phone": (390, 844),
    "tablet": (820, 1180),
    "laptop": (1440, 900),
    "least": (360, 740),
    "most": (2560, 1440),
}
ZOOMED: Final = (360, 225)  # a laptop's 1440 x 900 at 400 %
LOOKS: Final = ("light", "dark")
RIM: Final = 16
HEAVIEST: Final = 150_000  # [byte]
PIXELS: Final = """async (picture) => {
  const drawn = new Image();
  drawn.src = `data:image/png;base64,${picture}`;
  await drawn.decode();
  const canvas = new OffscreenCanvas(drawn.width, drawn.height), on = canvas.getContext("2d");
  on.drawImage(drawn, 0, 0);
  const bytes = new Uint8Array(on.getImageData(0, 0, drawn.width, drawn.height).data.buffer);
  let text = "";
  const most = 32768;
  for (let n = 0; n < bytes.length; n += most) text += String.fromCharCode(...bytes.subarray(n, n + most));
  return [drawn.width, drawn.height, btoa(text)];
}"""


@dataclass(frozen=True)
class Chosen:
    """A picture of the docs: how much of which page, once it is as it is to be seen."""

    page: str
    high: int
    wide: int = 1200
    first: Callable[[Page], None] | None = None
    of: str = ""


def fly(page: Page) -> None:
    """Fly a lap, then hold the bank for one."""
    page.keyboard.press("Space")
    for seconds, what in ((7.3, -38), (18.7, "h"), (44.0, None)):
        page.wait_for_timeout(1000 * seconds)
        if isinstance(what, str):
            page.keyboard.press(what)
        elif what is not None:
            page.locator("#bank").evaluate(
                "(slider, to) => { slider.value = to; slider.dispatchEvent(new Event('input')); }", what
            )


def to_maneuver(page: Page) -> None:
    """Go to the first maneuver."""
    page.locator("article.maneuver").first.evaluate("(article) => article.scrollIntoView()")
    page.wait_for_timeout(300)


CHOSEN: Final = {
    "home": Chosen("home", 800),
    "lesson": Chosen("lesson", 1330, first=to_maneuver),
    "compare": Chosen("compare", 900),
    "plan": Chosen("plan", 1000),
    "student": Chosen("student", 1130),
    "seat": Chosen("seat", 800, wide=1000, of=".view"),
    "try": Chosen("try", 900, wide=1100, first=fly, of=".trying"),
}


def ready(page: Page, address: str) -> None:
    """Open a page and wait until it is drawn."""
    page.goto(address)
    page.wait_for_load_state("networkidle")
    if page.locator(".from-seat").count():
        page.wait_for_selector(".from-seat.in-space canvas")
        page.wait_for_timeout(1500)


def around(page: Page, part: str) -> FloatRect:
    """Return a part of a page with a rim about it."""
    box = page.locator(part).bounding_box()
    if box is None:
        raise SystemExit(f"there is no {part} on {page.url}")
    left, top = max(0.0, box["x"] - RIM), max(0.0, box["y"] - RIM)
    return FloatRect(
        x=left, y=top, width=box["x"] - left + box["width"] + RIM, height=box["y"] - top + box["height"] + RIM
    )


def take(browser: Browser, address: str, name: str, chosen: Chosen) -> Path:
    """Write one picture of the docs."""
    page = browser.new_page(viewport={"width": chosen.wide, "height": chosen.high}, reduced_motion="reduce")
    ready(page, address)
    if chosen.first:
        chosen.first(page)
    taken = page.screenshot(clip=around(page, chosen.of), full_page=True) if chosen.of else page.screenshot()
    blank = browser.new_page()
    wide, high, pixels = blank.evaluate(PIXELS, base64.b64encode(taken).decode())
    blank.close()
    page.close()
    shown = np.frombuffer(base64.b64decode(pixels), np.uint8).reshape(high, wide, 4)[..., :3]
    content = palette.png(shown)
    if len(content) > HEAVIEST:
        raise SystemExit(f"{name}.png would weigh {len(content)} bytes, more than {HEAVIEST}: show less")
    place = PICTURES / f"{name}.png"
    place.write_bytes(content)
    return place


def parts(page: Page, wide: int, high: int) -> list[FloatRect]:
    """Return the parts that a long page is taken in: larger pictures are more than a browser can draw."""
    whole = page.evaluate("document.documentElement.scrollHeight")
    return [FloatRect(x=0, y=top, width=wide, height=min(high, whole - top)) for top in range(0, whole, high)]


def take_all(browser: Browser, address: str, name: str, folder: Path) -> None:
    """Write a page in every size and look, printed, and at 400 %."""
    for size, (wide, high) in SIZES.items():
        for look in LOOKS:
            if look == "dark" and size in ("least", "most"):
                continue
            page = browser.new_page(viewport={"width": wide, "height": high}, color_scheme=look)
            ready(page, address)
            for part, clip in enumerate(parts(page, wide, 2 * high), start=1):
                place = folder / f"{name}-{size}-{look}-{part}.png"
                page.screenshot(path=place, clip=clip, full_page=True)
            if (size, look) == ("laptop", "light"):
                page.pdf(path=folder / f"{name}.pdf", prefer_css_page_size=True)
            page.close()
    wide, high = ZOOMED
    page = browser.new_page(viewport={"width": wide, "height": high}, device_scale_factor=4)
    ready(page, address)
    for part in range(4):
        page.evaluate("(part) => scrollTo(0, part * (document.body.scrollHeight - innerHeight) / 3)", part)
        page.screenshot(path=folder / f"{name}-zoomed-{part + 1}.png")
    page.close()


def main() -> None:
    """Write the pictures asked for, all when none is."""
    reader = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    reader.add_argument("names", nargs="*", metavar="NAME", help="pictures or pages")
    reader.add_argument("--all", type=Path, metavar="FOLDER", help="every page, in every size and look")
    asked = reader.parse_args()
    with tempfile.TemporaryDirectory() as kept, sync_playwright() as playwright:
        found = shutil.which("chromium") or shutil.which("google-chrome")
        browser = playwright.chromium.launch(executable_path=found, args=IN_SPACE)
        with pages_served.lessons(Path(kept)) as (address, paths), pages_served.nothing(Path(kept)) as empty:
            if asked.all is None:
                for name in asked.names or CHOSEN:
                    print(take(browser, address + paths[CHOSEN[name].page], name, CHOSEN[name]))
            else:
                asked.all.mkdir(parents=True, exist_ok=True)
                every = {name: address + path for name, path in paths.items()} | {"home-empty": f"{empty}/"}
                for name in asked.names or every:
                    take_all(browser, every[name], name, asked.all)
                    print(f"{asked.all / name}*")
        browser.close()


if __name__ == "__main__":
    main()
