"""A plan that was not flown is said not to be compared, and a plan can be taken off its lesson again."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from litestar.testing import TestClient
from lxml import html
from playwright.sync_api import Page, expect

from groundref.record.checking import check
from groundref.record.deciding import sign
from groundref.record.lessons import shown
from groundref.record.place import Place
from groundref.record.store import Record, open_record
from groundref.web.app import build
from tests.record.invented import flown
from tests.web.bringing import bring
from tests.web.sending import carried, send

NAME = "127.0.0.1:8735"
KINDS = "plan and flight are of different kinds, so they are not compared."
FLOWN = {"maneuver": "turns-around-a-point", "wind": "240/14", "lesson": "1"}
OTHER = {"maneuver": "s-turns", "wind": "240/14", "lesson": "1"}


@pytest.fixture
def record(tmp_path: Path) -> Record:
    return open_record(Place(path=tmp_path / "record.sqlite"), make=True)


@pytest.fixture
def client(record: Record) -> Iterator[TestClient]:
    with TestClient(build(record, [NAME]), base_url=f"http://{NAME}") as client:
        client.post("/lessons", files={"recordings": ("lesson.gpx", flown().parts[0][1])})
        send(client, 1, "who", {"student": "Jo Brandt", "instructor": "Ines Okafor"})
        yield client


def said(text: str) -> str:
    return html.fromstring(text).xpath("string(//*[@id='said'])")


def kept_with(record: Record) -> tuple[bool, int]:
    """Whether a plan is kept with the lesson, and how many debriefs are."""
    with record.reading() as connection:
        lesson = shown(connection, 1)
    return lesson.has_plan, len(lesson.results)


def test_a_plan_of_another_kind_is_said_when_it_is_kept_and_on_the_lesson(client: TestClient) -> None:
    page = client.post("/lessons/plan", data=OTHER).text
    assert said(page).startswith(
        "The plan is kept with this lesson. The plan is for S-turns, and what was flown"
    )
    assert KINDS in said(page)
    assert '<a href="#planned">Take it off again</a>' in page
    later = html.fromstring(client.get("/lessons/1").text)
    (head,) = later.xpath("//header//p[@class='warning screen']")
    assert "not compared" in head.text_content()
    assert head.xpath("a/@href") == ["#planned"]
    (section,) = later.xpath("//section[@id='planned']")
    assert KINDS in section.xpath("string(p[@class='warning'])")


def test_a_plan_that_was_flown_is_compared_and_says_nothing_of_kinds(client: TestClient) -> None:
    page = client.post("/lessons/plan", data=FLOWN).text
    assert said(page) == "The plan is kept with this lesson, and the debrief set against it."
    assert "not compared" not in page
    assert html.fromstring(page).xpath("//section[@id='planned']//a/@href")[0] == "#m1-planned-says"


def test_a_plan_is_taken_off_and_what_was_by_it_stays(client: TestClient, record: Record) -> None:
    before = client.get("/api/lessons/1/debrief").json()
    client.post("/lessons/plan", data=FLOWN)
    assert kept_with(record) == (True, 2)
    page = send(client, 1, "no-plan", {}).text
    assert said(page).startswith(
        "The plan is taken off this lesson, and the debrief worked out anew without it"
    )
    assert kept_with(record) == (False, 3)
    assert client.get("/api/lessons/1/debrief").json() == before
    assert 'id="planned"' not in client.get("/lessons/1").text
    there = html.fromstring(page).xpath("//*[@id='said']/a/@href")[0]
    assert "wind=240%2F14" in there
    assert client.get(there).status_code == 200
    assert check(record).troubles == ()  # no content is left that nothing refers to


def test_a_plan_in_anothers_place_leaves_nothing_behind(client: TestClient, record: Record) -> None:
    client.post("/lessons/plan", data=OTHER)
    refused = client.post("/lessons/plan", data=FLOWN).text
    client.post("/lessons/plan", data=carried(refused, "/lessons/plan"))
    assert kept_with(record) == (True, 3)
    assert check(record).troubles == ()


def test_a_signed_lesson_keeps_its_plan_until_the_signature_is_taken_back(
    client: TestClient, record: Record
) -> None:
    client.post("/lessons/plan", data=OTHER)
    hidden = carried(client.get("/lessons/1").text, "/lessons/1/no-plan")
    sign(record, 1)
    page = html.fromstring(client.get("/lessons/1").text)
    (section,) = page.xpath("//section[@id='planned']")
    assert section.xpath(".//form") == []
    assert "take the signature back" in section.text_content()
    refused = client.post("/lessons/1/no-plan", data=hidden)
    assert refused.status_code == 409
    assert kept_with(record)[0]
    again = carried(refused.text, "/lessons/1/signature")
    opened = client.post("/lessons/1/signature", data=again | {"withdraw": "yes"})
    assert opened.status_code == 200
    client.post("/lessons/1/no-plan", data=carried(opened.text, "/lessons/1/no-plan"))
    assert not kept_with(record)[0]


def test_a_plan_for_a_signed_lesson_is_answered_with_what_to_do_in_the_page(
    client: TestClient, record: Record
) -> None:
    sign(record, 1)
    refused = client.post("/lessons/plan", data=FLOWN)
    alert = html.fromstring(refused.text).xpath("string(//p[@role='alert'])")
    assert alert.startswith("Lesson 1 was signed on ")
    assert "take the signature back first, if this is to be in it; nothing of this was kept yet." in alert
    assert "groundref" not in alert
    opened = client.post(
        "/lessons/1/signature", data=carried(refused.text, "/lessons/1/signature") | {"withdraw": "yes"}
    )
    client.post("/lessons/plan", data=carried(opened.text, "/lessons/plan"))
    assert kept_with(record)[0]


def test_a_plan_that_is_off_already_is_said(client: TestClient) -> None:
    client.post("/lessons/plan", data=FLOWN)
    hidden = carried(client.get("/lessons/1").text, "/lessons/1/no-plan")
    client.post("/lessons/1/no-plan", data=hidden)
    assert said(client.post("/lessons/1/no-plan", data=hidden).text) == "No plan is kept with this lesson."


def test_it_is_taken_off_by_keys_in_the_page(opened: Callable[..., Page], recording: Path) -> None:
    page = opened("/")
    bring(page, recording)
    page.goto(page.url.partition("/lessons")[0] + "/plan?maneuver=s-turns&wind=240/14&lesson=1")
    page.get_by_role("button", name="Use this plan for that lesson").click()
    expect(page.locator("#said")).to_contain_text(KINDS)
    page.locator("#said").get_by_role("link", name="Take it off again").press("Enter")
    take = page.get_by_role("button", name="Take the plan off this lesson")
    expect(take).to_be_in_viewport()
    assert (take.bounding_box() or {})["height"] >= 44
    take.press("Enter")
    expect(page.locator("#said")).to_contain_text("The plan is taken off this lesson")
    expect(page.locator("#planned")).to_have_count(0)
    page.get_by_role("link", name="The plan that was taken off").click()
    expect(page.locator("#lesson")).to_have_value("1")
