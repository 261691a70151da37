"""Flying on the ground in a real browser: by keys, slider and touch, to the debrief and into the record."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests.web.waiting import until

USUAL = "/try?from_deg=240&wind_kt=15&tas_kt=90&radius=1200"


def ready(page: Page) -> Page:
    until(page, "document.querySelector('[data-is=speed]').textContent === '105 kt'")
    return page


def test_keys_fly_and_the_picture_follows(opened):
    page = ready(opened(USUAL))
    assert page.locator(".way").evaluate("(way) => way.points.numberOfItems") == 1
    page.keyboard.press("Space")
    until(page, "document.querySelector('.way').points.numberOfItems > 12")
    page.keyboard.press("Shift+ArrowLeft")
    page.keyboard.press("ArrowLeft")
    assert page.locator("output[for=bank]").text_content() == "6° left"
    assert page.locator("#bank").get_attribute("aria-valuetext") == "6° left"
    # All of the roll is over, not only what rounds to it: the bank is held as it is.
    until(page, "document.querySelector('.banks .held').getAttribute('d') === 'M0 0H-6'")
    assert page.locator("[data-is=bank]").text_content() == "6° left"
    page.keyboard.press("h")
    until(page, "document.querySelector('.finding').textContent.startsWith('Holding 6° left')")
    assert page.get_by_role("button", name="Hold the bank constant").get_attribute("aria-pressed") == "true"
    assert page.locator(".next").is_visible()
    page.keyboard.press("ArrowDown")
    assert page.get_by_role("button", name="Hold the bank constant").get_attribute("aria-pressed") == "false"


def test_it_waits_while_nobody_looks(opened):
    page = ready(opened(USUAL))
    page.get_by_role("button", name="Fly").click()
    until(page, "document.querySelector('[data-is=time]').textContent > '0:00'")
    page.evaluate(
        """() => { Object.defineProperty(document, "hidden", { value: true });
                   document.dispatchEvent(new Event("visibilitychange")); }"""
    )
    page.wait_for_timeout(300)
    before = page.locator(".plane").get_attribute("transform")
    page.wait_for_timeout(700)
    assert page.locator(".plane").get_attribute("transform") == before
    assert page.get_by_role("button", name="Fly").is_visible()


def test_help_can_be_put_away(opened):
    page = ready(opened(USUAL))
    assert page.locator("[data-is=needed]").is_visible()
    page.get_by_label("show what is needed").uncheck()
    assert not page.locator("[data-is=needed]").is_visible()


def test_from_the_first_roll_to_a_lesson_in_the_record(opened):
    page = ready(opened(USUAL, has_touch=True))
    page.get_by_role("button", name="Fly").tap()
    until(page, "document.querySelector('[data-is=time]').textContent === '0:08'")
    page.locator("#bank").evaluate(
        "(slider) => { slider.value = -38; slider.dispatchEvent(new Event('input')); }"
    )
    until(page, "document.querySelector('[data-is=time]').textContent >= '0:13'")
    assert page.locator("[data-is=bank]").text_content() == "38° left"
    page.get_by_role("button", name="End and debrief").tap()
    page.wait_for_url("**/tried/*", timeout=60_000)
    assert page.get_by_role("heading", name="Your try, debriefed like a flight").is_visible()
    page.get_by_role("button", name="Keep as a lesson").tap()
    page.wait_for_url("**/lessons/*", timeout=60_000)
    assert "flown-on-the-ground.csv" in page.locator(".file").text_content()


def test_ended_before_anything_was_flown_it_says_what_is_needed(opened):
    page = ready(opened(USUAL))
    page.get_by_role("button", name="End and debrief").click()
    until(page, "document.getElementById('above-says').textContent.includes('Start anew')")
    said = "There is nothing to debrief yet: fly for 10 s and more. To fly again, press Start anew."
    assert page.locator("#above-says").text_content() == said


def test_without_scripts_the_table_stands(opened):
    page = opened(USUAL, java_script_enabled=False)
    assert not page.locator(".trying").is_visible()
    assert page.get_by_text("Flying needs JavaScript").is_visible()
    assert "39° left" in page.locator("tbody tr").first.text_content()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_no_fault(opened, scheme):
    found = Axe().run(ready(opened(USUAL, color_scheme=scheme))).response["violations"]
    assert [(rule["id"], [node["html"][:120] for node in rule["nodes"]]) for rule in found] == []


def test_all_that_is_needed_in_flight_stands_on_the_first_screen_of_a_laptop(opened):
    page = ready(opened(USUAL))
    for wide, high in ((1440, 900), (1366, 768)):
        page.set_viewport_size({"width": wide, "height": high})
        for needed in ('[data-does="end"]', '[data-does="go"]', "#bank", ".above"):
            box = page.locator(needed).bounding_box()
            assert box["y"] + box["height"] <= high, needed


@pytest.mark.parametrize(("wide", "high"), [(360, 740), (390, 844), (820, 1180), (740, 360), (844, 390)])
def test_flying_brings_the_picture_and_the_hands_on_one_screen(opened, wide, high):
    page = ready(opened(USUAL))
    page.set_viewport_size({"width": wide, "height": high})
    page.get_by_role("button", name="Fly", exact=True).click()
    until(page, "document.querySelector('.above').getBoundingClientRect().top < innerHeight / 10")
    for needed in (
        ".above",
        "[data-is=needed]",
        "#bank",
        "[data-does=left]",
        "[data-does=right]",
        "[data-does=go]",
    ):
        box = page.locator(needed).bounding_box()
        assert 0 <= box["y"] <= high - box["height"], needed
    assert page.locator(".above").bounding_box()["height"] >= 0.4 * min(wide, high)


def test_it_fits_every_width_and_every_finger(opened):
    page = ready(opened(USUAL))
    for width in (360, 820, 1366, 2560):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        for control in page.locator("main :is(button, select, input, .tick):visible").all():
            box = control.bounding_box()
            assert box["height"] >= 43.9 or control.get_attribute("type") == "checkbox", width
