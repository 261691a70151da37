"""The way through the page: each page leads on to what comes next, and back; nowhere is a dead end."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path

import pytest
from litestar.testing import TestClient

from groundref.record.place import Place
from groundref.record.store import open_record
from groundref.web.app import build
from tests.record.invented import flown
from tests.web.sending import send

NAME = "127.0.0.1:8735"


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    record = open_record(Place(path=tmp_path / "record.sqlite"), make=True)
    with TestClient(build(record, [NAME]), base_url=f"http://{NAME}") as client:
        yield client


def links(page: str) -> list[str]:
    return [unescape(found) for found in re.findall(r'href="([^"]+)"', page)]


def test_from_nothing_to_the_next_plan(client: TestClient) -> None:
    assert {"/plan", "/try"} <= set(links(client.get("/").text.partition("<main")[2]))
    client.post("/lessons", files={"recordings": ("lesson.gpx", flown().parts[0][1])})
    assert "/lessons/1#who" in links(client.get("/").text)

    # Who flew is asked for before everything else, once it is said after it; one comes back to the top.
    lesson = client.get("/lessons/1").text
    assert lesson.index('id="who"') < lesson.index("<article")
    assert lesson.count('id="who"') == 1
    who = {"student": "Jo Brandt", "instructor": "Ines Okafor", "back": "main"}
    answer = send(client, 1, "who", who, follow_redirects=False)
    lesson = client.get(answer.headers["location"]).text
    assert lesson.index("Kept: student Jo Brandt, instructor Ines Okafor.") < lesson.index("<article")
    assert lesson.index("<article") < lesson.index('id="who"')

    (planning,) = (link for link in links(lesson) if link.startswith("/plan?"))
    plan = client.get(planning).text
    assert 'value="Jo Brandt"' in plan
    assert 'value="Ines Okafor"' in plan
    assert "There is no plan" not in plan
    assert "/students/Jo%20Brandt" in links(lesson)
    assert "/lessons/1" in links(client.get("/students/Jo%20Brandt").text)
    assert "/students/Jo%20Brandt" in links(client.get("/").text)


def test_what_went_wrong_leads_back_to_what_was_typed(client: TestClient) -> None:
    client.post("/lessons", files={"recordings": ("lesson.gpx", flown().parts[0][1])})
    answer = send(client, 1, "corrections", {"wind": "strong"})
    assert answer.status_code == 400
    assert 'value="strong"' in answer.text
    assert "/lessons/1#corrections" in links(answer.text)
    assert "/lessons/9" not in links(client.get("/lessons/9").text)


@pytest.mark.parametrize("number", [9, 2**31, 2**63, 10**30])
def test_a_number_that_no_lesson_has_is_refused_in_one_sentence(client: TestClient, number: int) -> None:
    answer = client.get(f"/lessons/{number}")
    assert answer.status_code == 404
    assert f"There is no lesson {number}." in answer.text
    assert "/" in links(answer.text.partition("<main")[2])


def test_remarks_and_signature_are_on_the_printed_page(client: TestClient) -> None:
    client.post("/lessons", files={"recordings": ("lesson.gpx", flown().parts[0][1])})
    assert "/lessons/1/signature" not in client.get("/lessons/1").text  # nobody is named yet
    send(client, 1, "who", {"student": "Jo Brandt"})
    send(client, 1, "remarks", {"remarks": "Looks out well."})
    send(client, 1, "signature", {"instructor": "Ines Okafor"})
    printed = (
        client.get("/lessons/1").text.partition('class="on-paper sign-off"')[2].partition("</section>")[0]
    )
    assert "Looks out well." in printed
    assert "Ines Okafor" in printed
