"""A lesson open in two tabs and by two users, in real browsers: nothing typed is lost."""

from __future__ import annotations

import itertools
from collections.abc import Callable

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from tests.record.invented import flown

numbers = itertools.count(1)
# What is typed into each form, and how it is sent.
FORMS: dict[str, tuple[str, str, str]] = {
    "remarks": ("#remarks-text", "Mine: look at the road first.", "#remarks form > button"),
    "who": ("#who input[name=student]", "Per Lund", "#who button"),
    "verdicts": ("#verdicts textarea[name=reason-1]", "mine, from the seat", "#verdicts form > button"),
    "corrections": ("#corrections input[name=wind]", "230/17", "#corrections form > button"),
}
THEIRS = {
    "remarks": "Theirs.",
    "who": "Ana Feld",
    "verdicts": "theirs",
    "corrections": "250/12",
}


@pytest.fixture
def lesson(opened: Callable[..., Page], address: str) -> Callable[..., Page]:
    """A lesson of its own; each call opens it as another user, or in another tab of a given page."""
    page = opened("/")
    content = flown().parts[0][1] + f"<!-- {next(numbers)} -->".encode()
    brought = page.request.post(
        f"{address}/lessons",
        multipart={"recordings": {"name": "a.gpx", "mimeType": "text/xml", "buffer": content}},
        headers={"accept": "application/json"},
    )
    path = brought.json()["page"]
    page.goto(address + path)
    page.fill("#who input[name=student]", "Jo Brandt")
    page.fill("#who input[name=instructor]", "Ines Okafor")
    page.click("#who button")
    expect(page.locator("#said")).to_contain_text("Kept: student Jo Brandt")

    def open_it(beside: Page | None = None, **options: object) -> Page:
        if beside is None:
            return opened(path, refused=409, **options)
        tab = beside.context.new_page()
        tab.goto(address + path)
        return tab

    return open_it


def fill(page: Page, part: str, text: str) -> None:
    field = page.locator(FORMS[part][0])
    if part == "verdicts":
        page.locator("#verdicts select[name=verdict-1]").select_option("not-met")
    field.fill(text)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("part", FORMS)
def test_two_users_at_one_form(lesson, part: str, scheme: str) -> None:
    one, other = lesson(color_scheme=scheme), lesson()
    field, mine, button = FORMS[part]
    fill(one, part, mine)
    fill(other, part, THEIRS[part])
    other.click(button)
    expect(other.locator("#said")).to_be_visible()
    one.click(button)
    expect(one.locator("h1")).to_have_text("Changed meanwhile")
    expect(one.locator("[role=alert]")).to_contain_text("Since your page was opened")
    expect(one.locator("#typed [data-now]").last).to_have_value(mine)
    found = Axe().run(one)
    assert found.violations_count == 0, found.generate_report()
    assert one.evaluate("() => document.documentElement.scrollWidth") <= 1366
    # It may be left for the lesson's page, and is there still; then it is kept upon what the other wrote.
    one.goto(one.url.partition("/lessons")[0] + one.locator(".ways-out a").first.get_attribute("href"))
    expect(one.locator(field)).to_have_value(mine)
    expect(one.locator(field).locator("xpath=ancestor::form").locator(".unkept")).to_have_text(
        "Not kept yet."
    )
    one.click(button)
    expect(one.locator("#said")).to_be_visible()
    expect(one.locator("#said")).to_be_focused()
    one.reload()
    expect(one.locator("#said")).to_have_count(0)
    expect(one.locator(field)).to_have_value(mine)
    expect(one.locator("form .unkept", has_text="Not kept yet.")).to_have_count(0)


def test_nobody_signs_what_was_worked_out_anew_since(lesson) -> None:
    one, other = lesson(), lesson()
    fill(other, "corrections", "250/12")
    other.click(FORMS["corrections"][2])
    expect(other.locator("#said")).to_contain_text("Kept: the wind. The debrief was worked out anew.")
    one.click("#signature button")
    expect(one.locator("[role=alert]")).to_contain_text("the debrief was worked out anew on")
    one.click("text=Sign it as it is now")
    expect(one.locator("#said")).to_have_text("Signed by Ines Okafor.")


def test_words_typed_before_the_signature_are_carried_on_after_it(lesson) -> None:
    one, other = lesson(), lesson()
    fill(one, "remarks", "Late words.")
    other.click("#signature button")
    expect(other.locator("#said")).to_have_text("Signed by Ines Okafor.")
    one.reload()  # before they are sent
    expect(one.locator("#unkept")).to_contain_text("Late words.")
    expect(other.locator("#unkept")).to_be_hidden()  # another user's browser knows nothing of it
    one.click("#signature button")
    expect(one.locator("#remarks-text")).to_have_value("Late words.")

    other.goto(other.url.partition("#")[0])
    fill(other, "remarks", "Later words.")
    one.click("#remarks form > button")
    expect(one.locator("#said")).to_have_text("The remarks are kept.")
    one.click("#signature button")
    expect(one.locator("#said")).to_have_text("Signed by Ines Okafor.")
    other.click("#remarks form > button")
    expect(other.locator("h1")).to_have_text("Changed meanwhile")
    expect(other.locator("#remarks-text")).to_have_value("Later words.")
    other.reload()
    expect(other.locator("#remarks-text")).to_have_value("Later words.")
    other.click("#typed form > button")
    expect(other.locator("h1")).to_have_text("Open again")
    other.click("#typed form > button")
    expect(other.locator("#said")).to_have_text("The remarks are kept.")
    expect(other.locator("#remarks-text")).to_have_value("Later words.")


def test_late_words_stand_beside_those_that_were_kept_before_the_signature(lesson) -> None:
    one = lesson()
    fill(one, "remarks", "Good lookout.\nKept.")
    one.click("#remarks form > button")
    expect(one.locator("#said")).to_have_text("The remarks are kept.")
    late = lesson(beside=one)
    one.click("#signature button")
    expect(one.locator("#said")).to_have_text("Signed by Ines Okafor.")
    fill(late, "remarks", "Late words.")
    late.click("#remarks form > button")
    expect(late.locator("h1")).to_have_text("Changed meanwhile")
    expect(late.locator("#typed .now")).to_have_text("now: Good lookout.\nKept.")
    one.reload()
    expect(one.locator("#unkept")).to_contain_text("Late words.")
    one.click("#signature button")
    expect(one.locator("#remarks-text")).to_have_value("Late words.")
    expect(one.locator("#remarks .now")).to_have_text("now: Good lookout.\nKept.")
    expect(one.locator("#remarks .now")).to_be_visible()
    found = Axe().run(one)
    assert found.violations_count == 0, found.generate_report()
    fill(one, "remarks", "Good lookout.\nKept.")
    expect(one.locator("#remarks .now")).to_be_hidden()


def test_two_tabs_of_one_browser_keep_the_words_of_both(lesson) -> None:
    one = lesson()
    other = lesson(beside=one)
    fill(one, "remarks", "Of the one.")
    fill(other, "remarks", "Of the other.")
    one.click("#remarks form > button")
    expect(one.locator("#said")).to_have_text("The remarks are kept.")
    other.reload()
    expect(other.locator("#remarks-text")).to_have_value("Of the one.")
    expect(other.locator("#remarks .offered")).to_contain_text("Of the other.")
    other.click("text=Put it in its field")
    expect(other.locator("#remarks .now")).to_have_text("now: Of the one.")
    other.click("#remarks form > button")
    expect(other.locator("#remarks-text")).to_have_value("Of the other.")
    expect(other.locator("#remarks .offered")).to_have_count(0)


def test_who_signs_is_told_of_what_is_only_typed_and_nothing_of_it_is_left(lesson) -> None:
    page = lesson()
    fill(page, "remarks", "Not kept.")
    page.click("#signature button")
    expect(page.locator("#signature .unkept")).to_contain_text("Typed and not kept: Remarks.")
    page.click("#signature button")
    expect(page.locator("#said")).to_have_text("Signed by Ines Okafor.")
    assert page.evaluate("() => Object.keys(localStorage).filter((name) => name.startsWith('draft '))") == []


def test_every_field_outlives_a_reload_and_shows_in_no_other_lesson(lesson, opened, address: str) -> None:
    page = lesson()
    for one in page.locator("main details:has(form), main form details").all():
        one.evaluate("(one) => { one.open = true }")
    fields = page.locator("form[data-draft] :is(input:not([type=hidden]), textarea)")
    names = fields.evaluate_all("(all) => all.map((one) => [one.form.dataset.draft, one.name])")
    assert len(names) > 20
    for place in range(len(names)):
        fields.nth(place).fill(f"typed {place}")
    page.reload()
    there = page.locator("form[data-draft] :is(input:not([type=hidden]), textarea)")
    assert there.evaluate_all("(all) => all.map((one) => one.value)") == [
        f"typed {place}" for place in range(len(names))
    ]
    content = flown().parts[0][1] + b"<!-- of another lesson -->"
    brought = page.request.post(
        f"{address}/lessons",
        multipart={"recordings": {"name": "b.gpx", "mimeType": "text/xml", "buffer": content}},
        headers={"accept": "application/json"},
    )
    page.goto(address + brought.json()["page"])
    expect(page.locator("form[data-draft]").first).to_be_visible()
    assert (
        page.locator(":is(input, textarea)").evaluate_all(
            "(all) => all.filter((one) => one.value.startsWith('typed ')).length"
        )
        == 0
    )


def test_without_scripts_what_was_kept_is_said_and_what_was_typed_stays(lesson) -> None:
    one, other = lesson(java_script_enabled=False), lesson()
    one.fill("#remarks-text", "By hand.")
    one.click("#remarks form > button")
    expect(one.locator("#said")).to_have_text("The remarks are kept.")
    expect(one.locator("#said")).to_be_in_viewport()
    one.reload()
    expect(one.locator("#said")).to_have_count(0)
    other.reload()
    other.fill("#remarks-text", "Theirs.")
    other.click("#remarks form > button")
    expect(other.locator("#said")).to_be_visible()
    one.fill("#remarks-text", "By hand, too.")
    one.click("#remarks form > button")
    expect(one.locator("#remarks-text")).to_have_value("By hand, too.")
    one.click("text=Keep these in their place")
    expect(one.locator("#said")).to_have_text("The remarks are kept.")
