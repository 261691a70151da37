"""The map in a real browser: off until asked for, and then where it belongs, to within two pixels."""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Callable, Iterator
from pathlib import Path

import httpx
import numpy as np
import pytest
from axe_playwright_python.sync_playwright import Axe
from geographiclib.geodesic import Geodesic
from playwright.sync_api import Browser, Page, Route, expect

from groundref.web.maps.source import source_of
from tests.record.invented import flown
from tests.web.conftest import serving
from tests.web.maps.invented import image, images, tile_place
from tests.web.test_every_page import SMALL, TOUCH
from tests.web.waiting import until

MARK = 40.1018, -90.1985  # on the ground beside the point that the invented lesson turns about
NEAR = 2.0  # px
# Where the magenta marks lie on a picture of the screen: middle and number of their pixels.
FIND = """async (png) => {
  const picture = await createImageBitmap(await (await fetch(`data:image/png;base64,${png}`)).blob());
  const canvas = new OffscreenCanvas(picture.width, picture.height), pen = canvas.getContext("2d");
  pen.drawImage(picture, 0, 0);
  const { data } = pen.getImageData(0, 0, picture.width, picture.height);
  let x = 0, y = 0, n = 0;
  for (let i = 0; i < data.length; i += 4) {
    if (data[i] < 225 || data[i + 1] > 140 || data[i + 2] < 225) continue;
    x += (i / 4) % picture.width + 0.5; y += Math.floor(i / 4 / picture.width) + 0.5; n += 1;
  }
  return [x / n, y / n, n];
}"""


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A server with a map of images, and one lesson."""
    folder = tmp_path_factory.mktemp("map")
    with serving(folder, source_of(str(images(folder / "map.pmtiles", MARK, range(11, 17), 3)))) as address:
        bring(address)
        yield address


def bring(address: str) -> None:
    files = {"recordings": ("lesson.gpx", flown().parts[0][1])}
    answer = httpx.post(f"{address}/lessons", files=files, headers={"accept": "application/json"}, timeout=60)
    assert answer.json()["lesson"] == 1


@pytest.fixture
def eyes(browser: Browser) -> Iterator[Page]:
    """A page of its own, to look at pictures of another with."""
    context = browser.new_context()
    yield context.new_page()
    context.close()


# Every switch that is on has its map, with all its images.
DRAWN = """document.querySelectorAll(".map-row").length > 0 &&
  [...document.querySelectorAll(".map-row")].every((row) =>
    !row.querySelector("input").checked || row.querySelector("span").textContent.startsWith("Map: "))"""


def settled(page: Page) -> None:
    page.wait_for_load_state("networkidle")
    until(page, DRAWN)
    page.wait_for_timeout(300)  # images decoded and painted


def seen(page: Page, eyes: Page, selector: str) -> tuple[np.ndarray, float]:
    """Where the mark is seen on a picture [px of the picture], and how many pixels it takes."""
    shot = b64encode(page.locator(selector).screenshot()).decode()
    x, y, number = eyes.evaluate(FIND, shot)
    assert number > 8, "no mark is seen"
    return np.array([x, y]), number


def test_off_until_asked_for_and_then_where_it_belongs(
    opened: Callable[..., Page], eyes: Page, address: str
) -> None:
    page = opened("/lessons/1")
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.reload()
    settled(page)
    switches = page.get_by_label("Map beneath")
    expect(switches).to_have_count(2)  # the circle, and the whole flight
    expect(switches.first).not_to_be_checked()
    assert not [url for url in asked if "/api/map" in url]
    assert page.locator(".beneath").count() == 0
    switches.first.check()
    expect(page.locator(".map-row span").nth(1)).to_have_text("Map: © the invented mapmakers")
    settled(page)
    expect(switches.nth(1)).to_be_checked()
    for width in (1366, 700, 390):
        page.set_viewport_size({"width": width, "height": 900})
        settled(page)
        check_place(page, eyes, address)
        assert page.evaluate(SMALL, TOUCH) == []
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
    page.set_viewport_size({"width": 1366, "height": 900})
    page.reload()
    settled(page)
    expect(switches.first).to_be_checked()
    check_place(page, eyes, address)
    page.emulate_media(media="print")
    expect(switches.first).to_be_hidden()
    expect(page.locator(".map-row span").first).to_be_visible()
    assert seen(page, eyes, "#m1-circle")[1] > 8
    page.emulate_media(media="screen")
    switches.nth(1).uncheck()
    expect(page.locator("#m1-circle .beneath")).to_be_hidden()


def check_place(page: Page, eyes: Page, address: str) -> None:
    """The mark is as far from the point, and in that direction, as the ellipsoid has it."""
    found, _ = seen(page, eyes, "#m1-circle")
    box = page.locator("#m1-circle").bounding_box()
    point = page.locator("#m1-circle path.point").bounding_box()
    assert box
    assert point
    at = np.array([point[a] + point[b] / 2 - box[a] for a, b in (("x", "width"), ("y", "height"))])
    reference = httpx.get(f"{address}/api/lessons/1/debrief").json()["maneuvers"][0]["reference"]
    far = Geodesic.WGS84.Inverse(reference["lat"], reference["lon"], *MARK)
    foot = float(page.locator("#m1-circle .held").get_attribute("data-foot") or "nan") * box["width"] / 640
    way = np.radians(far["azi1"])
    expected = at + far["s12"] / 0.3048 * foot * np.array([np.sin(way), -np.cos(way)])
    assert np.hypot(*(found - expected)) < NEAR


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_two_lessons_side_by_side_have_it_beneath_both(
    opened: Callable[..., Page], address: str, scheme: str
) -> None:
    if httpx.get(f"{address}/lessons/2", timeout=60).status_code != 200:
        files = {"recordings": ("lesson.gpx", flown(5).parts[0][1])}
        httpx.post(f"{address}/lessons", files=files, timeout=60)
    page = opened("/compare?a=1.1&b=2.1", color_scheme=scheme)
    page.get_by_label("Map beneath").first.check()
    settled(page)
    assert page.locator(".twin .beneath:not(.off)").count() == 2
    for width in (1366, 360):
        page.set_viewport_size({"width": width, "height": 900})
        settled(page)
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_the_place_of_a_plan_is_picked(opened: Callable[..., Page], eyes: Page) -> None:
    page = opened("/plan?maneuver=turns-around-a-point&wind=240/14&point=40.1,-90.2")
    settled(page)
    page.get_by_label("Map beneath").check()
    settled(page)
    page.get_by_role("button", name="Pick it on the map").click()
    expect(page.locator(".site-map .beneath")).to_be_attached()
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
    assert page.evaluate(SMALL, TOUCH) == []
    box = page.locator(".site-map svg").bounding_box()
    assert box
    (x, y), _ = seen(page, eyes, ".site-map svg")
    page.mouse.click(box["x"] + x, box["y"] + y)
    field = page.locator("#point")
    assert metres(field.input_value(), MARK) < NEAR * 3.7  # a pixel at this zoom, in this latitude
    before = field.input_value()
    planned_about(page, before)
    expect(page.locator("#planned-above .beneath")).to_be_attached()
    page.keyboard.press("Shift+ArrowRight")
    page.keyboard.press("ArrowUp")
    assert metres(field.input_value(), place(before)) == pytest.approx(np.hypot(64, 8) * 3.654, rel=0.01)
    page.keyboard.press("-")
    settled(page)
    page.keyboard.press("Escape")
    expect(page.locator("dialog.site")).to_be_hidden()
    picked = field.input_value()
    planned_about(page, picked)
    page.reload()
    expect(field).to_have_value(picked)  # the address has it
    field.fill("40.2,-90.3")  # typed as ever
    planned_about(page, "40.2,-90.3")


def planned_about(page: Page, text: str) -> None:
    """The picture of the plan comes to lie about a place."""
    latitude, longitude = place(text)
    expect(page.locator("#planned-above")).to_have_attribute(
        "data-ground", re.compile(rf"{latitude:.8f} {longitude:.8f} ")
    )


def place(text: str) -> tuple[float, float]:
    latitude, longitude = (float(part) for part in text.split(","))
    return latitude, longitude


def metres(text: str, other: tuple[float, float]) -> float:
    return float(Geodesic.WGS84.Inverse(*place(text), *other)["s12"])


def test_a_server_of_tiles_is_asked_for_tiles_alone_and_only_then(
    browser: Browser, eyes: Page, tmp_path: Path
) -> None:
    source = source_of("https://tiles.example/{z}/{x}/{y}.png", "© tiles")
    asked: list[str] = []

    def tile(route: Route) -> None:
        asked.append(route.request.url)
        zoom, column, row = (int(part.partition(".")[0]) for part in route.request.url.split("/")[3:])
        at = tile_place(*MARK, zoom)
        within = at[0] - column, at[1] - row
        route.fulfill(body=image(within), content_type="image/png")

    with serving(tmp_path, source) as address:
        bring(address)
        context = browser.new_context(viewport={"width": 1366, "height": 900})
        context.route(lambda url: not url.startswith(address), tile)
        page = context.new_page()
        trouble: list[str] = []
        page.on("console", lambda message: trouble.append(message.text))
        page.goto(f"{address}/lessons/1")
        settled(page)
        assert asked == []
        page.get_by_label("Map beneath").first.check()
        settled(page)
        assert len(asked) > 8
        assert all(url.startswith("https://tiles.example/") for url in asked)
        check_place(page, eyes, address)
        context.close()
    assert trouble == []
