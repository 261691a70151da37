"""The picture of a map beneath, of an invented country: python bench/pictures_map.py, into docs/pictures."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path
from typing import Final

from bench.pages_served import served
from bench.pictures_page import IN_SPACE, Chosen, take
from playwright.sync_api import Page, sync_playwright
from tests.web.maps.invented import country

from groundref.cli import demo_record
from groundref.web.maps.source import source_of

MIDDLE: Final = 40.1, -90.2  # about which the invented lessons are flown


def switch_on(page: Page) -> None:
    """Have the map beneath, and wait until it is there."""
    page.get_by_label("Map beneath").first.check()
    page.locator("#m1 figure .beneath").first.wait_for()


def main() -> None:
    """Write the picture."""
    with tempfile.TemporaryDirectory() as kept, sync_playwright() as playwright:
        folder = Path(kept)
        source = source_of(str(country(folder / "map.pmtiles", MIDDLE, range(11, 15))))
        record, _ = demo_record.filled(folder)
        browser = playwright.chromium.launch(
            executable_path=shutil.which("chromium") or shutil.which("google-chrome"), args=IN_SPACE
        )
        with served(record, source=source) as address:
            # So high that nothing that stays in sight lies over the picture.
            chosen = Chosen("lesson", 3000, wide=820, first=switch_on, of="#m1 figure >> nth=0")
            print(take(browser, f"{address}/lessons/1", "map", chosen))
        browser.close()


if __name__ == "__main__":
    main()
