"""The page in a real browser: by keyboard and screen reader, on small screens, on paper, offline.

axe-core (Deque) checks the rules of WCAG that a machine can check.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe

from groundref.reports.html import page
from tests.reports import invented, invented_kinds

KINDS = list(invented_kinds.KINDS)


@pytest.fixture
def show(browser, pages, tmp_path):
    contexts = []

    def open_page(case, width=1366, **options):
        file = Path(tmp_path / "page.html")
        file.write_text(pages[case], encoding="utf-8")
        context = browser.new_context(viewport={"width": width, "height": 900}, offline=True, **options)
        contexts.append(context)
        shown = context.new_page()
        shown.trouble = []
        shown.on("console", lambda message: shown.trouble.append(message.text))
        shown.on("pageerror", lambda error: shown.trouble.append(str(error)))
        shown.requested = []
        shown.on("request", lambda request: shown.requested.append(request.url))
        shown.goto(file.as_uri())
        return shown

    yield open_page
    for context in contexts:
        context.close()


@pytest.mark.parametrize(
    ("case", "scheme"),
    [
        ("two laps left", "light"),
        ("two laps left", "dark"),
        ("three maneuvers", "light"),
        ("nothing found", "light"),
        *((kind, "light") for kind in KINDS),
    ],
)
def test_axe_finds_no_fault(show, case, scheme):
    found = Axe().run(show(case, color_scheme=scheme)).response["violations"]
    assert [(rule["id"], [node["html"][:120] for node in rule["nodes"]]) for rule in found] == []


@pytest.mark.parametrize("case", ["two laps left", "nine laps", "drift", *KINDS])
def test_the_page_never_scrolls_sideways(show, case):
    shown = show(case)
    for width in (360, 820, 1366, 2560):
        shown.set_viewport_size({"width": width, "height": 900})
        assert shown.evaluate("document.documentElement.scrollWidth") <= width


def test_only_the_file_itself_is_read_and_nothing_complains(show):
    shown = show("three maneuvers")
    assert len(shown.requested) == 1
    assert shown.trouble == []


def test_letters_in_pictures_stay_readable_at_every_width(show):
    for width in (360, 820, 1366):
        smallest = show("two laps left", width).evaluate(
            """() => Math.min(...[...document.querySelectorAll("svg.figure text")].map((t) =>
                 parseFloat(getComputedStyle(t).fontSize) * t.getScreenCTM().a))"""
        )
        assert smallest >= 9.0  # CSS pixels at 360; 11 and more from a tablet up
        assert width < 800 or smallest >= 11.0


@pytest.mark.parametrize("case", ["two laps left", *KINDS])
def test_labels_of_pictures_stay_on_the_paper(show, case):
    shown = show(case)
    for width in (360, 1366):
        shown.set_viewport_size({"width": width, "height": 900})
        outside = shown.evaluate(
            """() => [...document.querySelectorAll("svg.figure")].flatMap((svg) => {
                 const paper = svg.getBoundingClientRect();
                 return [...svg.querySelectorAll("text")].filter((t) => {
                   const box = t.getBoundingClientRect();
                   return box.left < paper.left - 1 || box.right > paper.right + 1
                     || box.top < paper.top - 1 || box.bottom > paper.bottom + 1;
                 }).map((t) => `${svg.id}: ${t.textContent}`);
               })"""
        )
        assert outside == []


def test_the_keyboard_chooses_a_lap(show):
    shown = show("two laps left")
    shown.locator("input[name='m1-lap'][value='1']").focus()
    shown.keyboard.press("Space")
    faded = shown.evaluate(
        """() => [1, 2].map((n) => document.querySelector(`#m1-bank [data-lap="${n}"]`))
             .map((line) => getComputedStyle(line).opacity)"""
    )
    assert (float(faded[0]), float(faded[1])) == (1.0, 0.1)
    shown.locator("input[name='m1-lap'][value='2']").check()
    assert (
        shown.evaluate(
            """() => getComputedStyle(document.querySelector('#m1-bank [data-lap="2"]')).opacity"""
        )
        == "1"
    )


def test_the_keyboard_goes_along_the_flight(show):
    shown = show("two laps left")
    slider = shown.locator("#m1-moment")
    slider.focus()
    for _ in range(30):
        shown.keyboard.press("ArrowRight")
    assert "14:04:37 UTC · lap 1 · bank" in shown.locator(".moment output").first.text_content()
    assert shown.locator("#m1-circle .cursor").get_attribute("visibility") == "visible"


def test_everything_stands_without_scripts(show):
    shown = show("two laps left", java_script_enabled=False)
    assert shown.locator("svg.figure").count() == 4
    assert not shown.locator(".moment").first.is_visible()
    assert shown.locator(".findings li").count() == 3


def sheets(document):
    return document.count(b"/Type /Page\n") + document.count(b"/Type /Page/")


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("case", ["two laps left", "drift", "four laps", "no wind"])
def test_one_maneuver_prints_on_two_sheets(show, case, paper):
    assert sheets(show(case).pdf(format=paper)) == 2


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_several_maneuvers_print_on_two_sheets_each_and_the_flight_on_one_more(show, paper):
    assert sheets(show("three maneuvers").pdf(format=paper)) == 7


def test_a_list_of_maneuvers_has_no_sheet_of_its_own(browser):
    shown = browser.new_page()
    shown.set_content(page(invented.debrief(count=5)))
    assert sheets(shown.pdf(format="A4")) == 11
    shown.close()


def test_paper_has_only_the_winds_about_the_maneuvers(browser, debriefs):
    debrief = debriefs["three maneuvers"]
    last = max(one.maneuver.end for one in debrief.maneuvers)
    spans = [(last + 300.0 * n, last + 300.0 * n + 299.0) for n in range(9)]
    winds = tuple(replace(debrief.winds[0], start=start, end=end) for start, end in spans)
    shown = browser.new_page()
    shown.set_content(page(replace(debrief, winds=winds)))
    rows = shown.locator(".winds dl > div").all()
    assert [row.is_visible() for row in rows] == [True] * 9
    shown.emulate_media(media="print")
    assert [row.is_visible() for row in rows] == [True] + [False] * 8
    assert shown.locator(".on-paper").is_visible()
    shown.close()


PRINTABLE = {"A4": 703, "Letter": 725}  # CSS pixels between the margins


@pytest.mark.parametrize("paper", PRINTABLE)
@pytest.mark.parametrize("case", KINDS)
def test_every_kind_prints_on_three_sheets_with_nothing_cut_off_or_overlapping(show, case, paper):
    shown = show(case, PRINTABLE[paper])
    assert sheets(shown.pdf(format=paper)) <= 3
    shown.emulate_media(media="print")
    beyond, over = shown.evaluate(
        """(wide) => {
             const boxes = [...document.querySelectorAll("main table")].map((e) => e.getBoundingClientRect());
             const beyond = boxes.filter((b) => b.right > wide + 1).length;
             const over = boxes.flatMap((a, i) => boxes.slice(i + 1).filter((b) =>
               Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1
               && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 1)).length;
             return [beyond, over];
           }""",
        PRINTABLE[paper],
    )
    assert (beyond, over) == (0, 0)


def test_one_slider_moves_the_mark_in_every_picture(show):
    shown = show("eights-on-pylons")
    slider = shown.locator("#m1-moment")
    slider.focus()
    for _ in range(30):
        shown.keyboard.press("ArrowRight")
    assert shown.locator("#m1-above .cursor").get_attribute("visibility") == "visible"
    lines = [shown.locator(f"#m1-{name} .cursor-line") for name in ("pivotal", "strips")]
    assert {line.get_attribute("visibility") for line in lines} == {"visible"}
    assert len({line.get_attribute("x1") for line in lines}) == 1


def test_print_is_never_smaller_than_eight_points(show):
    shown = show("four laps", 703)  # CSS pixels between the margins of A4
    shown.emulate_media(media="print")
    smallest = shown.evaluate(
        """() => Math.min(...[...document.querySelectorAll("main *, footer *")]
             .filter((e) => e.checkVisibility() && !e.closest(".unseen")
               && [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim()))
             .filter((e) => !e.closest("svg") || e.matches("svg.figure text:not(.badge-number)"))
             .map((e) => parseFloat(getComputedStyle(e).fontSize)
               * (e.closest("svg") ? e.getScreenCTM().a : 1)))"""
    )
    assert smallest * 72 / 96 >= 7.95


@pytest.mark.parametrize("width", [820, 1366])
def test_tables_fit_a_tablet_without_scrolling(show, width):
    for case in ("two laps left", "four laps", *KINDS):
        hidden = show(case, width).evaluate(
            """() => [...document.querySelectorAll(".scroll")].map((e) => e.scrollWidth - e.clientWidth)"""
        )
        assert max(hidden) <= 0


def test_a_table_wider_than_the_screen_shows_that_it_goes_on(show):
    shown = show("four laps", 390)
    table = shown.locator(".laps .scroll").first
    assert table.evaluate("e => e.scrollWidth > e.clientWidth")
    # Two shadows that stay at the edges, under two papers that scroll with the table and hide them.
    assert table.evaluate("e => getComputedStyle(e).backgroundAttachment") == "local, local, scroll, scroll"


def test_the_moment_speaks_before_anyone_moves_it(show):
    shown = show("two laps left")
    assert "14:04:07 UTC · lap 1 · bank" in shown.locator(".moment output").first.text_content()
    assert shown.locator("#m1-circle .cursor").get_attribute("visibility") == "hidden"


def test_both_units_of_limits_and_of_what_was_flown_are_printed(show):
    shown = show("two laps left")
    shown.emulate_media(media="print")
    both = shown.locator(".elements .metric")
    assert both.count() > 1
    assert all(both.nth(n).is_visible() for n in range(both.count()))
