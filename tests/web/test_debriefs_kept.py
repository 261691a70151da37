"""Debriefs that are kept of a lesson are read as they were, beside the one that counts."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from litestar.testing import TestClient
from lxml import html

from groundref.record import schema
from groundref.record.deciding import sign
from groundref.record.lessons import lesson_row
from groundref.record.place import Place
from groundref.record.recomputing import recompute
from groundref.record.sealed import change
from groundref.record.store import Record, open_record
from groundref.web.app import build
from tests.record.invented import flown
from tests.reports.told import untold
from tests.web.sending import send

NAME = "127.0.0.1:8735"


@pytest.fixture
def record(tmp_path: Path) -> Record:
    return open_record(Place(path=tmp_path / "record.sqlite"), make=True)


@pytest.fixture
def client(record: Record) -> Iterator[TestClient]:
    with TestClient(build(record, [NAME]), base_url=f"http://{NAME}") as client:
        client.post("/lessons", files={"recordings": ("lesson.gpx", flown().parts[0][1])})
        send(client, 1, "who", {"student": "Jo Brandt", "instructor": "Ines Okafor"})
        yield client


def debrief(client: TestClient) -> Any:
    return client.get("/api/lessons/1/debrief").json()


def bounds(one: Any) -> dict[str, str]:
    return {"from-1": one["start"][11:19], "to-1": one["end"][11:19]}


def cells(page: Any, what: str) -> list[str]:
    found = page.xpath(f"//tr[th[normalize-space()={what!r}]]/td")
    return [" ".join(cell.text_content().split()) for cell in found]


def test_a_debrief_before_a_correction_is_read_beside_the_one_that_counts(client: TestClient) -> None:
    before = debrief(client)
    (one,) = before["maneuvers"]
    second = one["laps"][1]["start"][11:19]
    send(client, 1, "corrections", {"kind-1": one["kind"], **bounds(one), "from-1": second})
    (after,) = debrief(client)["maneuvers"]
    lesson = html.fromstring(client.get("/lessons/1").text)
    (link,) = lesson.xpath("//details[@id='debriefs']//a/@href")
    assert link == "/lessons/1/debriefs/1"
    answer = client.get(link)
    page = html.fromstring(answer.text)
    assert answer.status_code == 200
    assert page.xpath("//main//form") == []  # nothing to change
    assert page.xpath("string(//h1)") == "Debrief 1, as it was kept"
    laps = [len(each["laps"]) for each in (one, after)]
    assert [f"{number} lap" in cell for number, cell in zip(laps, cells(page, "turned"), strict=True)] == [
        True,
        True,
    ]
    assert untold(answer.text) == []
    assert client.get("/api/lessons/1/debriefs/1").json() == before


def test_what_only_one_of_them_has_is_said(client: TestClient) -> None:
    (one,) = debrief(client)["maneuvers"]
    send(client, 1, "corrections", {"kind-1": "none", **bounds(one)})
    page = html.fromstring(client.get("/lessons/1/debriefs/1").text)
    assert "Otherwise in debrief 2: 1 maneuver." in page.xpath("string(//header)")
    assert page.xpath("string(//p[@class='warning'])") == "Only debrief 1 has this maneuver."
    assert one["findings"][0]["says"] in page.xpath("string(//main)").replace("\N{NO-BREAK SPACE}", " ")


def test_the_one_that_counts_is_the_lesson_and_others_are_not_there(client: TestClient) -> None:
    there = client.get("/lessons/1/debriefs/1", follow_redirects=False)
    assert (there.status_code, there.headers["location"]) == (303, "/lessons/1")
    assert 'id="debriefs"' not in client.get("/lessons/1").text
    for path in ("/lessons/1/debriefs/9", "/lessons/9/debriefs/1", "/api/lessons/1/debriefs/9"):
        assert client.get(path).status_code == 404


def test_beside_a_signed_debrief_a_newer_one_is_read(client: TestClient, record: Record) -> None:
    send(client, 1, "corrections", {"ground_ft": "640"})
    sign(record, 1)
    with record.writing() as connection:
        change(connection, schema.lesson, lesson_row(connection, 1), asked="{}")
    assert recompute(record, 1, "9.9").after == 3
    page = html.fromstring(client.get("/lessons/1").text)
    assert page.xpath("//details[@id='debriefs']//a/@href") == [
        "/lessons/1/debriefs/1",
        "/lessons/1/debriefs/3",
    ]
    read = client.get("/lessons/1/debriefs/3").text
    assert "by version 9.9" in read
    assert "as it was signed" in read


def test_the_plan_of_a_debrief_stays_with_it(client: TestClient) -> None:
    client.post("/lessons/plan", data={"maneuver": "s-turns", "wind": "240/14", "lesson": "1"})
    send(client, 1, "no-plan", {})
    page = html.fromstring(client.get("/lessons/1/debriefs/2").text)
    assert "they are not compared" in page.xpath("string(//section[h2[@id='plan-head']])")
    assert "says the same of what was flown" in page.xpath("string(//header)")
