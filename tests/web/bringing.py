"""A recording brought in a browser, whether the record has it already or not."""

from __future__ import annotations

import re
from pathlib import Path

from playwright.sync_api import Page, expect


def bring(page: Page, recording: Path) -> None:
    """Bring a recording on the first page and go on to its lesson, which an earlier test may have made."""
    page.set_input_files("#recordings", recording)
    expect(page.locator(".goes-on a, article.maneuver").first).to_be_visible(timeout=60_000)
    if page.locator(".goes-on a").count():
        page.click(".goes-on a")
    page.wait_for_url(re.compile(r"/lessons/\d+"))
