"""What is typed below a plan outlives a reload, as what is typed above it does."""

from __future__ import annotations

import re
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


def test_a_server_that_is_silent_is_said_over_the_plan_and_asked_again(opened: Callable[..., Page]) -> None:
    page = opened("/plan?wind=240/14", silent=True)
    says = page.locator(".no-answer")
    expect(says).to_be_hidden()
    page.context.set_offline(True)
    page.fill("#wind", "240/15")
    expect(says).to_contain_text("The server does not answer; is it still running?")
    expect(says).to_be_in_viewport()
    assert (says.bounding_box() or {})["height"] > 20
    assert page.locator(".result").evaluate("part => part.classList.contains('stale')")
    expect(page.locator(".at-once")).to_have_text("The server does not answer; is it still running?")
    assert "wind=240%2F15" in page.url
    page.context.set_offline(False)
    # Nothing is pressed or typed: it is asked again by itself.
    expect(says).to_be_hidden(timeout=20_000)
    assert not page.locator(".result").evaluate("part => part.classList.contains('stale')")
    expect(page.locator("#wind")).to_have_value("240/15")
    expect(page.locator(".at-once")).not_to_contain_text("does not answer")


def test_a_lesson_that_is_none_is_refused_beside_its_field(opened: Callable[..., Page]) -> None:
    page = opened("/plan?wind=240/14")
    page.locator("details:has(#after)").evaluate("fold => { fold.open = true; }")
    page.fill("#after", "999")
    expect(page.locator("#after-wrong")).to_contain_text("no lesson 999")
    expect(page).to_have_title(re.compile("Plan a maneuver"))
    expect(page.locator("#wind")).to_have_value("240/14")
    page.fill("#after", "")
    expect(page.locator("#after-wrong")).to_be_hidden()
    assert not page.locator(".result").evaluate("part => part.classList.contains('stale')")


def test_what_is_typed_and_cannot_be_planned_outlives_a_reload(opened: Callable[..., Page]) -> None:
    page = opened("/plan?wind=240/14")
    page.evaluate(
        "() => { window.fetch = () => new Promise(() => {}); }"
    )  # a server that has not answered yet
    page.fill("#radius_ft", "20000")
    page.reload()
    expect(page.locator("#radius_ft")).to_have_value("20000")


def test_it_is_forgotten_once_it_is_planned_and_with_start_anew(opened: Callable[..., Page]) -> None:
    page = opened("/plan?wind=240/14")
    page.fill("#metar", "METAR KXYZ 1217")
    expect(page.locator("#metar-wrong")).not_to_be_empty()
    assert page.evaluate("sessionStorage.getItem('plan typed')")
    page.reload()
    expect(page.locator("#metar")).to_have_value("METAR KXYZ 1217")
    page.fill("#metar", "")
    expect(page.locator("#metar-wrong")).to_be_empty()
    for _ in range(100):  # the plan comes after the field is found right
        if page.evaluate("sessionStorage.getItem('plan typed')") is None:
            break
        page.wait_for_timeout(100)
    assert page.evaluate("sessionStorage.getItem('plan typed')") is None
    page.fill("#radius_ft", "20000")
    page.locator(".at-once.wrong-so").wait_for()
    page.get_by_role("link", name="Start anew").click()
    expect(page.locator("#radius_ft")).to_have_value("")
