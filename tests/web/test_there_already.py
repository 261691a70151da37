"""A recording that the record has already is said to be there, at once, and nobody is led away unasked."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from litestar.testing import TestClient
from lxml import html
from playwright.sync_api import Page, expect

from groundref.record.lessons import add, listed
from groundref.record.place import Place
from groundref.record.store import Record, open_record
from groundref.web.app import build
from tests.record.invented import another, flown

NAME = "127.0.0.1:8735"
THERE = flown().parts[0][1]
NEW = THERE + b"<!-- new -->"
JSON = {"accept": "application/json"}


@pytest.fixture
def record(tmp_path: Path) -> Record:
    """A record with one lesson, whose recording is ``THERE``."""
    record = open_record(Place(path=tmp_path / "record.sqlite"), make=True)
    add(record, flown())
    return record


@pytest.fixture
def client(record: Record) -> Iterator[TestClient]:
    with TestClient(build(record, [NAME]), base_url=f"http://{NAME}") as client:
        yield client


def files(**contents: bytes) -> list[tuple[str, tuple[str, bytes]]]:
    return [("recordings", (f"{name}.gpx", content)) for name, content in contents.items()]


def count(record: Record) -> int:
    with record.reading() as connection:
        return len(listed(connection))


def test_it_is_said_on_the_lesson_that_it_is(client: TestClient, record: Record) -> None:
    answer = client.post("/lessons", files=files(again=THERE))
    said = html.fromstring(answer.text).xpath("string(//*[@id='said'])")
    assert said.startswith("The record has this already: again.gpx is lesson 1 (")
    assert said.endswith("Jo Brandt). Nothing was added.")
    assert count(record) == 1


def test_data_says_it_too(client: TestClient, record: Record) -> None:
    answer = client.post("/lessons", files=files(again=THERE), headers=JSON)
    assert answer.status_code == 200
    assert (answer.json()["lesson"], answer.json()["page"]) == (1, "/lessons/1")
    (one,) = answer.json()["held"]
    assert (one["place"], one["recording"], one["lesson"]) == (0, "again.gpx", 1)
    assert count(record) == 1


def test_a_part_that_is_there_is_not_passed_over(client: TestClient, record: Record) -> None:
    answer = client.post("/lessons", files=files(first=THERE, second=NEW), headers=JSON)
    assert answer.status_code == 409
    assert "1 file is new, and can be brought without it." in answer.json()["error"]
    assert [one["place"] for one in answer.json()["held"]] == [0]
    page = client.post("/lessons", files=files(first=THERE, second=NEW))
    assert page.status_code == 409
    assert "/lessons/1" in html.fromstring(page.text).xpath("//main//a/@href")
    assert count(record) == 1


def test_parts_of_two_lessons_name_both(client: TestClient, record: Record) -> None:
    other = another(2)
    add(record, other)
    answer = client.post("/lessons", files=files(first=THERE, second=other.parts[0][1]), headers=JSON)
    assert answer.status_code == 200
    assert [one["lesson"] for one in answer.json()["held"]] == [1, 2]


def test_in_a_browser_one_goes_on_by_choice(opened: Callable[..., Page], tmp_path: Path) -> None:
    first, second = tmp_path / "first.gpx", tmp_path / "second.gpx"
    first.write_bytes(THERE)
    second.write_bytes(NEW)
    page = opened("/", refused=409)
    home = page.url
    page.set_input_files("#recordings", first)
    page.wait_for_url("**/lessons/1")
    page.goto(home)
    page.set_input_files("#recordings", first)
    expect(page.locator(".doing")).to_contain_text("The record has this already: first.gpx is lesson 1")
    on = page.get_by_role("link", name="Go on to lesson 1")
    expect(on).to_be_focused()
    assert (on.bounding_box() or {})["height"] >= 44
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
    page.set_input_files("#recordings", [first, second])
    expect(page.locator(".doing")).to_contain_text("1 file is new")
    page.get_by_role("button", name="Debrief the new file alone").click()
    page.wait_for_url("**/lessons/2")
    page.goto(home)
    page.set_input_files("#recordings", first)
    page.get_by_role("link", name="Go on to lesson 1").press("Enter")
    page.wait_for_url("**/lessons/1")
