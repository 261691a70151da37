"""What is typed below a plan outlives a reload, as what is typed above it does."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import Page, expect


def test_names_and_the_lesson_stand_in_the_address(opened: Callable[..., Page]) -> None:
    page = opened("/plan?wind=240/14")
    for field, text in (("student", "Ana Feld"), ("instructor", "Ines Okafor"), ("lesson", "7")):
        page.fill(f"#{field}", text)
    page.fill("#wind", "250/12")
    page.wait_for_url("**wind=250**student=Ana**")
    page.reload()
    for field, text in (("student", "Ana Feld"), ("instructor", "Ines Okafor"), ("lesson", "7")):
        expect(page.locator(f"#{field}")).to_have_value(text)
