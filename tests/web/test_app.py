"""The application without a browser: what it answers, and what it refuses."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from litestar.testing import TestClient

from groundref.record.lessons import add
from groundref.record.place import Place
from groundref.record.store import open_record
from groundref.web.app import build
from groundref.web.assets import address
from tests.record.invented import another, flown

NAME = "127.0.0.1:8735"


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    record = open_record(Place(path=tmp_path / "record.sqlite"), make=True)
    with TestClient(build(record, [NAME]), base_url=f"http://{NAME}") as client:
        yield client


def bring(client: TestClient, content: bytes, **headers: str):
    return client.post(
        "/lessons",
        files={"recordings": ("lesson.gpx", content)},
        headers={"accept": "application/json", **headers},
    )


def test_a_recording_becomes_a_lesson_with_a_page(client: TestClient) -> None:
    content = flown().parts[0][1]
    answer = bring(client, content)
    assert answer.status_code == 201, answer.text
    assert answer.json() == {"lesson": 1, "page": "/lessons/1"}
    page = client.get("/lessons/1")
    assert page.status_code == 200
    assert "What to talk about first" in page.text
    assert client.get("/api/lessons/1/debrief").json()["maneuvers"][0]["kind"] == "turns-around-a-point"
    replay = client.get("/api/lessons/1/replay").json()
    assert len(replay["seconds"]) == len(replay["bank_deg"]) > 1000
    assert "lesson" in client.get("/").text
    assert bring(client, content).json()["lesson"] == 1  # recognized


def test_earlier_lessons_are_on_further_pages(client: TestClient, tmp_path: Path) -> None:
    record = open_record(Place(path=tmp_path / "record.sqlite"))
    for number in range(53):
        add(record, another(number))
    first, last = client.get("/"), client.get("/?skip=50")
    assert "1 to 50 of 53 lessons" in first.text
    assert 'href="/?skip=50">Earlier lessons' in first.text
    assert "Later lessons" not in first.text
    assert "51 to 53 of 53 lessons" in last.text
    assert 'href="/">Later lessons' in last.text
    assert "Earlier lessons" not in last.text
    met = [{int(each) for each in re.findall(r'href="/lessons/(\d+)"', one.text)} for one in (first, last)]
    assert (len(met[0]), len(met[1])) == (50, 3)
    assert met[0] | met[1] == set(range(1, 54))
    assert "There are 53 lessons" in client.get("/?skip=60").text
    assert client.get("/?skip=-1").status_code == 400


def test_what_is_no_recording_gets_one_sentence(client: TestClient) -> None:
    answer = bring(client, b"this is no recording of anything")
    assert answer.status_code == 422
    assert answer.json()["error"]
    assert "Traceback" not in answer.text
    assert client.get("/lessons/1").status_code == 404


def test_a_table_without_its_columns_is_answered_in_the_words_of_the_page(client: TestClient) -> None:
    table = b"when,where,how fast\n" + b"noon,there,90\n" * 30
    answer = client.post(
        "/lessons", files={"recordings": ("wrong.csv", table)}, headers={"accept": "application/json"}
    )
    assert answer.status_code == 422
    said = answer.json()["error"]
    assert said.startswith("wrong.csv: has no column for latitude and longitude")
    assert said.endswith(
        "; bring GPX, a CSV log or ADS-B state vectors; a CSV whose columns have other names is brought in "
        "with groundref record add --columns, see docs/recordings.md"
    )
    assert "how fast" not in said


def test_what_is_not_there_is_told_so_on_pages_and_as_data(client: TestClient) -> None:
    asked = (
        "/lessons/9",
        "/lessons/9/seat",
        "/lessons/9/plan",
        "/api/lessons/9/debrief",
        "/api/lessons/9/replay",
        "/compare?a=9.1",
        "/plan.pdf?after=9",
        "/api/plan?after=9",
        "/api/plan/seat?after=9",
        "/students/Nobody",
    )
    for path in asked:
        assert client.get(path).status_code == 404, path
    for part in ("who", "remarks", "verdicts", "corrections", "signature", "no-plan"):
        answer = client.post(f"/lessons/9/{part}", data={"remarks": "x"})
        assert answer.status_code == 404, part
        assert "There is no lesson 9." in answer.text
    answer = client.get("/api/lessons/9/debrief")
    assert answer.json() == {
        "error": "record: there is no lesson 9; groundref record list shows those there are",
        "status": 404,
    }


def test_the_interface_describes_what_it_refuses_with(client: TestClient) -> None:
    description = client.get("/schema/openapi.json").json()
    for path, operations in description["paths"].items():
        answers = operations["get"]["responses"]
        assert {"400", "404"} <= set(answers), path
        for status in ("400", "404"):
            name = answers[status]["content"]["application/json"]["schema"]["$ref"].rpartition("/")[2]
            assert set(description["components"]["schemas"][name]["properties"]) == {"error", "status"}


def test_an_empty_file_is_named(client: TestClient) -> None:
    answer = bring(client, b"")
    assert answer.status_code == 400
    assert answer.json()["error"].startswith("lesson.gpx: the file is empty")


def test_another_name_for_this_machine_is_refused(client: TestClient) -> None:
    assert client.get("/", headers={"host": "evil.example"}).status_code == 421


@pytest.mark.parametrize(
    "headers", [{"origin": "http://evil.example"}, {"sec-fetch-site": "cross-site"}, {"origin": "null"}]
)
def test_pages_of_other_sites_may_change_nothing(client: TestClient, headers: dict[str, str]) -> None:
    assert bring(client, flown().parts[0][1], **headers).status_code == 403
    assert "There is no lesson yet" in client.get("/").text


@pytest.mark.parametrize(
    "path", ["/static/../app.py", "/static/%2e%2e/app.py", "/static/..%2fapp.py", "/nowhere"]
)
def test_nothing_else_is_handed_out(client: TestClient, path: str) -> None:
    assert client.get(path).status_code == 404


def test_every_answer_carries_the_policy(client: TestClient) -> None:
    for path in ("/", "/lessons/9", f"{address()}/page.css", "/schema/openapi.json", "/nowhere"):
        headers = client.get(path).headers
        assert "script-src 'self'" in headers["content-security-policy"], path
        assert "unsafe" not in headers["content-security-policy"]
        assert headers["x-content-type-options"] == "nosniff"
