"""From a file to a debrief on the page, and one moment in all its pictures, in a real browser."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.web.bringing import bring


@pytest.fixture
def lesson(opened, recording: Path):
    """A lesson's page, reached by bringing its recording."""
    page = opened("/")
    bring(page, recording)
    page.wait_for_selector(".replay:not([hidden])")
    return page


def cursor(page, picture: str) -> tuple[str | None, str | None]:
    mark = page.locator(f"#{picture} .cursor")
    return mark.get_attribute("cx"), mark.get_attribute("cy")


def test_a_dropped_file_is_on_the_page(opened, recording: Path):
    page = opened("/")
    data = page.evaluate_handle(
        """(text) => {
             const data = new DataTransfer();
             data.items.add(new File([text], "dropped.gpx"));
             return data;
           }""",
        recording.read_text() + "<!-- dropped -->",
    )
    page.dispatch_event("body", "drop", {"dataTransfer": data})
    page.wait_for_url(re.compile(r"/lessons/\d+"))
    expect(page.locator("#m1-findings")).to_be_visible()


def test_what_is_no_recording_is_said_where_it_was_brought(opened, tmp_path: Path):
    file = tmp_path / "notes.txt"
    file.write_text("buy milk")
    page = opened("/", refused=422)
    page.set_input_files("#recordings", file)
    expect(page.locator(".doing")).to_contain_text("is text without a table of columns", timeout=30_000)


def go(page, seconds: float) -> None:
    page.locator(".replay input").evaluate(
        "(s, to) => { s.value = to; s.dispatchEvent(new Event('input', { bubbles: true })); }", seconds
    )


def test_one_moment_is_marked_in_every_picture(lesson):
    bounds = lesson.locator("article.maneuver").evaluate("(a) => [a.dataset.from, a.dataset.to]")
    seconds = sum(map(float, bounds)) / 2
    go(lesson, seconds)
    before = {name: cursor(lesson, name) for name in ("overview", "m1-circle")}
    line = lesson.locator("#m1-strips .cursor-line").get_attribute("x1")
    go(lesson, seconds + 20)
    for name, place in before.items():
        assert cursor(lesson, name) != place, name
    assert lesson.locator("#m1-strips .cursor-line").get_attribute("x1") != line


def test_keys_on_the_slider_move_by_seconds_and_space_plays(lesson):
    slider, button = lesson.locator(".replay input"), lesson.locator(".replay > button").first
    go(lesson, 300.0)
    slider.focus()
    for key, seconds in (("ArrowRight", 301.0), ("ArrowLeft", 300.0), ("PageUp", 310.0), ("PageDown", 300.0)):
        lesson.keyboard.press(key)
        assert float(slider.input_value()) == pytest.approx(seconds)
    lesson.keyboard.press("Space")
    expect(button).to_have_text("Pause")
    lesson.keyboard.press("Space")
    expect(button).to_have_text("Play")
    assert "space plays" in lesson.locator("#replay-keys").text_content()


def test_p_plays_and_pauses_unless_something_is_typed(lesson):
    button = lesson.locator(".replay > button").first
    for place in ("nav a", ".replay > button", ".replay input[type=range]", "article.maneuver summary"):
        for words in ("Pause", "Play"):
            lesson.locator(place).first.focus()
            lesson.keyboard.press("p")
            expect(button).to_have_text(words)
    field = lesson.locator("#remarks-text")
    was = field.input_value()
    for place in ("#remarks-text", ".replay select", "#corrections-point"):
        lesson.locator(place).focus()
        lesson.keyboard.press("p")
        expect(button).to_have_text("Play")
    assert field.input_value() in (was + "p", "p" + was)


def test_the_words_of_the_bar_and_its_keys_never_lie_on_each_other(lesson):
    lesson.get_by_role("button", name="Show meters and km/h").click()
    for beside in (False, True):
        if beside:
            lesson.locator(".to-seat").click()
            expect(lesson.locator("#beside")).to_be_visible()
        for width in (1281, 1366, 1440, 1920):
            lesson.set_viewport_size({"width": width, "height": 900})
            words, keys = (lesson.locator(f".replay {name}") for name in ("output", ".keys"))
            if keys.bounding_box()["width"] <= 1:
                continue  # said to who listens only
            ends = words.evaluate(
                """(words) => {
                     const written = document.createRange();
                     written.selectNodeContents(words);
                     return written.getBoundingClientRect().right;
                   }"""
            )
            assert ends + 8 <= keys.bounding_box()["x"], (width, beside)


def test_a_maneuver_without_the_moment_marks_none_and_says_so(lesson):
    first, last = map(
        float, lesson.locator("article.maneuver").evaluate("(a) => [a.dataset.from, a.dataset.to]")
    )
    said, mark = lesson.locator(".moment output").first, lesson.locator("#m1-circle .cursor")
    go(lesson, (first + last) / 2)
    expect(mark).to_have_attribute("visibility", "visible")
    for seconds in (first - 20.0, last + 20.0):
        go(lesson, seconds)
        expect(mark).to_have_attribute("visibility", "hidden")
        expect(said).to_contain_text("not in this maneuver")
    go(lesson, (first + last) / 2)
    expect(mark).to_have_attribute("visibility", "visible")
    expect(said).to_contain_text("UTC")


def test_pointing_at_a_picture_moves_the_replay(lesson):
    said = lesson.locator(".replay output").text_content()
    lesson.locator("#m1-strips").scroll_into_view_if_needed()
    box = lesson.locator("#m1-strips").bounding_box()
    lesson.mouse.move(box["x"] + 0.7 * box["width"], box["y"] + 0.3 * box["height"])
    expect(lesson.locator(".replay output")).not_to_have_text(said)


def test_the_address_names_the_moment_and_reload_comes_back_to_it(lesson):
    lesson.locator("h1").click()
    for _ in range(5):
        lesson.keyboard.press(".")
    said = lesson.locator(".replay output").text_content()
    assert "at=" in lesson.url
    lesson.reload()
    lesson.wait_for_selector(".replay:not([hidden])")
    expect(lesson.locator(".replay output")).to_have_text(said)


# Plays for a while, however few frames a busy machine draws; of each: the time of the frame, which is the
# page's clock too, and the moment that is shown. The page asks for its frames first and so has drawn.
PLAYED = """() => new Promise((done) => {
  const play = document.querySelector(".replay button"), at = document.querySelector(".replay input");
  const seen = [];
  const frame = (time) => {
    seen.push([time / 1000, Number(at.value)]);
    if (seen.length > 2 && at.value - seen[0][1] > 16) { play.click(); done(seen); }
    else requestAnimationFrame(frame);
  };
  play.click();
  requestAnimationFrame(frame);
})"""


def test_it_plays_and_stops_at_the_pace_chosen(lesson):
    lesson.select_option(".replay select", "16")
    seen = lesson.evaluate(PLAYED)
    (began, first), *others = seen
    for time, moment in others:
        assert moment - first == pytest.approx(16 * (time - began), abs=0.2)
    rested = lesson.locator(".replay input").input_value()
    lesson.wait_for_timeout(200)
    assert lesson.locator(".replay input").input_value() == rested


def test_the_pace_is_kept_when_the_page_is_loaded_anew(lesson):
    lesson.select_option(".replay select", "16")
    lesson.reload()
    lesson.wait_for_selector(".replay:not([hidden])")
    assert lesson.locator(".replay select").input_value() == "16"
    lesson.select_option(".replay select", "4")
    assert "pace" not in lesson.url


# How far the bar reaches up, and from where to where the pictures reach of the maneuver that is played.
STAND = """() => {
  const of = (e) => { const { top, bottom } = e.getBoundingClientRect(); return [top, bottom]; };
  const pictures = document.querySelectorAll("article.maneuver > .pair:not(.uneven) svg.figure");
  return [of(document.querySelector(".replay")), ...[...pictures].map(of)];
}"""


def test_played_on_a_laptop_the_pictures_stand_whole_above_the_bar(lesson):
    lesson.emulate_media(reduced_motion="reduce")
    for high in (900, 720):
        lesson.set_viewport_size({"width": 1440, "height": high})
        lesson.locator("article.maneuver").evaluate("(article) => article.scrollIntoView()")
        lesson.locator(".replay button").first.click()
        lesson.locator(".replay button").first.click()
        bar, *pictures = lesson.evaluate(STAND)
        assert len(pictures) == 2
        assert bar[1] == pytest.approx(high, abs=1)
        assert all(0 <= top < bottom <= bar[0] for top, bottom in pictures), (high, bar, pictures)


def test_on_a_phone_the_bar_is_low_and_the_seat_stands_in_the_page(lesson):
    lesson.set_viewport_size({"width": 360, "height": 740})
    assert lesson.locator(".replay").bounding_box()["height"] <= 0.15 * 740
    lesson.click(".to-seat")
    lesson.wait_for_selector("#beside .says:not(:empty)")
    assert lesson.locator(".replay").bounding_box()["height"] <= 0.15 * 740
    assert lesson.locator("#beside").evaluate("(e) => getComputedStyle(e).position") == "static"
    assert lesson.locator("article.maneuver > #beside + .pair").count() == 1
    lesson.click("#beside .close")
    assert not lesson.locator("#beside").is_visible()
