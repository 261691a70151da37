"""Uploads and requests made to hurt: one clear sentence each, and the server goes on."""

from __future__ import annotations

import gzip
from collections.abc import Iterator

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from litestar.testing import TestClient

from groundref.record.place import Place
from groundref.record.store import open_record
from groundref.web.app import LARGEST, build
from groundref.web.workers import Workers
from tests.readers.test_bad_input import SOUND_FILES, is_sentence
from tests.readers.test_hostile_xml import BOMB, EXTERNAL
from tests.record.invented import flown

NAME = "127.0.0.1:8735"


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory):
    record = open_record(Place(path=tmp_path_factory.mktemp("hostile") / "record.sqlite"), make=True)
    return build(record, [NAME], Workers(1, seconds=20))


@pytest.fixture(scope="module")
def client(app) -> Iterator[TestClient]:
    with TestClient(app, base_url=f"http://{NAME}") as client:
        yield client


def bring(client: TestClient, content: bytes, name: str = "lesson.gpx"):
    return client.post(
        "/lessons", files={"recordings": (name, content)}, headers={"accept": "application/json"}
    )


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"\0" * 1000,
        BOMB.encode(),
        EXTERNAL.encode(),
        b"<gpx>" + b"<a>" * 200,
        gzip.compress(b"\0" * (256 << 20)),
        b"PAR1" + bytes(range(256)) * 4 + b"PAR1",
        b"[" * 100_000,
        b"time,lat,lon\n" + b"1,2,3\n" * 10,
    ],
    ids=["empty", "zeros", "entities", "external", "deep", "packed", "parquet", "brackets", "nowhere"],
)
def test_uploads_made_to_hurt_get_one_sentence(client: TestClient, content: bytes) -> None:
    answer = bring(client, content)
    assert 400 <= answer.status_code < 500, answer.text
    assert is_sentence(answer.json()["error"])
    assert client.get("/").status_code == 200


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.sampled_from(SOUND_FILES), st.data())
def test_sound_files_with_something_wrong(client: TestClient, content: bytes, data: st.DataObject) -> None:
    at = data.draw(st.integers(0, len(content) - 1))
    changed = content[:at] + bytes([data.draw(st.integers(0, 255))]) + content[at + 1 :]
    answer = bring(client, changed)
    assert answer.status_code == 201 or is_sentence(answer.json()["error"])


@pytest.mark.parametrize(
    "name",
    [
        "../../etc/passwd",
        "C:\\lessons\\lesson.gpx",
        "<img src=x onerror=alert(1)>.gpx",
        "a" * 300,
        "\u202egpx",
    ],
)
def test_names_of_files_are_only_names(client: TestClient, name: str) -> None:
    answer = bring(client, flown(7).parts[0][1] + f"<!-- {len(name)} -->".encode(), name)
    assert answer.status_code == 201, answer.text
    page = client.get(answer.json()["page"]).text
    assert "<img src=x" not in page
    assert "../" not in page.partition('<p class="file">')[2].partition("</p>")[0]


def test_what_is_too_large_is_refused_before_it_is_read(client: TestClient) -> None:
    def endless() -> Iterator[bytes]:
        for _ in range((LARGEST >> 20) + 2):
            yield b"\0" * (1 << 20)

    answer = client.post(
        "/lessons",
        content=endless(),
        headers={"accept": "application/json", "content-type": "multipart/form-data; boundary=x"},
    )
    assert answer.status_code in (400, 413), answer.text
    assert client.get("/").status_code == 200


def test_the_interface_keeps_to_its_own_description(app, client: TestClient) -> None:
    """schemathesis asks what the OpenAPI description allows, and more; nothing may fail."""
    bring(client, flown().parts[0][1])
    description = schemathesis.openapi.from_dict(client.get("/schema/openapi.json").json())
    asked = 0
    for result in description.get_all_operations():
        operation = result.ok()

        @settings(max_examples=8, deadline=None, suppress_health_check=list(HealthCheck))
        @given(case=operation.as_strategy())
        def ask(case) -> None:
            nonlocal asked
            asked += 1
            answer = client.request(case.method, case.formatted_path, params=case.query, headers=case.headers)
            assert answer.status_code < 500, (case.formatted_path, answer.text)

        ask()
    assert asked > 15
