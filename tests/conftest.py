"""What all tests share: drawn examples are the same on every run, a busy machine fails none, one browser.

Playwright runs once in a process, so that all tests of a process share its browser, each with a context of
its own.
"""

from __future__ import annotations

import os
import shutil
import signal
from collections.abc import Iterator

import pytest
from hypothesis import settings
from playwright.sync_api import Browser, sync_playwright

from tests.once import SHARED

settings.register_profile("steady", deadline=None, derandomize=True)
settings.load_profile("steady")

# Tests that are started in the background may have the interrupt ignored, and so would all that they start.
signal.signal(signal.SIGINT, signal.default_int_handler)

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
# Three dimensions without a graphics card, by Chromium's own software renderer; the rest without.
IN_SPACE = ["--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--disable-gpu-compositing"]
QUIET = ["--disable-background-networking", "--disable-component-update", "--disable-sync", "--no-first-run"]
# The address bar, which nobody sees, would be a page of its own for each context, and most of what one costs.
# The other names are Playwright's, whose own list this one takes the place of.
WITHOUT = (
    "WebUIOmniboxPopup,WebUIOmniboxAimPopup,AvoidUnnecessaryBeforeUnloadCheckSync,DestroyProfileOnBrowserClose,"
    "HttpsUpgrades,LensOverlay,MediaRouter,OptimizationHints,PaintHolding,ThirdPartyStoragePartitioning"
)


@pytest.fixture(scope="session", autouse=True)
def shared(tmp_path_factory: pytest.TempPathFactory) -> None:
    """Where the processes of this run, and those that they start, keep what they make for each other."""
    own = tmp_path_factory.getbasetemp()
    os.environ[SHARED] = str(own.parent if "PYTEST_XDIST_WORKER" in os.environ else own)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Chromium, started by the first test that asks for it."""
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(
            executable_path=CHROMIUM,
            args=[*QUIET, *IN_SPACE, f"--disable-features={WITHOUT}", "--no-sandbox"],
        )
        yield opened
        opened.close()
