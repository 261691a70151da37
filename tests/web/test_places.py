"""Places on the ground moved by hand: what is sent is the place that was pointed at."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
from axe_playwright_python.sync_playwright import Axe
from geographiclib.geodesic import Geodesic
from playwright.sync_api import Page, expect

import groundref
from groundref.geo.frame import LocalFrame
from groundref.reports.figures.held import on_earth
from groundref.reports.figures.plan import Plan
from groundref.simulation.write import to_bytes
from groundref.units import knot
from groundref.web.corrections import written
from tests.web.bringing import bring

NEAR = 1.0  # [m]


@pytest.fixture
def lesson(opened, recording: Path):
    """A lesson's page, reached by bringing its recording."""
    page = opened("/")
    bring(page, recording)
    page.wait_for_selector(".moving")
    return page


@pytest.mark.parametrize(("latitude", "longitude"), [(40.0, -75.0), (-33.0, 179.999), (64.5, -21.0)])
def test_paper_is_where_the_ellipsoid_has_it(latitude: float, longitude: float):
    """Against geodesics on WGS 84 by geographiclib (Karney 2013)."""
    plan = Plan(east=2500.0, north=-1800.0, scale=0.5)  # 640 × 536 units of 2 m
    corner_and_steps = np.array(on_earth(LocalFrame(*np.radians([latitude, longitude])), plan))
    corner, across, below = corner_and_steps.reshape(3, 2)
    for east, north in ((2000.0, -2300.0), (3100.0, -1300.0), (2500.0, -1800.0)):
        x, y = plan.xy(east, north)
        found = corner + x * across + y * below
        whence = np.degrees(np.arctan2(east, north))
        there = Geodesic.WGS84.Direct(latitude, longitude, whence, np.hypot(east, north))
        assert apart((there["lat2"], there["lon2"]), tuple(found)) < 0.3


def test_places_are_written_as_they_are_read():
    assert written(None) == ""
    assert written((40.1, -75.2)) == "40.1,-75.2"
    assert written(((40.1, -75.2), (40.2, -75.25))) == "40.1,-75.2 40.2,-75.25"


def apart(one: tuple[float, float], other: tuple[float, float]) -> float:
    return float(Geodesic.WGS84.Inverse(*one, *other)["s12"])


def reference(page: Page) -> dict:
    at = page.url.partition("/lessons/")
    number = re.match(r"\d+", at[2]).group()
    return page.request.get(f"{at[0]}/api/lessons/{number}/debrief").json()["maneuvers"][0]["reference"]


def place(held: dict) -> tuple[float, float]:
    return held["lat"], held["lon"]


def test_the_point_goes_where_it_was_pointed_at(lesson: Page):
    before = place(reference(lesson))
    lesson.click("text=Move the point")
    picture = lesson.locator("#m1-circle")
    picture.scroll_into_view_if_needed()
    box = picture.bounding_box()
    handle = lesson.locator(".handle").bounding_box()
    x, y = (handle[a] + handle[b] / 2 for a, b in (("x", "width"), ("y", "height")))
    foot = float(lesson.locator("#m1-circle .held").get_attribute("data-foot")) * box["width"] / 640
    far = 150 * foot  # 150 ft to the right and 100 ft up
    lesson.mouse.move(x, y)
    lesson.mouse.down()
    lesson.mouse.move(x + far / 3, y - far / 9, steps=3)
    lesson.mouse.move(x + far, y - far * 2 / 3)
    lesson.mouse.up()
    # 56.3°, beside the border of two points of the compass at 56.25°
    expect(lesson.locator(".moving p")).to_contain_text(re.compile(r"180 ft \(55 m\) (east-)?north-east"))
    found = Axe().run(lesson)
    assert found.violations_count == 0, found.generate_report()
    lesson.click("text=Use this place")
    lesson.wait_for_url("**#m1")
    lesson.wait_for_selector("#m1-circle")
    moved = reference(lesson)
    assert moved["source"] == "given"
    there = Geodesic.WGS84.Direct(*before, np.degrees(np.arctan2(150, 100)), np.hypot(150, 100) * 0.3048)
    assert apart(place(moved), (there["lat2"], there["lon2"])) < NEAR


def test_the_point_goes_by_keys_and_stays_when_left(lesson: Page):
    before = place(reference(lesson))
    lesson.click("text=Move the point")
    lesson.keyboard.press("ArrowUp")
    lesson.keyboard.press("Shift+ArrowUp")
    expect(lesson.locator(".moving p")).to_contain_text("110 ft (34 m) north of")
    lesson.click("text=Leave it as it was")
    expect(lesson.locator(".handle")).to_be_hidden()
    lesson.click("text=Move the point")
    lesson.keyboard.press("Shift+ArrowDown")
    lesson.click("text=Use this place")
    lesson.wait_for_url("**#m1")
    there = Geodesic.WGS84.Direct(*before, 180.0, 100 * 0.3048)
    assert apart(place(reference(lesson)), (there["lat2"], there["lon2"])) < NEAR


def test_two_places_are_asked_of_a_line(lesson: Page):
    lesson.click("text=Other places on the ground")
    asked = (("line", "Line", "2 places"), ("corners", "Corners of the rectangle", "4 places"))
    for field, label, says in asked:
        hidden = lesson.locator("#corrections input[type=hidden]").evaluate_all(
            "all => Object.fromEntries(all.map((one) => [one.name, one.value]))"
        )
        answer = lesson.request.post(
            lesson.url.partition("#")[0].partition("?")[0] + "/corrections",
            form={**hidden, field: "40.1,-75.2"},
            headers={"accept": "application/json"},
        )
        assert answer.status == 400
        assert f"{label}: '40.1,-75.2' is not {says}" in answer.json()["error"]


@pytest.mark.parametrize(
    ("kind", "held", "names"),
    [
        ("s-turns", "line", ["End 1 of the line", "End 2 of the line"]),
        ("rectangular-course", "corners", [f"Corner {n}" for n in range(1, 5)]),
        ("eights-on-pylons", "pylons", ["Pylon 1", "Pylon 2"]),
    ],
)
def test_what_has_several_places_goes_by_keys_each_by_its_name(
    opened, address: str, kind: str, held: str, names: list[str]
):
    flown, _ = groundref.simulate(kind, wind_speed=15 * knot)
    page = opened("/")
    brought = page.request.post(
        f"{address}/lessons",
        multipart={
            "recordings": {"name": "a.gpx", "mimeType": "text/xml", "buffer": to_bytes(flown, "a.gpx")}
        },
        headers={"accept": "application/json"},
    )
    page.goto(f"{address}/lessons/{brought.json()['lesson']}")
    page.get_by_role("button", name=f"Move the {held}").first.click()
    handles = page.locator(f".movable:has([data-held={held}]) .handle:visible")
    told = [handle.get_attribute("aria-label").partition(":")[0] for handle in handles.all()]
    assert told == names
    says = page.locator(".moving p:visible")
    for name in names:  # the next one by the tab key
        page.keyboard.press("Shift+ArrowLeft")
        expect(says).to_contain_text(f"{name}: 100 ft (30 m) west")
        page.keyboard.press("Tab")
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
    page.get_by_role("button", name="Leave it as it was").click()
    assert handles.count() == 0
