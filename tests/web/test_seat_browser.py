"""The picture from the seat in a real browser: it is drawn, and shows the point where the mechanics say."""

from __future__ import annotations

import urllib.request
from math import cos, radians, tan

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

import groundref
from groundref.simulation.write import to_bytes
from groundref.units import knot
from tests.web.waiting import until

SHOWN = ".from-seat.in-space .view canvas"
AT = "850"


@pytest.fixture(scope="module")
def lesson(address: str) -> str:
    """Bring a recording; return the path of its picture from the seat."""
    recording, _ = groundref.simulate("turns-around-a-point", wind_speed=15 * knot, recorder="avionics")
    content = to_bytes(recording, "flight.csv")
    head = b'--x\r\nContent-Disposition: form-data; name="recordings"; filename="flight.csv"\r\n\r\n'
    request = urllib.request.Request(
        f"{address}/lessons",
        head + content + b"\r\n--x--\r\n",
        {"content-type": "multipart/form-data; boundary=x", "accept": "application/json"},
    )
    with urllib.request.urlopen(request, timeout=60) as answer:
        assert answer.status == 201
    return "/lessons/1/seat"


def seated(page: Page) -> Page:
    page.wait_for_selector(SHOWN, timeout=60_000)
    until(page, "globalThis.groundrefSeat && groundrefSeat.frames > 0")
    return page


def test_the_point_is_drawn_where_the_mechanics_say(opened, lesson):
    page = seated(opened(f"{lesson}?at={AT}"))
    flight = page.evaluate("fetch('/api/lessons/1/replay').then((answer) => answer.json())")
    columns = flight["seat"]["columns"]
    rows = [n for n, about in enumerate(columns["about"]) if about is not None][20:-20:25]
    assert len(rows) >= 5
    for row in rows:
        page.evaluate("(at) => groundrefSeat.show(at)", flight["seconds"][row])
        marker = page.evaluate("groundrefSeat.marker()")
        ahead, above = (radians(columns[name][row]) for name in ("ahead_of_wing_deg", "above_wing_deg"))
        # Looking along the wing line: x = f tan(ahead), toward the nose; y = f tan(above)/cos(ahead).
        focal = 0.5 * marker["height"] / tan(radians(marker["view_deg"]) / 2)
        x = 0.5 * marker["width"] - marker["side"] * focal * tan(ahead)
        y = 0.5 * marker["height"] - focal * tan(above) / cos(ahead)
        one_pixel_and_rounding = 1.0 + focal * radians(0.15)  # the columns are rounded to a tenth of a degree
        assert marker["at"]["x"] == pytest.approx(x, abs=one_pixel_and_rounding)
        assert marker["at"]["y"] == pytest.approx(y, abs=one_pixel_and_rounding)


def test_what_is_drawn_there_is_the_point(opened, lesson):
    """The color of its cross stands where the marker is, the sky above the horizon, the ground below."""
    page = seated(opened(f"{lesson}?at={AT}"))
    colors = page.evaluate(
        """() => {
          const view = groundrefSeat, { at, width, height } = view.marker();
          view.drawNow();
          const wide = view.canvas.width, tall = view.canvas.height;
          const ink = new OffscreenCanvas(wide, tall).getContext("2d", { willReadFrequently: true });
          ink.drawImage(view.canvas, 0, 0);
          const all = ink.getImageData(0, 0, wide, tall).data, seen = new Set();
          const color = (x, y) => {
            const n = 4 * (Math.round((y * tall) / height) * wide + Math.round((x * wide) / width));
            return [all[n], all[n + 1], all[n + 2]];
          };
          for (let n = 0; n < all.length; n += 4) seen.add(all.slice(n, n + 3).join());
          return { point: color(at.x, at.y), corner: color(width - 2, height - 2), colors: seen.size };
        }"""
    )
    assert colors["point"] == pytest.approx([0x7A, 0x2F, 0x63], abs=12)
    assert colors["corner"][1] > colors["corner"][2]  # ground, greener than blue
    assert colors["colors"] > 8


def test_keys_move_time_and_the_head_and_the_address_follows(opened, lesson):
    page = seated(opened(f"{lesson}?at={AT}"))
    before = page.evaluate("groundrefSeat.marker().at.x")
    page.keyboard.press("d")
    assert page.evaluate("groundrefSeat.marker().at.x") < before  # the head turns right, the point goes left
    page.keyboard.press("Home")
    assert page.evaluate("groundrefSeat.marker().at.x") == pytest.approx(before, abs=0.01)
    page.keyboard.press("Shift+ArrowRight")
    page.keyboard.press("ArrowRight")
    until(page, "location.search === '?at=861.0'")
    assert page.locator("#at").input_value() == "861"
    said = page.locator(".from-seat > .says")
    after = said.text_content()  # said before the address followed
    page.reload()
    assert said.text_content() == after  # the server's sentence is the page's


def test_the_pace_is_there_when_the_page_is_though_the_flight_is_on_its_way(opened, lesson):
    page = seated(opened(f"{lesson}?at={AT}"))
    pace = page.get_by_label("Pace")
    pace.select_option("4")
    assert "pace=4" in page.url
    asked = []
    page.route("**/replay", lambda route: asked.append(route))
    page.reload()
    assert pace.input_value() == "4"
    for route in asked:
        route.continue_()
    seated(page)
    assert pace.input_value() == "4"


def test_without_three_dimensions_the_side_view_moves(opened, lesson):
    page = seated(opened(f"{lesson}?at={AT}", reduced_motion="reduce"))
    page.add_init_script("HTMLCanvasElement.prototype.getContext = () => null")
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    page.reload()
    page.wait_for_selector(".from-seat.live .flat", state="visible")
    assert not any("three" in url for url in asked)
    assert not page.locator(".view").is_visible()
    dot = page.locator("#side-view .cursor")
    before = dot.get_attribute("cx"), dot.get_attribute("cy")
    page.keyboard.press("Shift+ArrowRight")
    assert (dot.get_attribute("cx"), dot.get_attribute("cy")) != before


def test_without_scripts_there_is_the_sentence_the_drawing_and_a_form(opened, lesson):
    page = opened(f"{lesson}?at={AT}", java_script_enabled=False)
    assert "below the horizon" in page.locator(".says").text_content()
    assert page.locator("#side-view").is_visible()
    page.locator("#asked").fill("880")
    page.get_by_role("button", name="Show", exact=True).click()
    assert page.url.endswith("?at=880")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_no_fault(opened, lesson, scheme):
    page = seated(opened(f"{lesson}?at={AT}", color_scheme=scheme))
    found = Axe().run(page).response["violations"]
    assert [(rule["id"], [node["html"][:120] for node in rule["nodes"]]) for rule in found] == []


def test_it_fits_every_width_and_every_finger(opened, lesson):
    page = seated(opened(f"{lesson}?at={AT}"))
    for width in (360, 820, 2560):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        for control in page.locator(".from-seat button:visible, .from-seat select:visible").all():
            assert control.bounding_box()["height"] >= 44


BESIDE = f"/lessons/1?at={AT}"


def test_beside_the_replay_it_follows_whatever_is_pointed_at(opened, lesson):
    page = opened(BESIDE)
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    page.wait_for_selector(".replay:not([hidden])")
    page.wait_for_load_state("networkidle")
    assert not any("three" in url for url in asked)
    opener = page.locator(".to-seat")
    opener.click()
    page.wait_for_selector("#beside .view canvas", timeout=60_000)
    until(page, "globalThis.groundrefSeat && groundrefSeat.frames > 0")
    assert any("three" in url for url in asked)
    assert page.evaluate("groundrefSeat.at") == float(AT)
    # By the slider of the replay, by a picture of the maneuver, by the picture of the whole flight.
    page.locator(".replay > input").fill("900")
    assert page.evaluate("groundrefSeat.at") == 900
    page.locator("article.maneuver svg:has(.cursor-line)").first.hover()
    pointed = page.evaluate("groundrefSeat.at")
    assert pointed != 900
    page.locator("#overview").click()
    assert page.evaluate("groundrefSeat.at") not in (900, pointed)
    page.locator(".replay > input").fill(AT)
    said = page.locator("#beside .says").inner_text()
    assert said.startswith("The point stands ")
    before = page.evaluate("groundrefSeat.marker().at.x")
    page.get_by_role("button", name="Look right").click()
    assert page.evaluate("groundrefSeat.marker().at.x") < before
    for width in (1440, 820, 360):
        page.set_viewport_size({"width": width, "height": 1180})
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        for control in page.locator(":is(.replay, .beside) :is(button, a, select):visible").all():
            assert min(control.bounding_box()[side] for side in ("width", "height")) >= 44
        found = Axe().run(page, {"include": [[".replay"], [".beside"]]})
        assert found.violations_count == 0, found.generate_report()
    page.locator("#beside .close").focus()
    page.keyboard.press("Escape")
    assert opener.get_attribute("aria-expanded") == "false"
    assert page.locator("#beside canvas").count() == 0
    assert page.evaluate("document.activeElement.className").endswith("to-seat")
    opener.click()
    page.wait_for_selector("#beside .view canvas")
    page.locator("#beside .larger").click()
    page.wait_for_url(f"**{lesson}?at={AT}.0")
    assert page.locator(".from-seat > .says").inner_text() == said


def test_beside_the_replay_without_three_dimensions_the_side_is_drawn(opened, lesson):
    page = opened("/")
    page.add_init_script("HTMLCanvasElement.prototype.getContext = () => null")
    page.goto(page.url + BESIDE[1:])
    page.locator(".to-seat").click()
    dot = page.locator("#beside #side-view .cursor")
    before = dot.get_attribute("cx"), dot.get_attribute("cy")
    page.locator(".replay > input").fill("860")
    assert (dot.get_attribute("cx"), dot.get_attribute("cy")) != before
    page.locator(".replay > input").fill("920")
    until(page, "document.querySelector('#beside #side-view desc').textContent.startsWith('The point')")
    assert page.locator("#beside canvas").count() == 0
