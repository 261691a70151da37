"""Waiting for a page, whose policy forbids the strings that a browser driver would have it evaluate."""

from __future__ import annotations

from time import monotonic

from playwright.sync_api import Page


def until(page: Page, expression: str, within: float = 60.0) -> None:
    """Wait until an expression holds in a page [s]."""
    end = monotonic() + within
    while not page.evaluate(expression):
        assert monotonic() < end, f"it never came to {expression}"
        page.wait_for_timeout(50)
